package stoplog.checker.abstraction;

import static org.junit.jupiter.api.Assertions.assertInstanceOf;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.time.Duration;
import java.util.function.LongFunction;
import org.junit.jupiter.api.Test;
import stoplog.checker.differential.RandomModel;
import stoplog.checker.differential.RestingModel;
import stoplog.checker.explore.Budget;
import stoplog.checker.explore.Progress;
import stoplog.checker.reference.LockOutJudge;
import stoplog.model.Claim;
import stoplog.model.Model;

/**
 * Where a way back from everywhere is found, there is no lock-out. {@code -Dseeds=N} tries N models,
 * {@code -Dseed=S} starts at S.
 */
class WayBackTest {
  private static final Budget BUDGET = new Budget(200_000, 1L << 30, Duration.ofSeconds(20));

  @Test
  void whereThereIsAWayBackThereIsNoLockOut() {
    compare(RandomModel::askingWhatCanAlwaysBe, 400, 1);
  }

  @Test
  void whereAPlantComesToRestOnTheWayBackThereIsNoLockOut() {
    compare(RestingModel::of, 3000, 25);
  }

  private static void compare(LongFunction<Model> models, long usual, int leastPercent) {
    long first = Long.getLong("seed", 1);
    long count = Long.getLong("seeds", usual);
    int found = 0;
    int missed = 0;
    int lockOuts = 0;
    int tooBig = 0;
    for (long seed = first; seed < first + count; seed++) {
      Model model = models.apply(seed);
      Claim claim = model.claims().getFirst();
      LockOutJudge.Answer judged = LockOutJudge.judge(model, claim, 20_000);
      if (judged instanceof LockOutJudge.TooBig) {
        tooBig++;
        continue;
      }
      lockOuts += judged instanceof LockOutJudge.LockOut ? 1 : 0;
      if (Decider.hasWayBack(new Reads(model), claim, BUDGET, Progress.NONE)) {
        found++;
        assertInstanceOf(LockOutJudge.Always.class, judged, "seed " + seed);
      } else {
        missed += judged instanceof LockOutJudge.Always ? 1 : 0;
      }
    }
    System.out.printf(
        "%d ways back found, %d missed, %d lock-outs, %d too big%n", found, missed, lockOuts, tooBig);
    if (count >= usual) {
      assertTrue(100 * found >= leastPercent * count, "only " + found + " found");
    }
  }
}
