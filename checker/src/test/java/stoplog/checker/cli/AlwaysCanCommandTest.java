package stoplog.checker.cli;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** {@code always can} from the plant's text to the report. */
final class AlwaysCanCommandTest {
  private static final String PLANT =
      """
      plant "Small skid"
      controller reacts within 200 ms

      pump P-1 "feed pump" { coast 1..2 s }

      condition dry "no water"    comes and goes
      switch LS-1 "low level" follows dry within 1..2 s

      panel {
        button start, stop, reset
      }

      logic {
        latch ran_dry: set by LS-1; cleared by %s
        latch making_water: set by start; cleared by stop or ran_dry
        run P-1 when making_water
      }

      require R-1 "water can be made" : always can P-1 is running
      require R-2 "the pump can be stopped" : always can P-1 is at rest
      require R-3 "water can be made while there is some" : always can P-1 is running
        assuming not dry
      """;

  @TempDir private Path directory;

  private String plant(String cleared) throws IOException {
    return SmallPlant.in(directory, "small.plant", PLANT.formatted(cleared));
  }

  @Test
  void lockOutIsAFinding() throws IOException {
    Ran ran = Ran.stoplog("check", plant("reset and stop and LS-1 and not LS-1"));
    assertEquals(1, ran.status(), ran.out() + ran.err());
    assertTrue(ran.out().contains("R-1  broken"), ran.out());
    assertTrue(ran.out().contains("R-1 can lock out: water can be made"), ran.out());
    assertTrue(ran.out().contains("BROKEN      locked out: water can be made"), ran.out());
    assertTrue(ran.out().contains("R-2  holds"), ran.out());
    assertTrue(ran.out().contains("R-3  holds"), ran.out());
  }

  @Test
  void whatTheOperatorCanResetIsNoLockOut() throws IOException {
    Ran ran = Ran.stoplog("check", "--verify-proofs", plant("reset and not LS-1"));
    assertEquals(0, ran.status(), ran.out() + ran.err());
    assertTrue(ran.out().contains("always possible"), ran.out());
    assertTrue(ran.out().contains("not checked twice: no certificate of this kind yet"), ran.out());
    assertFalse(ran.out().contains("certificate checked"), ran.out());
    Ran whole = Ran.stoplog("check", "--whole", plant("reset and not LS-1"));
    assertEquals(0, whole.status(), whole.out() + whole.err());
  }

  @Test
  void certificateIsRefusedBeforeAnythingIsDecided() throws IOException {
    Path proof = directory.resolve("r1.proof");
    Ran ran =
        Ran.stoplog(
            "check", "--claim", "R-1", "--certificate", proof.toString(), plant("reset"));
    assertEquals(2, ran.status(), ran.out());
    assertEquals("", ran.out());
    assertTrue(ran.err().contains("no certificate can be written for R-1"), ran.err());
    assertFalse(Files.exists(proof));
  }

  @Test
  void exportIsRefused() throws IOException {
    Ran ran = Ran.stoplog("export", "--horn", "--claim", "R-1", plant("reset"));
    assertEquals(2, ran.status(), ran.out());
    assertEquals("", ran.out());
    assertTrue(ran.err().contains("R-1 asks for what can always be"), ran.err());
  }
}
