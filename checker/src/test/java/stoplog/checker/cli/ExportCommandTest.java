package stoplog.checker.cli;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
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
    assertEquals("stoplog: the plant has no claim H-9\n", claim.err());
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
    assertEquals("stoplog: H-1 is not proved: a run gets there\n", run.err());
    assertEquals("", run.out());
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
}
