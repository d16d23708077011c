package stoplog.checker.differential;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.time.Duration;
import org.junit.jupiter.api.Test;
import stoplog.checker.abstraction.Decider;
import stoplog.checker.abstraction.Reads;
import stoplog.checker.explore.Budget;
import stoplog.checker.testkit.Helped;
import stoplog.model.Claim;
import stoplog.model.Model;

/**
 * Verdicts, runs, sizes and certificates do not depend on how many threads help a search. Here they
 * help in every level of two nodes or more. {@code -Dseeds=N} tries N models.
 */
class ThreadsTest {
  private static final Budget BUDGET = new Budget(5_000, 1L << 30, Duration.ofMinutes(1));

  @Test
  void answersAreTheSameForAnyNumberOfThreads() {
    long count = Long.getLong("seeds", 400);
    int helped = 0;
    for (long seed = 1; seed <= count; seed++) {
      Model model = RandomModel.of(seed);
      Claim claim = model.claims().getFirst();
      var reads = new Reads(model);
      String whole = text(Decider.decideWholeCertified(reads, claim, BUDGET, new Helped(0, 2)));
      String localised = text(Decider.decideCertified(reads, claim, BUDGET, new Helped(0, 2)));
      for (int helpers : new int[] {1, 2, 7}) {
        var progress = new Helped(helpers, 2);
        String about = "seed " + seed + " with " + helpers + " helpers";
        assertEquals(
            whole, text(Decider.decideWholeCertified(reads, claim, BUDGET, progress)), about);
        assertEquals(
            localised, text(Decider.decideCertified(reads, claim, BUDGET, progress)), about);
        helped += progress.asked() > 0 ? 1 : 0;
      }
    }
    assertTrue(helped > count, "helpers were asked in " + helped + " of " + 3 * count);
  }

  /** Everything but how long it took. */
  private static String text(Decider.Decision decision) {
    return decision.toString().replaceAll("nanos=\\d+", "");
  }
}
