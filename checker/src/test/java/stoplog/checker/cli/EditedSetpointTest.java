package stoplog.checker.cli;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.file.Path;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** An operator may edit a setpoint between two uses; a story that depends on it has to say so. */
final class EditedSetpointTest {
  private static final String TWO_USES =
      """
      plant "two uses"
      controller reacts within 100 ms
      pump P-1
      pump P-2
      panel {
        hold-button a
        setpoint soak = 10 s within 5..30 s
        setpoint rinse = 10 s within 5..30 s
      }
      logic {
        run P-1 when a for soak
        run P-2 when a for soak
      }
      hazard H-1 "one soaks longer" : P-1 is turning and P-2 is at rest for 7 s
      """;

  @TempDir Path directory;

  private String check(String text) throws IOException {
    Ran ran = Ran.stoplog("check", SmallPlant.in(directory, "edited.plant", text), "--no-remedies");
    assertEquals(1, ran.status(), ran.out() + ran.err());
    return ran.out().replaceAll("\\s+", " ");
  }

  @Test
  void runThatNeedsTwoValuesOfOneSetpointSaysSo() throws IOException {
    String told = check(TWO_USES);
    assertTrue(
        told.contains("soak is at least 12.0 s here and was 5.0 s before: an operator edits it in between"),
        told);
  }

  @Test
  void twoSetpointsMayDiffer() throws IOException {
    assertFalse(check(TWO_USES.replace("P-2 when a for soak", "P-2 when a for rinse")).contains("edits it"));
  }
}
