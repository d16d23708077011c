package stoplog.checker.cli;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import stoplog.checker.abstraction.Grounds;
import stoplog.checker.abstraction.Precedent;
import stoplog.checker.certificate.Certificate;

/** Verdicts are carried from one run to the next where the question is the same, and nowhere else. */
final class LedgerTest {
  @TempDir Path directory;
  private String plant = "";
  private Path ledger = Path.of("");

  @BeforeEach
  void firstRun() throws IOException {
    plant = SmallPlant.in(directory);
    ledger = directory.resolve("small.ledger");
    Ran first = check();
    assertEquals(Ran.stoplog("check", plant), first);
    assertTrue(Files.exists(ledger));
  }

  private Ran check() {
    return Ran.stoplog("check", "--ledger", ledger.toString(), plant);
  }

  private void edit(String was, String is) throws IOException {
    assertTrue(SmallPlant.TEXT.contains(was));
    SmallPlant.in(directory, "small.plant", SmallPlant.TEXT.replace(was, is));
  }

  private static String withoutMarks(String text) {
    return text.replace(", as before", "");
  }

  @Test
  void verdictOfTheSameQuestionIsCarried() {
    Ran second = check();
    assertEquals(1, second.status());
    assertTrue(second.out().matches("(?s).*H-2  proved +both pumps run +[^\n]*, as before\n.*"), second.out());
    assertTrue(second.out().matches("(?s).*H-1  can happen +[^\n]*, as before\n.*"), second.out());
    assertEquals(Ran.stoplog("check", plant).out(), withoutMarks(second.out()));
    assertEquals("", second.err());
    assertTrue(
        Ran.stoplog("check", "--json", "--ledger", ledger.toString(), plant)
            .out()
            .matches("(?s).*\"asBefore\" ?: ?true.*"));
  }

  @Test
  void editElsewhereLeavesTheProof() throws IOException {
    edit("selector mode: off, water, clean", "selector mode: off, water, clean\n  key spare");
    Ran second = check();
    assertTrue(second.out().contains("as before"), second.out());
    assertEquals(Ran.stoplog("check", plant).out(), withoutMarks(second.out()));
  }

  @Test
  void editOfWhatTheProofLeansOnHasItDecidedAgain() throws IOException {
    edit("interlock \"feed pump off\" : P-1 is commanded off", "interlock \"none\" : mode is clean");
    Ran second = check();
    assertFalse(second.out().matches("(?s).*H-[12] [^\n]*as before.*"), second.out());
    assertEquals(Ran.stoplog("check", plant).out(), withoutMarks(second.out()));
    assertTrue(check().out().matches("(?s).*H-[12] [^\n]*as before.*"), "and carried from then on");
  }

  @Test
  void whoeverWantsTheProofCheckedGetsItAfresh() {
    Ran second = Ran.stoplog("check", "--verify-proofs", "--ledger", ledger.toString(), plant);
    assertFalse(second.out().contains("as before"), second.out());
    assertTrue(second.out().contains("certificate checked"), second.out());
    assertFalse(
        Ran.stoplog("check", "--whole", "--ledger", ledger.toString(), plant)
            .out()
            .contains("as before"));
  }

  @Test
  void damagedLedgerIsNotUsed() throws IOException {
    byte[] whole = Files.readAllBytes(ledger);
    String fresh = Ran.stoplog("check", plant).out();
    for (int i = 15; i < whole.length; i += 7) {
      byte[] changed = whole.clone();
      changed[i] ^= 4;
      Files.write(ledger, changed);
      var opened = Ledger.open(ledger, model());
      assertEquals("it was changed after it was made", opened.ignored(), "byte " + i);
      assertFalse(opened.foreign());
    }
    Files.write(ledger, java.util.Arrays.copyOf(whole, whole.length / 2));
    Ran ran = check();
    assertEquals(fresh, ran.out());
    assertEquals(
        "stoplog: note: " + ledger + " is not used: it was changed after it was made\n", ran.err());
    assertTrue(check().out().contains("as before"), "a whole one was written in its place");
  }

  private stoplog.model.Model model() {
    return java.util.Objects.requireNonNull(
        stoplog.dsl.PlantReader.read(Path.of(plant)).model());
  }

  @Test
  void ledgerOfAnotherVersionOrPlantIsNotUsed() throws IOException {
    String text = Files.readString(ledger);
    String body = text.substring(0, text.lastIndexOf("seal "));
    Files.writeString(
        ledger, stoplog.checker.certificate.Seal.on(body.replace("made by ", "made by x")));
    Ran ran = check();
    assertFalse(ran.out().contains("as before"));
    assertTrue(ran.err().contains("is not used: it was made by another version of stoplog"));
    edit("plant \"Small skid\"", "plant \"Other skid\"");
    ran = check();
    assertFalse(ran.out().contains("as before"));
    assertTrue(ran.err().contains("is not used: it was made for another plant, and is left as it is"));
    assertTrue(Files.readString(ledger).contains("plant Small skid"));
  }

