package stoplog.checker.abstraction;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertInstanceOf;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.time.Duration;
import org.junit.jupiter.api.Test;
import stoplog.checker.differential.RandomModel;
import stoplog.checker.explore.Budget;
import stoplog.checker.explore.Progress;
import stoplog.checker.reference.LockOutJudge;
import stoplog.checker.reference.Replay;
import stoplog.checker.reference.Replayed;
import stoplog.model.Claim;
import stoplog.model.Model;

/**
 * What is found with few variables kept is a lock-out of the plant. {@code -Dseeds=N} tries N models,
 * {@code -Dseed=S} starts at S.
 */
class CoarseLockOutsTest {
  private static final Budget BUDGET = new Budget(200_000, 1L << 30, Duration.ofSeconds(20));

  @Test
  void whatIsFoundIsALockOut() {
    long first = Long.getLong("seed", 1);
    long count = Long.getLong("seeds", 400);
    int found = 0;
    int withFew = 0;
    int missed = 0;
    for (long seed = first; seed < first + count; seed++) {
      Model model = RandomModel.askingWhatCanAlwaysBe(seed);
      Claim claim = model.claims().getFirst();
      LockOutJudge.Answer judged = LockOutJudge.judge(model, claim, 20_000);
      if (judged instanceof LockOutJudge.TooBig) {
        continue;
      }
      var reads = new Reads(model);
      var searches = new Searches(claim.id(), BUDGET, Progress.NONE);
      var lockOut = new CoarseLockOuts(reads, claim, searches).find(Cone.of(reads, claim));
      if (lockOut == null) {
        missed += judged instanceof LockOutJudge.LockOut ? 1 : 0;
        continue;
      }
      found++;
      withFew += lockOut.kept().size() < model.variables().size() ? 1 : 0;
      Replayed.Valid valid =
          assertInstanceOf(
              Replayed.Valid.class, Replay.run(model, claim, lockOut.trace()), "seed " + seed);
      assertEquals(
          Boolean.TRUE,
          LockOutJudge.isLockOut(
              model, claim, valid.end(), lockOut.trace().ticksPerQuantum(), 20_000),
          "seed " + seed);
    }
    System.out.printf("%d found, %d with few variables, %d missed%n", found, withFew, missed);
    if (count >= 100) {
      assertTrue(withFew > count / 10, "hardly any found with few variables");
    }
  }
}
