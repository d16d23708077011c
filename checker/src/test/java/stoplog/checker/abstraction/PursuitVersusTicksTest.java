package stoplog.checker.abstraction;

import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertInstanceOf;
import static org.junit.jupiter.api.Assertions.assertNotNull;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.time.Duration;
import org.junit.jupiter.api.Test;
import stoplog.checker.differential.RandomModel;
import stoplog.checker.explore.Budget;
import stoplog.checker.explore.Progress;
import stoplog.checker.explore.Search;
import stoplog.checker.reference.Replay;
import stoplog.checker.reference.Replayed;
import stoplog.checker.reference.TickJudge;
import stoplog.model.Claim;
import stoplog.model.Model;
import stoplog.model.Verdict;

/**
 * Runs looked for on the whole model of random models, against every tick of every run. {@code -Dseeds=N}
 * tries N models, {@code -Dseed=S} starts at S.
 */
class PursuitVersusTicksTest {
  private static final Budget BUDGET = new Budget(200_000, 1L << 30, Duration.ofSeconds(10));
  private static final int NODES = 20_000;

  @Test
  void whatIsFoundIsThereAndMostOfWhatIsThereIsFound() {
    long first = Long.getLong("seed", 1);
    long count = Long.getLong("seeds", 1500);
    int reachable = 0;
    int found = 0;
    for (long seed = first; seed < first + count; seed++) {
      Model model = RandomModel.of(seed);
      Claim claim = model.claims().getFirst();
      TickJudge.Answer judged = TickJudge.reachable(model, claim, 20_000);
      if (judged instanceof TickJudge.TooBig) {
        continue;
      }
      var reads = new Reads(model);
      var named = new Kept(reads.of(claim.condition()), false);
      var run = Pursuit.run(reads, claim, searches(claim), named, NODES);
      Verdict verdict = Decider.decideByPursuit(reads, claim, BUDGET, Progress.NONE);
      if (judged instanceof TickJudge.Yes yes) {
        reachable++;
        found += run == null ? 0 : 1;
        assertFalse(verdict instanceof Verdict.Proved, "seed " + seed + ": proved, but reachable");
        if (verdict instanceof Verdict.Reached r) {
          int shortest = yes.trace().steps().size();
          assertTrue(r.fewest() <= shortest, "seed " + seed + ": fewest " + r.fewest());
          assertTrue(r.fewest() <= r.events(), "seed " + seed + ": events " + r.events());
        }
      } else {
        assertTrue(run == null, "seed " + seed + ": a run, but unreachable");
        assertFalse(verdict instanceof Verdict.Reached, "seed " + seed + ": reached");
      }
      if (run != null) {
        leansOnWhatItSays(seed, reads, claim, run);
      }
    }
    System.out.printf("%d reachable, %d of them found%n", reachable, found);
    assertTrue(reachable > count / 10, "too few to mean much");
    assertTrue(found > reachable * 9 / 10, "found only " + found + " of " + reachable);
  }

  /** With only that kept the goal is there, and no farther away than the events counted. */
  private static void leansOnWhatItSays(
      long seed, Reads reads, Claim claim, Following.Result.Real run) {
    assertInstanceOf(
        Replayed.Valid.class, Replay.run(reads.model(), claim, run.trace()), "seed " + seed);
    assertTrue(run.events() <= run.trace().steps().size(), "events of seed " + seed);
    Search.Outcome outcome =
        searches(claim)
            .run(new KeptSystem(reads, claim, run.kept()), run.kept(), Search.Zoning.FOR_REACHING);
    var path = assertInstanceOf(Search.Outcome.Found.class, outcome, "seed " + seed);
    assertNotNull(path.path());
    assertTrue(
        path.path().steps().length <= run.events(),
        "seed " + seed + ": " + run.events() + " events, but " + path.path().steps().length);
  }

  private static Searches searches(Claim claim) {
    return new Searches(claim.id(), BUDGET, Progress.NONE);
  }
}
