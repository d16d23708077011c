package stoplog.checker.explore;

/** Signals that steps were not worked out to the end, and why: nothing can be said of what they lead to. */
public final class CutShort extends RuntimeException {
  private static final long serialVersionUID = 1;

  /** @param reason as a verdict tells it */
  public CutShort(String reason) {
    super(reason, null, false, false);
  }

  /** Where results come and come. */
  public static CutShort tooManyResults() {
    return new CutShort("a step has too many results");
  }

  public String reason() {
    return String.valueOf(getMessage());
  }
}
