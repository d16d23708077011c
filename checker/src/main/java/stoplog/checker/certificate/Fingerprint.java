package stoplog.checker.certificate;

import java.nio.charset.StandardCharsets;
import java.security.MessageDigest;
import java.security.NoSuchAlgorithmException;
import java.util.ArrayList;
import java.util.HexFormat;
import stoplog.model.Claim;
import stoplog.model.Model;
import stoplog.model.ModelText;

/** SHA-256 of a plant model's canonical text: the same for two texts that mean the same plant. */
public final class Fingerprint {
  private Fingerprint() {}

  public static String of(Model model) {
    return of(ModelText.of(withoutBasis(model)));
  }

  /** What a claim is made for has no part in its proof, and may change. */
  private static Model withoutBasis(Model m) {
    var claims = new ArrayList<Claim>();
    for (Claim c : m.claims()) {
      claims.add(
          new Claim(
              c.id(), c.text(), c.kind(), c.condition(), c.forQuanta(), c.monitors(),
              c.onlyWhile(), c.faultBudget(), c.faultsOf(), Claim.Basis.NONE, c.origin()));
    }
    return new Model(
        m.name(), m.quantumMicros(), m.variables(), m.definitions(), m.clocks(), m.changes(),
        m.controller(), m.start(), m.reactions(), claims, m.inhibits(), m.indications());
  }

  /** Of any text. */
  public static String of(String text) {
    try {
      byte[] digest =
          MessageDigest.getInstance("SHA-256").digest(text.getBytes(StandardCharsets.UTF_8));
      return HexFormat.of().formatHex(digest);
    } catch (NoSuchAlgorithmException e) {
      throw new IllegalStateException("every Java platform has SHA-256", e);
    }
  }
}
