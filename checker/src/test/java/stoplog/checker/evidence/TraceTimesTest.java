package stoplog.checker.evidence;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertInstanceOf;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.time.Duration;
import org.junit.jupiter.api.Test;
import stoplog.checker.abstraction.Decider;
import stoplog.checker.differential.RandomModel;
import stoplog.checker.explore.Budget;
import stoplog.checker.explore.Progress;
import stoplog.checker.reference.EarliestTimes;
import stoplog.checker.reference.Replay;
import stoplog.checker.reference.Replayed;
import stoplog.model.Claim;
import stoplog.model.Model;
import stoplog.model.Trace;
import stoplog.model.Verdict;

/**
 * The times of traces found in random models: the interpreter's own least times for the same steps,
 * in the same ticks. Localised and whole traces are tried; {@code -Dseeds=N} and {@code -Dseed=S}.
 */
class TraceTimesTest {
  private static final Budget BUDGET = new Budget(100_000, 1L << 28, Duration.ofSeconds(20));

  @Test
  void everyStepComesAsEarlyAsItCan() {
    long first = Long.getLong("seed", 1);
    long count = Long.getLong("seeds", 1000);
    int fine = 0;
    for (long seed = first; seed < first + count; seed++) {
      Model model = RandomModel.of(seed);
      Claim claim = model.claims().getFirst();
      if (Decider.decideWhole(model, claim, BUDGET, Progress.NONE)
          instanceof Verdict.Reached whole) {
        fine += whole.trace().ticksPerQuantum() > 2 ? 1 : 0;
        assertEarliest(model, claim, whole.trace(), "whole, seed " + seed);
        if (Decider.decide(model, claim, BUDGET, Progress.NONE)
            instanceof Verdict.Reached localised) {
          assertEarliest(model, claim, localised.trace(), "localised, seed " + seed);
        }
      }
    }
    assertTrue(fine > 0 || count < 500, "no trace needed times between quanta");
  }

  private static void assertEarliest(Model model, Claim claim, Trace trace, String name) {
    var steps = trace.steps().stream().map(Trace.Step::change).toList();
    assertEquals(
        EarliestTimes.of(model, claim, trace.start(), steps, trace.ticksPerQuantum()), trace, name);
    assertInstanceOf(Replayed.Valid.class, Replay.run(model, claim, trace), name);
  }
}
