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

  /**
   * What the claim remembers answers to a selector that is hidden, while no scan comes: one that sees it
   * on would have the pump commanded.
   */
  @Test
  void whatIsKeptAnswersToChangesOfWhatIsHidden() {
    assertReachable(
        """
        plant "trap"
        controller reacts within 1 s
        pump P-1 "pump"
        pump P-2 "other pump"
        panel { selector mode: off, on; selector other: off, on }
        logic {
          run P-1 when mode is on
          run P-2 when other is on
        }
        require H-1 "one after the other" :
          after mode is on and P-2 is running, P-1 is commanded on within 5 s
        """,
        "P-1", "P-1.command", "P-2", "P-2.command");
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
