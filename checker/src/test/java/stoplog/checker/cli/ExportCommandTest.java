package stoplog.checker.cli;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** The clauses are whole text of the standard; what they say is judged by a solver in plants. */
final class ExportCommandTest {
  @TempDir Path directory;
  private String plant = "";

  @BeforeEach
  void plant() throws IOException {
    plant = SmallPlant.in(directory);
  }

  @Test
  void clausesOfOneClaimAreWritten() {
    Ran ran = Ran.stoplog("export", "--horn", "--claim", "H-1", plant);
    assertEquals(0, ran.status(), ran.err());
    assertEquals("", ran.err());
    String text = ran.out();
    assertTrue(text.startsWith("; Small skid, H-1: cleaning while the feed pump turns\n"), text);
    assertTrue(text.contains("\n(set-logic HORN)\n"), text);
    assertTrue(text.contains("; mode to clean\n"), text);
    assertTrue(text.endsWith("(check-sat)\n"), text);
    long open = text.replaceAll("(?m)^;.*$|\\|[^|]*\\|", "").chars().filter(c -> c == '(').count();
    long shut = text.replaceAll("(?m)^;.*$|\\|[^|]*\\|", "").chars().filter(c -> c == ')').count();
    assertEquals(open, shut);
  }

  @Test
  void wrongClaimAndWrongPlantAreToldInOneLine() {
    Ran claim = Ran.stoplog("export", "--horn", "--claim", "H-9", plant);
    assertEquals(2, claim.status());
    assertEquals("stoplog: the plant has no claim H-9; it has H-1, H-2, R-1, R-2\n", claim.err());
    Ran file = Ran.stoplog("export", "--horn", "--claim", "H-1", plant + "x");
    assertEquals(2, file.status());
    assertEquals("", file.out());
    Ran format = Ran.stoplog("export", "--claim", "H-1", plant);
    assertEquals(2, format.status());
    assertEquals(1, format.errLines(), format.err());
  }

  @Test
  void onlyWhatIsKeptIsWritten() {
    Ran ran =
        Ran.stoplog(
            "export", "--horn", "--claim", "H-2", "--keep", "P-1,P-1.command", "--keep", "P-2", plant);
    assertEquals(0, ran.status(), ran.err());
    assertEquals("", ran.err());
    String text = ran.out();
    String kept = "; Kept:\n;   P-1\n;   P-1.command\n;   P-2\n; Times";
    assertTrue(text.contains(kept), text);
    assertTrue(text.contains("; sat: the condition of the claim cannot be reached, nor can it by the whole plant"), text);
    assertTrue(text.contains("\n(declare-fun |plant reached| (Int Bool Int Real Int Real Real) Bool)\n"), text);
    assertTrue(text.contains("; something hidden changes\n"), text);
    assertFalse(text.contains("; mode to clean\n"), text);
  }

  @Test
  void whatAProofLeansOnIsKept() {
    Ran leaning = Ran.stoplog("export", "--horn", "--claim", "H-2", "--leaning", plant);
    assertEquals(0, leaning.status(), leaning.err());
    Ran keeping =
        Ran.stoplog(
            "export", "--horn", "--claim", "H-2", "--keep", "P-1,P-1.command,P-2,P-2.command", plant);
    assertEquals(keeping.out(), leaning.out());
    Ran run = Ran.stoplog("export", "--horn", "--claim", "H-1", "--leaning", plant);
    assertEquals(2, run.status());
    assertEquals("stoplog: H-1 can happen, which a run shows: there is no proof that leans on anything; leave out"
            + " --leaning\n",
        run.err());
    assertEquals("", run.out());
    Ran can = Ran.stoplog("export", "--horn", "--claim", "R-1", "--leaning", plant);
    assertEquals(2, can.status());
    assertTrue(can.err().startsWith("stoplog: R-1 holds, which a run shows: there is no proof"), can.err());
  }

