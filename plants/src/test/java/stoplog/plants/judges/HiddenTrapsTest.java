package stoplog.plants.judges;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertNotNull;

import java.util.List;
import org.junit.jupiter.api.Test;
import stoplog.dsl.PlantReader;
import stoplog.model.Claim;
import stoplog.model.Model;
import stoplog.source.SourceFile;

/** One small plant for each way in which clauses that hide variables could lose a run of the plant. */
class HiddenTrapsTest {
  private static final int STEPS = 5_000_000;

  /** The second scan comes because of a selector that is hidden. */
  @Test
  void scansComeForTheSakeOfWhatIsHidden() {
    assertReachable(
        """
        plant "trap"
        controller reacts within 1 s
        pump P-1 "pump" { coast 1..2 s }
        panel { selector mode: off, on }
        logic { run P-1 when mode is on }
        hazard H-1 "runs down" : P-1 is turning and P-1 is commanded off
        """,
        "P-1", "P-1.command");
  }

  /** In one scan the hidden memory is read before it is written, and after. */
  @Test
  void hiddenVariablesHaveTwoValuesInOneScan() {
    assertReachable(
        """
        plant "trap"
        controller reacts within 1 s
        pump P-1 "first pump"
        pump P-2 "second pump"
        panel { button start, stop }
        logic {
          run P-1 when not second
          latch second: set by start; cleared by stop
          run P-2 when second
        }
        hazard H-1 "both run" : P-1 is running and P-2 is running
        """,
        "P-1", "P-1.command", "P-2", "P-2.command");
  }

  /** What answers at once to a hidden valve goes off again before the scan that would start the pump. */
  @Test
  void whatIsKeptAnswersToChangesOfWhatIsHidden() {
    assertReachable(
        """
        plant "trap"
        controller reacts within 1 s
        pump P-1 "pump"
        valve FV-1 "hand valve" by hand { travel 0.1..0.2 s }
        switch LS-1 "limit switch" follows FV-1 is open
        logic { run P-1 when LS-1 }
        require H-1 "on until it runs" : once LS-1, LS-1 stays until P-1 is commanded on
        """,
        "P-1", "P-1.command", "LS-1");
  }

  /** A hidden clock would hold the pump back for ever if it counted. */
  @Test
  void whatHiddenClocksWaitForMayComeAtOnce() {
    assertReachable(
        """
        plant "trap"
        controller reacts within 1 s
        pump P-1 "pump"
        condition wet comes and goes
        switch LS-1 "level switch" follows wet within 2..3 s
        logic { run P-1 when LS-1 }
        hazard H-1 "runs" : P-1 is running for 5 s
        """,
        "P-1", "P-1.command", "LS-1");
  }

  /** What is known from the start of something hidden is not known later. */
  @Test
  void hiddenVariablesDoNotStayAsTheyStart() {
    assertReachable(
        """
        plant "trap"
        controller reacts within 1 s
        pump P-1 "pump" { coast 1..2 s }
        panel { selector mode: off, on, test }
        logic {
          latch tested: set by mode is test; cleared by mode is off
          run P-1 when tested
        }
        hazard H-1 "runs" : P-1 is running
        """,
        "P-1", "P-1.command");
  }

  private static void assertReachable(String text, String... kept) {
    Model model = PlantReader.read(new SourceFile("trap.plant", text)).model();
    assertNotNull(model, () -> PlantReader.read(new SourceFile("trap.plant", text)).diagnostics() + "");
    Claim claim = model.claim("H-1");
    assertEquals(
        SolverJudge.Answer.REACHABLE,
        SolverJudge.decideWithin(model, claim, STEPS).answer(),
        "the whole plant");
    assertEquals(
        SolverJudge.Answer.REACHABLE,
        SolverJudge.decideKeeping(model, claim, List.of(kept), STEPS).answer(),
        () -> "kept " + List.of(kept));
  }
}
