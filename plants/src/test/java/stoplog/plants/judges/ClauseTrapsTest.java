package stoplog.plants.judges;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertNotNull;

import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import stoplog.dsl.PlantReader;
import stoplog.model.Model;
import stoplog.source.SourceFile;

/**
 * One small plant, and its neighbour, for each way in which clauses over a whole plant could lose a
 * run of it or have one that it has not: each reachable claim is just so.
 */
class ClauseTrapsTest {
  private static final int STEPS = 5_000_000;

  /** The pump follows one scan after the latch, and each of the two has the whole reaction time. */
  @ParameterizedTest
  @CsvSource({"1500, REACHABLE", "2000, UNREACHABLE"})
  void eachScanHasTheReactionTimeAfresh(int milliseconds, SolverJudge.Answer answer) {
    assertAnswer(
        answer,
        """
        plant "trap"
        controller reacts within 1 s
        pump P-1 "pump"
        panel { selector mode: off, on }
        logic {
          run P-1 when seen
          latch seen: set by mode is on; cleared by mode is off
        }
        hazard H-1 "late" : mode is on and P-1 is commanded off for %d ms
        """
            .formatted(milliseconds));
  }

  /** No time passes while a scan is due that comes at once. */
  @ParameterizedTest
  @CsvSource({"0, UNREACHABLE", "1, REACHABLE"})
  void whatAnImmediateScanEndsDoesNotLast(int reaction, SolverJudge.Answer answer) {
    assertAnswer(
        answer,
        """
        plant "trap"
        controller reacts within %d s
        pump P-1 "pump"
        panel { selector mode: off, on }
        logic { run P-1 when mode is on }
        hazard H-1 "late" : mode is on and P-1 is commanded off
        """
            .formatted(reaction));
  }

  /** The pump that makes foam stands at once without power: it fails while the scan is due. */
  @ParameterizedTest
  @CsvSource({"power may fail, REACHABLE", "'', UNREACHABLE"})
  void powerFailureDoesNotWaitForAScan(String power, SolverJudge.Answer answer) {
    assertAnswer(
        answer,
        """
        plant "trap"
        %s
        controller reacts within 0 s, coincident 1
        pump P-1 "pump"
        pump P-2 "other pump"
        condition foam { may start when P-1 is running; initially absent }
        switch LS-1 "foam switch" follows foam
        logic {
          run P-1 when not LS-1
          run P-2 when LS-1
        }
        require H-1 "answer" :
          after foam and P-1 is running, P-2 is commanded on within 5 s
        """
            .formatted(power));
  }

  /** A timer of just this time is over then, and not before. */
  @ParameterizedTest
  @CsvSource({"1999, REACHABLE", "2000, UNREACHABLE"})
  void windowOfOneInstantIsOpen(int milliseconds, SolverJudge.Answer answer) {
    String timer =
        """
        plant "trap"
        controller reacts within 0 s
        pump P-1 "pump"
        panel { selector mode: off, on }
        logic { run P-1 when mode is on for 2 s }
        """;
    assertAnswer(
        answer,
        timer
            + "hazard H-1 \"late\" : mode is on and P-1 is commanded off for "
            + (milliseconds + " ms"));
    assertAnswer(
        SolverJudge.Answer.REACHABLE, timer + "hazard H-1 \"runs\" : P-1 is commanded on");
  }

  /** A fault strikes once, and no more often than the claim tolerates. */
  @ParameterizedTest
  @CsvSource({"1, REACHABLE, FV-1", "1, UNREACHABLE, FV-1 and FV-2", "2, REACHABLE, FV-1 and FV-2"})
  void faultsStrikeWithinTheBudget(int faults, SolverJudge.Answer answer, String stuck) {
    assertAnswer(
        answer,
        """
        plant "trap"
        controller reacts within 1 s
        valve FV-1 "valve" { travel 1..2 s }
        valve FV-2 "other valve" { travel 1..2 s }
        panel { selector mode: off, on }
        logic {
          open FV-1 when mode is on
          open FV-2 when mode is on
        }
        hazard H-1 "stuck" : %s tolerates %d fault%s of FV-1, FV-2
        """
            .formatted(
                stuck.replaceAll("(FV-.)", "$1 is sticks"), faults, faults == 1 ? "" : "s"));
  }

  private static void assertAnswer(SolverJudge.Answer answer, String text) {
    var read = PlantReader.read(new SourceFile("trap.plant", text));
    Model model = read.model();
    assertNotNull(model, () -> read.diagnostics().toString());
    assertEquals(answer, SolverJudge.decideWithin(model, model.claim("H-1"), STEPS).answer());
  }
}
