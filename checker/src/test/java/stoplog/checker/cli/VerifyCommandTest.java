package stoplog.checker.cli;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import stoplog.checker.certificate.Certificate;
import stoplog.checker.certificate.CertificateText;

/** A certificate is believed for what it is, and nothing else. */
final class VerifyCommandTest {
  @TempDir Path directory;
  private String plant = "";
  private Path proof = Path.of("");

  @BeforeEach
  void prove() throws IOException {
    plant = SmallPlant.in(directory);
    proof = directory.resolve("h2.proof");
    Ran ran = Ran.stoplog("check", "--claim", "H-2", "--certificate", proof.toString(), plant);
    assertEquals(0, ran.status(), ran.out() + ran.err());
    assertEquals("", ran.err());
  }

  private Ran verify() {
    return Ran.stoplog("verify", proof.toString(), plant);
  }

  private void refused(String why) {
    Ran ran = verify();
    assertEquals(1, ran.status(), ran.out() + ran.err());
    assertEquals("", ran.out());
    assertEquals(1, ran.errLines(), ran.err());
    assertTrue(ran.err().contains(" is refused: " + why), ran.err());
  }

  @Test
  void certificateThatWasWrittenIsBelieved() throws IOException {
    Ran ran = verify();
    assertEquals(0, ran.status(), ran.err());
    assertTrue(ran.out().startsWith("H-2 proved: both pumps run (Small skid, "), ran.out());
    assertEquals(1, ran.out().lines().count());
    try (var files = Files.list(directory)) {
      assertEquals(2, files.count(), "nothing unfinished is left beside it");
    }
  }

  @Test
  void everySingleChangedByteIsRefused() throws IOException {
    byte[] whole = Files.readAllBytes(proof);
    for (int i = 0; i < whole.length; i++) {
      for (int bit = 0; bit < 8; bit++) {
        byte[] changed = whole.clone();
        changed[i] ^= (byte) (1 << bit);
        assertThrows(IOExceptionOrDamaged.class, () -> read(changed), "byte " + i);
      }
    }
    whole[whole.length / 2] ^= 1;
    Files.write(proof, whole);
    refused("it is no certificate, or was changed after it was made");
  }

  private static final class IOExceptionOrDamaged extends Exception {
    private static final long serialVersionUID = 1;
  }

  private static void read(byte[] bytes) throws IOExceptionOrDamaged {
    try {
      CertificateFile.read(bytes);
    } catch (IOException | CertificateText.Damaged _) {
      throw new IOExceptionOrDamaged();
    }
  }

  @Test
  void changedPlantIsRefused() throws IOException {
    SmallPlant.in(directory, "small.plant", SmallPlant.TEXT.replace("coast 1..2 s", "coast 1..3 s"));
    refused("it was made for another plant");
  }

  @Test
  void forgedCertificateIsRefused() throws Exception {
    Certificate c = CertificateFile.read(Files.readAllBytes(proof));
    assertTrue(c.states().size() > 1);
    var forged =
        new Certificate(
            c.plant(), c.fingerprint(), c.claim(), c.keeps(), c.follows(), c.due(),
            c.states().subList(0, 1));
    CertificateFile.write(proof, forged);
    refused("it is not closed");
    CertificateFile.write(
        proof,
        new Certificate(
            c.plant(), c.fingerprint(), c.claim(), c.keeps(), c.follows(), c.due(), List.of()));
    refused("it is not closed");
  }

  @Test
  void findingHasNoCertificate() {
    Path none = directory.resolve("h1.proof");
    Ran ran = Ran.stoplog("check", "--claim", "H-1", "--certificate", none.toString(), plant);
    assertEquals(1, ran.status());
    assertEquals("stoplog: no certificate is written: there is no proof\n", ran.err());
    assertFalse(Files.exists(none));
  }

  @Test
  void whatCannotWorkIsToldBeforehand() {
    String file = directory.resolve("x.proof").toString();
    Ran two = Ran.stoplog("check", "--certificate", file, plant);
    assertEquals(2, two.status());
    assertTrue(two.err().contains("exactly one --claim"), two.err());
    Ran nowhere =
        Ran.stoplog("check", "--claim", "H-2", "--certificate", directory + "/no/x.proof", plant);
    assertEquals(2, nowhere.status());
    assertEquals(2, Ran.stoplog("verify", directory + "/none.proof", plant).status());
    assertEquals(2, Ran.stoplog("verify", proof.toString(), directory + "/none.plant").status());
  }

  /** The checker looks at all of the plant, also at a long chain of definitions beside the claim. */
  @Test
  void longCountBesideTheClaimIsNoHindrance() throws IOException {
    var keys = new java.util.ArrayList<String>();
    for (int i = 1; i <= 50; i++) {
      keys.add("k" + i);
    }
    String all = String.join(", ", keys);
    String text =
        SmallPlant.TEXT
                .replace("panel {", "panel {\n  key " + all)
                .replace("run P-1 when mode is water", "run P-1 when at least 2 of (" + all + ")")
            + "hazard H-3 \"at rest and running\" : P-2 is running and P-2 is at rest\n";
    String many = SmallPlant.in(directory, "many.plant", text);
    Ran ran = Ran.stoplog("check", "--claim", "H-3", "--verify-proofs", many);
    assertEquals(0, ran.status(), ran.out() + ran.err());
  }
}
