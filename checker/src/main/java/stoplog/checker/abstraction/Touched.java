package stoplog.checker.abstraction;

import java.util.Arrays;
import java.util.BitSet;
import org.jspecify.annotations.Nullable;
import stoplog.checker.explore.CutShort;
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
  /** Results of all steps of a run beyond which it counts as leaning on everything. */
  private static final long MOST_RESULTS = 20_000;

  /**
   * Adds, until nothing is missing, the hidden variables whose values decided a step.
   *
   * @param searches of the question, whose time it may take
   * @param first where to begin, with what the claim names among it; groups count as their members
   */
  static Touched by(
      Reads reads, Claim claim, Searches searches, KeptSystem whole, Search.Path path, Kept first) {
    try {
      return growing(reads, claim, searches, whole, path, new Kept(first.followed(), first.due()));
    } catch (CutShort _) {
      return new Touched(Kept.everything(reads), path.steps().length);
    }
  }

  private static Touched growing(
      Reads reads, Claim claim, Searches searches, KeptSystem whole, Search.Path path, Kept first) {
    Kept kept = first;
    while (true) {
      var walk = new Walk(new KeptSystem(reads, claim, kept), whole);
      walk.system.giveUpWhen(searches::over);
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
    private long results;

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
        if (!follows(path.steps()[i], path.states().get(i + 1), leaned)) {
          return null;
        }
      }
      return leaned;
    }

    private boolean follows(int step, long[] next, BitSet leaned) {
      long[] from = at;
      boolean same = isLike(from, next);
      boolean scan = step == system.scanStep();
      // A scan that changes nothing may still be one that had to come.
      boolean mayCount = scan ? !same || system.dueIn(from) > 0 : system.has(step);
      if (mayCount && goesTo(next, leaned, (set, to) -> system.successors(from, step, set, to))) {
        events += scan || !Arrays.equals(from, at) ? 1 : 0;
        return true;
      }
      if (same) {
        return true;
      }
      events++;
      int elsewhere = system.elsewhereStep();
      return goesTo(next, leaned, (set, to) -> system.successors(from, elsewhere, set, to));
    }

    /** Takes the step that leads to this state of the whole model and leans on least. */
    private boolean goesTo(long[] state, BitSet leaned, Steps steps) {
      BitSet[] least = new BitSet[1];
      BitSet tried = new BitSet();
      steps.each(
          tried,
          (step, s) -> {
            if (++results > MOST_RESULTS) {
              throw CutShort.tooManyResults();
            }
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
