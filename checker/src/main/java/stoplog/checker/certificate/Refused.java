package stoplog.checker.certificate;

/** Thrown with the reason why a certificate proves nothing, a sentence without full stop. */
final class Refused extends RuntimeException {
  private static final long serialVersionUID = 1;

  Refused(String reason) {
    super(reason, null, false, false);
  }

  static void unless(boolean holds, String otherwise) {
    if (!holds) {
      throw new Refused(otherwise);
    }
  }
}
