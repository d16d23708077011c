package stoplog.checker.cli;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.file.Path;
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

  /** What counts many conditions is a long chain of definitions, each used twice by the next. */
  @Test
  void longCountsAreWrittenOut() throws IOException {
    String many = SmallPlant.in(directory, "many.plant", SmallPlant.withALongCount());
    Ran ran = Ran.stoplog("export", "--horn", "--claim", "H-1", many);
    assertEquals(0, ran.status(), ran.err());
    assertTrue(ran.out().endsWith("(check-sat)\n"));
  }
}
