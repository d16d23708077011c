package stoplog.checker.differential;

import static org.junit.jupiter.api.Assertions.assertEquals;

import java.time.Duration;
import java.util.function.LongFunction;
import org.jspecify.annotations.Nullable;
import org.junit.jupiter.api.Test;
import stoplog.checker.abstraction.Decider;
import stoplog.checker.explore.Budget;
import stoplog.checker.explore.Progress;
import stoplog.model.Bound;
import stoplog.model.Claim;
import stoplog.model.Clock;
import stoplog.model.Controller;
import stoplog.model.FieldChange;
import stoplog.model.Model;
import stoplog.model.Verdict;

/**
 * A plant whose every time is the same number of times longer behaves the same, up to the longest
 * times a model may hold. Enumerating ticks cannot tell, searching zones must not notice.
 */
class LongTimesTest {
  private static final Budget BUDGET = new Budget(100_000, 1L << 28, Duration.ofSeconds(20));
  private static final long LONGEST_OF_RANDOM_MODELS = 8;
  private static final long FACTOR = Bound.MAX_QUANTA / LONGEST_OF_RANDOM_MODELS;

  @Test
  void longerTimesChangeNoVerdict() {
    longerTimesChangeNothing(RandomModel::of);
  }

  @Test
  void longerTimesChangeNoLockOut() {
    longerTimesChangeNothing(RandomModel::askingWhatCanAlwaysBe);
  }

  private static void longerTimesChangeNothing(LongFunction<Model> models) {
    long first = Long.getLong("seed", 1);
    long count = Long.getLong("seeds", 300);
    for (long seed = first; seed < first + count; seed++) {
      Model model = models.apply(seed);
      Model slow = slowed(model);
      assertEquals(
          told(Decider.decideWhole(model, model.claim("C"), BUDGET, Progress.NONE)),
          told(Decider.decideWhole(slow, slow.claim("C"), BUDGET, Progress.NONE)),
          "seed " + seed);
      assertEquals(
          told(Decider.decide(model, model.claim("C"), BUDGET, Progress.NONE)),
          told(Decider.decide(slow, slow.claim("C"), BUDGET, Progress.NONE)),
          "localised, seed " + seed);
    }
  }

  private static String told(Verdict verdict) {
    String size = verdict.effort().states() + " states, " + verdict.effort().zones() + " zones, ";
    return size
        + switch (verdict) {
          case Verdict.Proved p -> "proved by " + p.kept();
          case Verdict.Reached r -> "reached in " + r.events() + ", " + r.trace().start();
          case Verdict.Undecided u -> "undecided";
        };
  }

  private static Model slowed(Model m) {
    Controller c = m.controller();
    return new Model(
        m.name(), m.quantumMicros(), m.variables(), m.definitions(),
        m.clocks().stream()
            .map(k -> new Clock(k.id(), k.name(), k.running(), slowed(k.limit()), k.origin()))
            .toList(),
        m.changes().stream().map(LongTimesTest::slowed).toList(),
        new Controller(c.reactionQuanta() * FACTOR, c.coincident(), c.powered(), c.program()),
        m.start(), m.reactions(),
        m.claims().stream().map(LongTimesTest::slowed).toList(),
        m.inhibits(), m.indications());
  }

  private static Claim slowed(Claim c) {
    return new Claim(
        c.id(), c.text(), c.kind(), c.condition(), c.forQuanta() * FACTOR, c.monitors(),
        c.onlyWhile(), c.faultBudget(), c.faultsOf(), c.basis(), c.origin());
  }

  private static FieldChange slowed(FieldChange c) {
    FieldChange.Timing t = c.timing();
    FieldChange.Timing slow = null;
    if (t != null) {
      Bound e = t.earliest();
      slow =
          new FieldChange.Timing(
              t.clock(), new Bound(e.quanta() * FACTOR, e.closed()), slowed(t.latest()));
    }
    return new FieldChange(c.id(), c.text(), c.cause(), c.guard(), slow, c.effects(), c.origin());
  }

  private static @Nullable Bound slowed(@Nullable Bound bound) {
    return bound == null ? null : new Bound(bound.quanta() * FACTOR, bound.closed());
  }
}