  @Test
  void ledgerOfAnotherFormIsOneOfAnotherVersion() throws IOException {
    String text = Files.readString(ledger);
    String body = text.substring(0, text.lastIndexOf("seal "));
    String other = body.replaceFirst("stoplog ledger \\d+", "stoplog ledger 2");
    assertFalse(other.equals(body));
    Files.writeString(ledger, stoplog.checker.certificate.Seal.on(other));
    Ran ran = check();
    assertTrue(ran.err().contains("is not used: it was made by another version of stoplog"), ran.err());
    assertFalse(ran.out().contains("as before"));
    assertEquals(text, Files.readString(ledger));
  }

  /** Interlocks that would stop a run are looked for again on any other plant, for any other run. */
  @Test
  void remediesAreThoseOfTheSamePlant() throws IOException {
    String text = Files.readString(ledger);
    String body = text.substring(0, text.lastIndexOf("seal "));
    assertTrue(body.contains("remedies H-1\n  question sha256 "), body);
    String other = body.replace("  found 0\n", "  found 1\n  interlock of P-9: SS-9\n");
    assertFalse(other.equals(body));
    Files.writeString(ledger, stoplog.checker.certificate.Seal.on(other));
    assertTrue(check().out().contains("Would stop it (proved): interlock of P-9: SS-9"));
    assertFalse(
        Ran.stoplog("check", "--verify-proofs", "--ledger", ledger.toString(), plant)
            .out()
            .contains("P-9"));
    edit("require R-2 \"the cleaning pump can run\" : can P-2 is running", "");
    Ran edited = check();
    assertTrue(edited.out().matches("(?s).*H-1  can happen [^\n]*as before\n.*"), edited.out());
    assertFalse(edited.out().contains("P-9"), edited.out());
  }

  /** A ledger has one text, and no word of claims that are gone. */
  @Test
  void whatIsSealedButNotWrittenAsLedgersAreIsNotUsed() throws IOException {
    String text = Files.readString(ledger);
    String body = text.substring(0, text.lastIndexOf("seal "));
    Files.writeString(ledger, stoplog.checker.certificate.Seal.on(body + "  more\n"));
    assertEquals("it was changed after it was made", Ledger.open(ledger, model()).ignored());
    Files.writeString(ledger, text);
    assertTrue(text.contains("proof H-2"));
    edit("H-2", "H-3");
    check();
    assertFalse(Files.readString(ledger).contains("proof H-2"));
  }

  @Test
  void fileThatIsNoLedgerIsLeftAlone() throws IOException {
    Ran ran = Ran.stoplog("check", "--ledger", plant, plant);
    assertEquals(1, ran.status());
    assertTrue(ran.err().contains("it is no ledger, and is left as it is"), ran.err());
    assertEquals(SmallPlant.TEXT, Files.readString(Path.of(plant)));
    assertEquals(2, Ran.stoplog("check", "--ledger", directory.toString(), plant).status());
  }

  /** Logic that never comes to rest voids every proof, those of earlier runs too. */
  @Test
  void proofIsVoidWhereThePlantIs() throws IOException {
    String calm = "plant \"Small skid\"\ncontroller reacts within 0 s\n";
    String text = SmallPlant.TEXT.replace("plant \"Small skid\"\ncontroller reacts within 200 ms\n", calm);
    SmallPlant.in(directory, "small.plant", text);
    check();
    assertTrue(check().out().contains("as before"));
    SmallPlant.in(
        directory, "small.plant", text.replace("logic {", "logic {\n  signal flicker = not flicker and mode is water"));
    Ran ran = check();
    Ran fresh = Ran.stoplog("check", plant);
    assertTrue(fresh.out().matches("(?s).*H-2  undecided.*"), fresh.out() + fresh.err());
    assertEquals(fresh.out(), withoutMarks(ran.out()));
    assertFalse(ran.out().matches("(?s).*undecided[^\n]*as before.*"), ran.out());
  }

  @Test
  void whatAProofStandsOnIsReadAsItWasWritten() throws IOException {
    var one = new Certificate.Group(1, List.of(new Certificate.Member("P-1", 6)));
    var two =
        new Certificate.Group(
            2,
            List.of(
                new Certificate.Member("P-1", 2),
                new Certificate.Member("P-2", -1L),
                new Certificate.Member("mode", 5)));
    var part = new Grounds.Part(List.of("P-1", "mode"), false, List.of(one, two), "0a1b");
    var bare = new Grounds.Part(List.of(), true, List.of(), "c");
    var proof = new Precedent.Proof(new Grounds(List.of(part, bare)), -1, 7, 9);
    var other = new Precedent.Proof(new Grounds(List.of(bare)), 3, 1, 2);
    var written = new Ledger(model());
    written.put("H-1", proof);
    written.put("H-2", other);
    written.write(ledger, model());
    var opened = Ledger.open(ledger, model());
    assertEquals(null, opened.ignored());
    assertEquals(proof, opened.ledger().precedent("H-1"));
    assertEquals(other, opened.ledger().precedent("H-2"));
    // Groups of other sizes than they have are no groups.
    String text = Files.readString(ledger);
    String body = text.substring(0, text.lastIndexOf("seal "));
    for (String size : List.of("2/2", "2/4", "1/3")) {
      String changed = body.replace("2/3", size);
      assertFalse(changed.equals(body));
      Files.writeString(ledger, stoplog.checker.certificate.Seal.on(changed));
      assertFalse(proof.equals(Ledger.open(ledger, model()).ledger().precedent("H-1")), size);
    }
  }
}
