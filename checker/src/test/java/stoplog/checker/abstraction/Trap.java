package stoplog.checker.abstraction;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertInstanceOf;

import java.time.Duration;
import stoplog.checker.explore.Budget;
import stoplog.checker.explore.Progress;
import stoplog.checker.reference.TickJudge;
import stoplog.checker.testkit.ModelBuilder;
import stoplog.model.Claim;
import stoplog.model.Model;
import stoplog.model.Verdict;

/** A small plant with one claim, and the ways to decide it that must agree. */
abstract class Trap {
  static final Budget BUDGET = new Budget(100_000, 1L << 28, Duration.ofSeconds(20));
  final ModelBuilder m = new ModelBuilder("trap");

  /** The judge, the search of the whole and the localised search all say so. */
  final void assertDecided(boolean reachable) {
    Model model = m.build();
    Claim claim = model.claims().getFirst();
    TickJudge.Answer judged = TickJudge.reachable(model, claim, 100_000);
    Verdict whole = Decider.decideWhole(model, claim, BUDGET, Progress.NONE);
    Verdict localised = Decider.decide(model, claim, BUDGET, Progress.NONE);
    var verdict = reachable ? Verdict.Reached.class : Verdict.Proved.class;
    assertEquals(reachable, judged instanceof TickJudge.Yes, judged.toString());
    assertInstanceOf(verdict, whole);
    assertInstanceOf(verdict, localised);
  }
}
