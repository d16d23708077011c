package stoplog.checker.abstraction;

import java.util.Arrays;
import java.util.BitSet;
import org.jspecify.annotations.Nullable;
import stoplog.checker.explore.Search;
import stoplog.checker.explore.TimedSystem;
import stoplog.model.Claim;

/**
 * What a run of the whole model leans on: enough variables for its steps, with all others hidden, to
 * lead where they led and nowhere else.
 *
 * @param events steps of the run that touch them
 */
record Touched(Kept kept, int events) {
  /**
   * Begins with what the claim names and adds, until nothing is missing, the hidden variables whose
   * values decided a step.
   *
   * @param named where to begin
   */
  static Touched by(
      Reads reads, Claim claim, KeptSystem whole, Search.Path path, Kept named) {
    Kept kept = new Kept(named.variables(), named.due());
    while (true) {
      var walk = new Walk(new KeptSystem(reads, claim, kept), whole);
      BitSet missing = walk.along(path);
      if (missing == null) {
        return new Touched(Kept.everything(reads), path.steps().length);
      }
      missing.andNot(kept.variables());
      boolean due = walk.system.scansMatter() && !kept.due();
      if (missing.isEmpty() && !due) {
        return new Touched(kept, walk.events);
      }
      kept = kept.with(missing, missing.isEmpty(), reads);
    }
  }

  /** The run as it looks with some variables hidden. */
  private static final class Walk {
    private final KeptSystem system;
    private final KeptSystem whole;
    private long[] at = new long[0];
    private int events;

    Walk(KeptSystem system, KeptSystem whole) {
      this.system = system;
      this.whole = whole;
    }

    private interface Steps {
      void each(BitSet leaned, TimedSystem.Sink sink);
    }

    /** What the steps leaned on; null if one of them is not found here. */
    @Nullable BitSet along(Search.Path path) {
      BitSet leaned = system.hiddenDeadlines();
      if (!goesTo(path.states().getFirst(), leaned, system::starts)) {
        return null;
      }
      for (int i = 0; i < path.steps().length; i++) {
        long[] next = path.states().get(i + 1);
        if (!isLike(at, next)) {
          events++;
          long[] from = at;
          int step = path.steps()[i];
          boolean found =
              (step == system.scanStep() || system.has(step))
                  && goesTo(next, leaned, (set, sink) -> system.successors(from, step, set, sink));
          if (!found
              && !goesTo(
                  next,
                  leaned,
                  (set, sink) -> system.successors(from, system.elsewhereStep(), set, sink))) {
            return null;
          }
        }
      }
      return leaned;
    }

    /** Takes the step that leads to this state of the whole model and leans on least. */
    private boolean goesTo(long[] state, BitSet leaned, Steps steps) {
      BitSet[] least = new BitSet[1];
      BitSet tried = new BitSet();
      steps.each(
          tried,
          (step, s) -> {
            if (isLike(s, state)
                && (least[0] == null || tried.cardinality() < least[0].cardinality())) {
              least[0] = (BitSet) tried.clone();
              at = s.clone();
            }
          });
      if (least[0] == null) {
        return false;
      }
      leaned.or(least[0]);
      return true;
    }

    private boolean isLike(long[] state, long[] ofWhole) {
      return Arrays.stream(system.stored())
          .allMatch(v -> system.valueIn(state, v) == whole.valueIn(ofWhole, v));
    }
  }
}
