package stoplog.diag;

/** Text of a plant as it may be written to a terminal. */
public final class Visible {
  private Visible() {}

  /**
   * With a dot for each control, formatting (text direction among them) and half character, so that no
   * plant writes to the terminal what its reader does not see.
   */
  public static String of(String text) {
    var visible = new StringBuilder(text.length());
    text.codePoints().forEach(c -> visible.appendCodePoint(isStrange(c) ? '\u00b7' : c));
    return visible.toString();
  }

  private static boolean isStrange(int c) {
    int type = Character.getType(c);
    return type == Character.CONTROL || type == Character.FORMAT || type == Character.SURROGATE;
  }
}
