package stoplog.checker.certificate;

import java.nio.charset.StandardCharsets;
import java.security.MessageDigest;
import java.security.NoSuchAlgorithmException;
import java.util.HexFormat;
import stoplog.model.Model;
import stoplog.model.ModelText;

/** SHA-256 of a plant model's canonical text: the same for two texts that mean the same plant. */
public final class Fingerprint {
  private Fingerprint() {}

  public static String of(Model model) {
    return of(ModelText.of(model));
  }

  static String of(String text) {
    try {
      byte[] digest =
          MessageDigest.getInstance("SHA-256").digest(text.getBytes(StandardCharsets.UTF_8));
      return HexFormat.of().formatHex(digest);
    } catch (NoSuchAlgorithmException e) {
      throw new IllegalStateException("every Java platform has SHA-256", e);
    }
  }
}