  @Test
  void scenarioIsNoClaim() throws IOException {
    String played =
        SmallPlant.in(
            directory,
            "played.plant",
            SmallPlant.TEXT + "scenario S-1 \"rests\" certain { at 1 s see P-2 is at rest }\n");
    Ran ran = Ran.stoplog("export", "--horn", "--claim", "S-1", played);
    assertEquals(2, ran.status());
    assertEquals(
        "stoplog: S-1 is a scenario, which is played; only claims can be exported\n", ran.err());
  }

  @Test
  void whatCannotBeKeptIsToldInOneLine() {
    assertEquals("the plant has no variable Q", refusal("--keep", "P-1,Q"));
    assertEquals(
        "the plant has no variable P-1.comand; did you mean P-1.command?",
        refusal("--keep", "P-1.comand"));
    assertEquals(
        "--keep and --leaning both say what is kept: only one of them can",
        refusal("--keep", "P-1", "--leaning"));
  }

  private String refusal(String... kept) {
    var words = new ArrayList<>(List.of("export", "--horn", "--claim", "H-2"));
    words.addAll(List.of(kept));
    words.add(plant);
    Ran ran = Ran.stoplog(words.toArray(String[]::new));
    assertEquals(2, ran.status());
    assertEquals("", ran.out());
    return ran.err().replaceFirst("^stoplog: ", "").strip();
  }

  /** What counts many conditions is a long chain of definitions, each used twice by the next. */
  @Test
  void longCountsAreWrittenOut() throws IOException {
    String many = SmallPlant.in(directory, "many.plant", SmallPlant.withALongCount());
    Ran ran = Ran.stoplog("export", "--horn", "--claim", "H-1", many);
    assertEquals(0, ran.status(), ran.err());
    assertTrue(ran.out().endsWith("(check-sat)\n"));
  }

  @Test
  void aProofIsWrittenAsQuestions() throws IOException {
    String proof = certificate("H-2");
    Ran ran = Ran.stoplog("export", "--proof", proof, plant);
    assertEquals(0, ran.status(), ran.err());
    assertEquals("", ran.err());
    String text = ran.out();
    assertTrue(text.contains("\n(set-logic QF_LIRA)\n(define-fun |states| ("), text);
    assertTrue(text.contains("\n; the start\n(push 1)\n"), text);
    assertTrue(text.endsWith("(check-sat)\n(pop 1)\n"), text);
  }

  @Test
  void whatIsNoProofOfThePlantIsToldInOneLine() throws IOException {
    assertRefused("holds a run: only a proof can be asked about; verify replays it", certificate("H-1"));
    String proof = certificate("H-2");
    assertRefused("the certificate cannot be read", proof + "x");
    Files.writeString(directory.resolve("cut"), Files.readString(Path.of(proof)).substring(0, 90));
    assertRefused("cut", directory.resolve("cut").toString());
    Files.write(directory.resolve("bytes"), new byte[] {(byte) 0xC3, 0x28});
    assertRefused("it is no UTF-8 text", directory.resolve("bytes").toString());
    assertRefused("--proof stands alone", proof, "--claim", "H-2");
    Path file = Path.of(plant);
    Files.writeString(file, Files.readString(file).replace("pump turns", "pump turns yet"));
    assertRefused("it was made for another plant", proof);
  }

  private String certificate(String claim) {
    String file = directory.resolve(claim + ".certificate").toString();
    Ran.stoplog("check", "--claim", claim, "--certificate", file, plant);
    return file;
  }

  private void assertRefused(String why, String proof, String... more) {
    var words = new ArrayList<>(List.of("export", "--proof", proof));
    words.addAll(List.of(more));
    words.add(plant);
    Ran ran = Ran.stoplog(words.toArray(String[]::new));
    assertEquals(2, ran.status(), ran.err());
    assertEquals("", ran.out());
    assertEquals(1, ran.errLines(), ran.err());
    assertTrue(ran.err().contains(why), ran.err());
  }
}
