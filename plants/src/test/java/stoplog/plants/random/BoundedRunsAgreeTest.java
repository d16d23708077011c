package stoplog.plants.random;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.time.Duration;
import net.jqwik.api.Example;
import stoplog.checker.abstraction.Decider;
import stoplog.checker.explore.Budget;
import stoplog.checker.explore.Progress;
import stoplog.model.Claim;
import stoplog.model.Model;
import stoplog.model.Verdict;
import stoplog.plants.judges.BoundedJudge;
import stoplog.plants.judges.Untimed;

/**
 * A satisfiability library finds a run of as many steps as our shortest one, and none with fewer, on
 * random plants without their times; what we prove out of reach it does not find within {@link
 * #MOST_STEPS}. {@code -Dstoplog.plants=N} compares N claims.
 */
class BoundedRunsAgreeTest {
  private static final int MOST_STEPS = 7;
  private static final Budget BUDGET =
      new Budget(20_000, 1L << 28, Duration.ofSeconds(10));

  @Example
  void satisfiabilityFindsTheShortestRuns() {
    int wanted = Integer.getInteger("stoplog.plants", 500);
    var plants = new PlantStream();
    int[] found = new int[MOST_STEPS + 1];
    int farther = 0;
    int unreachable = 0;
    int large = 0;
    for (int compared = 0; compared < wanted; ) {
      Model model = Untimed.of(plants.next());
      if (model.claims().isEmpty()) {
        continue;
      }
      Claim claim = model.claims().getFirst();
      int ours;
      switch (Decider.decideWhole(model, claim, BUDGET, Progress.NONE)) {
        case Verdict.Reached r -> {
          ours = r.trace().steps().size();
          assertEquals(ours, r.fewest(), plants::text);
        }
        case Verdict.Proved p -> ours = BoundedJudge.NOT_WITHIN;
        case Verdict.Undecided u -> {
          large++;
          continue;
        }
      }
      compared++;
      int expected = ours > MOST_STEPS ? BoundedJudge.NOT_WITHIN : ours;
      assertEquals(expected, BoundedJudge.leastSteps(model, claim, MOST_STEPS), plants::text);
      if (expected >= 0) {
        found[expected]++;
      } else if (ours > MOST_STEPS) {
        farther++;
      } else {
        unreachable++;
      }
    }
    System.out.println(
        java.util.Arrays.toString(found) + " by steps, " + farther + " farther, " + unreachable
            + " unreachable; passed over as too large: " + large);
    assertTrue(unreachable > wanted / 10, unreachable + " unreachable");
    assertTrue(found[0] < wanted / 2, found[0] + " without a step");
    assertTrue(large < wanted, large + " passed over");
  }
}
