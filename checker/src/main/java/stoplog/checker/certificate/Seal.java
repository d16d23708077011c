package stoplog.checker.certificate;

/**
 * The last line of a text, which tells whether anything before it was changed. It guards against
 * damage, not against forgery.
 */
public final class Seal {
  private static final String SEAL = "seal sha256 ";

  private Seal() {}

  /** The text with its seal. */
  public static String on(String text) {
    return text + SEAL + Fingerprint.of(text) + "\n";
  }

  /** The text without its seal. */
  public static String off(String text) throws CertificateText.Damaged {
    int seal = text.lastIndexOf(SEAL);
    String sealed = seal < 0 ? "" : text.substring(0, seal);
    if (seal < 0 || !on(sealed).equals(text)) {
      throw new CertificateText.Damaged("it is no certificate, or was changed after it was made");
    }
    return sealed;
  }
}
