package stoplog.checker.abstraction;

import static org.junit.jupiter.api.Assertions.assertInstanceOf;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.time.Duration;
import org.junit.jupiter.api.Test;
import stoplog.checker.differential.RandomModel;
import stoplog.checker.explore.Budget;
import stoplog.checker.explore.Progress;
import stoplog.checker.reference.Replay;
import stoplog.checker.reference.Replayed;
import stoplog.checker.reference.TickJudge;
import stoplog.model.Claim;
import stoplog.model.Model;

/**
 * Errands in random models, against every tick of every run. {@code -Dseeds=N} tries N models, {@code
 * -Dseed=S} starts at S.
 */
class ErrandVersusTicksTest {
  private static final Budget BUDGET = new Budget(100_000, 1L << 28, Duration.ofSeconds(10));

  @Test
  void anErrandThatArrivesIsARun() {
    long first = Long.getLong("seed", 1);
    long count = Long.getLong("seeds", 3000);
    int reachable = 0;
    int found = 0;
    int shortened = 0;
    for (long seed = first; seed < first + count; seed++) {
      Model model = RandomModel.of(seed);
      Claim claim = model.claims().getFirst();
      TickJudge.Answer judged = TickJudge.reachable(model, claim, 5_000);
      if (judged instanceof TickJudge.TooBig) {
        continue;
      }
      var searches = new Searches(claim.id(), BUDGET, Progress.NONE);
      var reads = new Reads(model);
      Errand.Run run = Errand.of(reads, claim, searches);
      reachable += judged instanceof TickJudge.Yes ? 1 : 0;
      Errand.Run nearest = Errand.nearestFirst(reads, claim, searches);
      if (nearest != null) {
        assertInstanceOf(TickJudge.Yes.class, judged, "seed " + seed);
        assertInstanceOf(
            Replayed.Valid.class, Replay.run(model, claim, nearest.trace()), "seed " + seed);
      }
      if (run != null) {
        found++;
        assertInstanceOf(TickJudge.Yes.class, judged, "seed " + seed);
        assertInstanceOf(
            Replayed.Valid.class, Replay.run(model, claim, run.trace()), "seed " + seed);
        Errand.Run other = Errand.shortened(run, reads, claim, searches);
        assertInstanceOf(
            Replayed.Valid.class, Replay.run(model, claim, other.trace()), "seed " + seed);
        int fewer = run.trace().steps().size() - other.trace().steps().size();
        assertTrue(other == run ? fewer == 0 : fewer > 0, "seed " + seed);
        shortened += other == run ? 0 : 1;
      }
    }
    System.out.printf("%d reachable, %d of them found, %d shortened%n", reachable, found, shortened);
    assertTrue(found > reachable / 2, "found only " + found + " of " + reachable);
  }
}
