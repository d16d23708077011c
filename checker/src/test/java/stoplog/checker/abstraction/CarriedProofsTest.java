package stoplog.checker.abstraction;

import static org.junit.jupiter.api.Assertions.assertInstanceOf;
import static org.junit.jupiter.api.Assertions.assertNotNull;
import static org.junit.jupiter.api.Assertions.assertNull;
import static stoplog.model.Expr.all;

import java.time.Duration;
import org.junit.jupiter.api.Test;
import stoplog.checker.explore.Budget;
import stoplog.checker.explore.Progress;
import stoplog.checker.reference.TickJudge;
import stoplog.checker.testkit.ModelBuilder;
import stoplog.checker.testkit.ModelBuilder.Var;
import stoplog.model.Claim;
import stoplog.model.Model;
import stoplog.model.Role;
import stoplog.model.Verdict;

/** Edits that seem to touch only what a proof does not keep. */
class CarriedProofsTest {
  private static final Budget BUDGET = new Budget(100_000, 1L << 28, Duration.ofSeconds(20));

  /**
   * The hit waits for a scan while what it does to the lamp is of concern to somebody, if only to what
   * the hit itself does to the copy, which nobody keeps. Once nobody reads the lamp it need not wait.
   */
  private static Model hit(boolean copies) {
    var m = new ModelBuilder("hit");
    Var input = m.switched("input");
    Var output = m.bit("output", Role.COMMAND);
    Var lamp = m.bit("lamp", Role.COMMAND);
    Var harm = m.bit("harm", Role.PROCESS);
    Var copy = m.bit("copy", Role.PROCESS);
    m.change("hit")
        .when(all(input.on(), output.off()))
        .does(copy.to(copies ? lamp.read() : ModelBuilder.value(0)), lamp.to(1), harm.to(1));
    m.scans(output.to(input.on()), lamp.to(0));
    m.hazard("H", harm.on());
    return m.build();
  }

  @Test
  void whatAChangeReadsForTheSakeOfAHiddenVariableIsPartOfTheQuestion() {
    Model before = hit(true);
    Claim claim = before.claims().getFirst();
    assertInstanceOf(TickJudge.No.class, TickJudge.reachable(before, claim, 10_000));
    Decider.Decision decision =
        Decider.decideRecorded(new Reads(before), claim, false, BUDGET, Progress.NONE);
    var proved = assertInstanceOf(Verdict.Proved.class, decision.verdict());
    Grounds grounds = decision.grounds();
    assertNotNull(grounds);
    var proof = new Precedent.Proof(grounds, proved.longestQuanta(), 1, 1);
    assertNotNull(proof.carried(new Reads(hit(true)), claim));
    Model after = hit(false);
    Claim asked = after.claims().getFirst();
    assertInstanceOf(TickJudge.Yes.class, TickJudge.reachable(after, asked, 10_000));
    assertNull(proof.carried(new Reads(after), asked));
  }
}
