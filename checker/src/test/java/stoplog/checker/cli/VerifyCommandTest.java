package stoplog.checker.cli;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Duration;
import java.util.List;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import stoplog.checker.analyse.Health;
import stoplog.checker.analyse.Remembered;
import stoplog.checker.certificate.Certificate;
import stoplog.checker.certificate.CertificateText;
import stoplog.checker.certificate.Seal;
import stoplog.checker.evidence.RunText;
import stoplog.checker.explore.Budget;
import stoplog.checker.explore.Progress;
import stoplog.dsl.PlantReader;
import stoplog.model.Claim;
import stoplog.model.Model;
import stoplog.model.Trace;
import stoplog.model.Verdict;
import stoplog.source.Span;

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

  /** A proof by cases has its states in them. */
  @Test
  void statesOfAllCasesAreCounted() throws IOException, CertificateText.Damaged {
    String either =
        "hazard H-3 \"both in some way\" :\n"
            + "  (P-1 is running and P-2 is running) or (P-1 is running and P-2 is commanded on)\n";
    plant = SmallPlant.in(directory, "either.plant", SmallPlant.TEXT + either);
    Ran.stoplog("check", "--claim", "H-3", "--certificate", proof.toString(), plant);
    List<Certificate> cases = CertificateText.read(Files.readString(proof)).cases();
    assertEquals(2, cases.size());
    int states = cases.get(0).states().size() + cases.get(1).states().size();
    Ran ran = verify();
    assertEquals(0, ran.status(), ran.err());
    assertTrue(states > 2 && ran.out().endsWith(", " + states + " states checked)\n"), ran.out());
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
  void certificateProvesNothingWhereThePlantVoidsProofs() {
    Engine blocked =
        new Engine() {
          @Override
          public Verdict decide(Claim claim, boolean whole, Budget budget, Progress progress) {
            throw new AssertionError("nothing is to be decided");
          }

          @Override
          public List<Health.Finding> examine(
              List<Claim> proved, Duration most, Remembered remembered, Progress progress) {
            return List.of(new Health.Finding(Health.Kind.BLOCKED, "nothing ends it", Span.NONE));
          }
        };
    Ran ran = Ran.with(_ -> blocked, new Interruption(), "verify", proof.toString(), plant);
    assertEquals(1, ran.status(), ran.out() + ran.err());
    assertEquals("", ran.out());
    assertTrue(ran.err().contains("it would prove it but for this: nothing ends it"), ran.err());
  }

  private Path run() {
    Path run = directory.resolve("h1.run");
    Ran ran = Ran.stoplog("check", "--claim", "H-1", "--certificate", run.toString(), plant);
    assertEquals(1, ran.status(), ran.out() + ran.err());
    assertEquals("", ran.err());
    return run;
  }

  @Test
  void runThatWasWrittenIsReplayed() throws IOException {
    Path run = run();
    Ran ran = Ran.stoplog("verify", run.toString(), plant);
    assertEquals(0, ran.status(), ran.err());
    assertTrue(
        ran.out().matches(
            "H-1 can happen: cleaning while the feed pump turns"
                + " \\(Small skid, [0-9]+ steps replayed, [0-9.]+ s\\)\n"),
        ran.out());
    String text = Files.readString(run);
    assertTrue(text.contains("\nstart P-1 is at rest ("), text);
    assertTrue(text.contains(" s scan\n"), text);
  }

  /** What lasts longer than a time is reached an instant after it: that is no time to be told. */
  @Test
  void runEndsWhenItsStoryDoes() throws IOException {
    String text = SmallPlant.TEXT.replace("P-2 is turning\nhazard", "P-2 is turning for 0.9 s\nhazard");
    String lasting = SmallPlant.in(directory, "lasting.plant", text);
    String run = directory.resolve("h1.run").toString();
    Ran told = Ran.stoplog("check", "--claim", "H-1", "--certificate", run, lasting);
    assertTrue(told.out().contains(" events, 0.9 s\n"), told.out());
    Ran ran = Ran.stoplog("verify", run, lasting);
    assertTrue(ran.out().endsWith(" steps replayed, 0.9 s)\n"), ran.out());
  }

  @Test
  void plantAndCertificateTheWrongWayRoundAreToldAsThat() {
    for (String where : List.of(plant, directory.toString())) {
      Ran ran = Ran.stoplog("verify", where, proof.toString());
      assertEquals(2, ran.status());
      assertEquals(
          "stoplog: " + where + " is a plant; the certificate comes first: stoplog verify " + proof
              + " " + where + "\n",
          ran.err());
    }
  }

  @Test
  void runOfAPlantThatMeetsARequirementIsReplayed() throws IOException {
    Ran ran = Ran.stoplog("check", "--claim", "R-1", "--certificate", proof.toString(), plant);
    assertEquals(0, ran.status(), ran.err());
    assertTrue(verify().out().startsWith("R-1 holds, this run gets there: water can be made ("));
    SmallPlant.in(directory, "small.plant", SmallPlant.TEXT.replace("coast 1..2 s", "coast 1..3 s"));
    refused("it was made for another plant");
  }

  @Test
  void runThatBreaksARequirementIsReplayed() throws IOException {
    String text =
        SmallPlant.TEXT
            + "require R-9 \"never both\" : never together P-1 is turning, P-2 is turning\n"
            + "require R-10 \"soon at rest\" : after mode is off, P-1 is at rest within 0.5 s\n";
    String broken = SmallPlant.in(directory, "broken.plant", text);
    for (String id : List.of("R-9", "R-10")) {
      String run = directory.resolve(id).toString();
      Ran ran = Ran.stoplog("check", "--claim", id, "--certificate", run, broken);
      assertEquals(1, ran.status(), ran.out() + ran.err());
      Ran verified = Ran.stoplog("verify", run, broken);
      assertEquals(0, verified.status(), verified.err());
      assertTrue(verified.out().startsWith(id + " broken, this run shows it: "), verified.out());
    }
  }

  @Test
  void everySingleChangedByteIsRefused() throws IOException {
    Path run = run();
    for (Path file : List.of(proof, run)) {
      byte[] whole = Files.readAllBytes(file);
      Model model = java.util.Objects.requireNonNull(PlantReader.read(Path.of(plant)).model());
      for (int i = 0; i < whole.length; i++) {
        for (int bit = 0; bit < 8; bit++) {
          byte[] changed = whole.clone();
          changed[i] ^= (byte) (1 << bit);
          assertThrows(IOExceptionOrDamaged.class, () -> read(model, changed), "byte " + i);
        }
      }
      for (int length = 0; length < whole.length; length++) {
        byte[] cut = java.util.Arrays.copyOf(whole, length);
        assertThrows(IOExceptionOrDamaged.class, () -> read(model, cut), "cut at " + length);
      }
      byte[] longer = java.util.Arrays.copyOf(whole, whole.length + 1);
      longer[whole.length] = '\n';
      assertThrows(IOExceptionOrDamaged.class, () -> read(model, longer));
    }
    byte[] whole = Files.readAllBytes(proof);
    whole[whole.length / 2] ^= 1;
    Files.write(proof, whole);
    refused("it is no certificate, or was changed after it was made");
  }

  /**
   * Whoever changes a text and seals it anew has to convince the checker. What says the same in other
   * words is refused as such; what says something else has to be true.
   */
  @Test
  void textSealedAnewIsRefusedOrMeansSomethingElse() throws IOException {
    Path run = run();
    Model model = java.util.Objects.requireNonNull(PlantReader.read(Path.of(plant)).model());
    for (Path file : List.of(proof, run)) {
      String text = Files.readString(file);
      String body = text.substring(0, text.lastIndexOf("seal sha256"));
      String original = text;
      for (int i = 0; i < body.length(); i++) {
        for (char c : "0 1\nx-=".toCharArray()) {
          String changed = body.substring(0, i) + c + body.substring(i + 1);
          if (!changed.equals(body)) {
            String sealed = Seal.on(changed);
            try {
              assertEquals(sealed, written(model, sealed), "one text for each meaning");
              assertFalse(sealed.equals(original));
            } catch (CertificateText.Damaged _) {
              // As it should be.
            }
          }
        }
      }
    }
  }

  private static String written(Model model, String text) throws CertificateText.Damaged {
    if (!RunText.isOne(text)) {
      return CertificateText.write(CertificateText.read(text));
    }
    RunText.Run run = RunText.read(model, text);
    return RunText.write(model, run.claim(), run.trace());
  }

  @Test
  void forgedRunIsRefused() throws Exception {
    Path run = run();
    Model model = java.util.Objects.requireNonNull(PlantReader.read(Path.of(plant)).model());
    Trace t = RunText.read(model, Files.readString(run)).trace();
    Claim claim = model.claim("H-1");
    proof = run;
    forge(model, claim, new Trace(t.ticksPerQuantum(), t.start(), t.steps(), t.endTick() - 1));
    refused("it does not end where it says: ");
    List<Trace.Step> steps = t.steps();
    forge(
        model, claim,
        new Trace(t.ticksPerQuantum(), t.start(), steps.subList(0, steps.size() - 1), t.endTick()));
    refused("it");
    forge(model, model.claim("H-2"), t);
    refused("it does not end where it says: ");
    var late = new java.util.ArrayList<>(steps);
    Trace.Step last = steps.getLast();
    late.set(late.size() - 1, new Trace.Step(last.tick() + 1_000_000, last.change()));
    forge(
        model, claim, new Trace(t.ticksPerQuantum(), t.start(), late, t.endTick() + 1_000_000));
    refused("its step ");
  }

  private void forge(Model model, Claim claim, Trace trace) throws IOException {
    SealedFile.write(proof, RunText.write(model, claim, trace));
  }

  @Test
  void checkWithoutTimeIsNoCheck() {
    var interruption = new Interruption();
    interruption.ask();
    Ran ran = Ran.with(Engine::shipped, interruption, "verify", proof.toString(), plant);
    assertEquals(3, ran.status(), ran.out() + ran.err());
    assertEquals("", ran.out());
    assertEquals("stoplog: " + proof + " is not checked: interrupted\n", ran.err());
    Ran states = Ran.stoplog("verify", "--budget", "states=5", proof.toString(), plant);
    assertEquals(2, states.status());
    assertEquals("stoplog: a check needs a budget of time only\n", states.err());
  }

  private static final class IOExceptionOrDamaged extends Exception {
    private static final long serialVersionUID = 1;
  }

  private static void read(Model model, byte[] bytes) throws IOExceptionOrDamaged {
    try {
      String text = SealedFile.text(bytes);
      if (RunText.isOne(text)) {
        RunText.read(model, text);
      } else {
        CertificateText.read(text);
      }
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
    Certificate c = CertificateText.read(Files.readString(proof));
    assertTrue(c.states().size() > 1);
    var forged =
        new Certificate(
            c.plant(), c.fingerprint(), c.claim(), c.keeps(), c.follows(), c.groups(), c.due(),
            c.states().subList(0, 1));
    SealedFile.write(proof, CertificateText.write(forged));
    refused("it is not closed");
    var empty =
        new Certificate(
            c.plant(), c.fingerprint(), c.claim(), c.keeps(), c.follows(), c.groups(), c.due(),
            List.of());
    SealedFile.write(proof, CertificateText.write(empty));
    refused("it is not closed");
  }

  @Test
  void whatIsUndecidedHasNoCertificate() {
    Path none = directory.resolve("h1.proof");
    Ran ran =
        Ran.stoplog(
            "check", "--whole", "--budget", "states=2", "--claim", "H-1", "--certificate",
            none.toString(), plant);
    assertEquals(3, ran.status());
    assertEquals(
        "stoplog: no certificate is written: there is neither proof nor run\n", ran.err());
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
    String text =
        SmallPlant.withALongCount()
            + "hazard H-3 \"at rest and running\" : P-2 is running and P-2 is at rest\n";
    String many = SmallPlant.in(directory, "many.plant", text);
    Ran ran = Ran.stoplog("check", "--claim", "H-3", "--verify-proofs", many);
    assertEquals(0, ran.status(), ran.out() + ran.err());
  }
}
