package stoplog.checker.abstraction;

import java.util.Arrays;
import java.util.BitSet;
import stoplog.checker.explore.CutShort;
import stoplog.checker.explore.Search;
import stoplog.checker.explore.TimedSystem;

/** What a path of a localised search leans on. */
final class Leaning {
  private Leaning() {}

  /** The hidden variables that decided some step of the path, or whose deadlines it lacks. */
  static BitSet of(KeptSystem system, Search.Path path) {
    BitSet leaned = system.hiddenDeadlines();
    leaned.or(leastLeaning(path.states().getFirst(), (set, sink) -> system.starts(set, sink)));
    for (int i = 0; i < path.steps().length; i++) {
      long[] from = path.states().get(i);
      int step = path.steps()[i];
      leaned.or(
          leastLeaning(
              path.states().get(i + 1), (set, sink) -> system.successors(from, step, set, sink)));
    }
    return leaned;
  }

  private interface Steps {
    void each(BitSet leaned, TimedSystem.Sink sink);
  }

  /** Of all ways to take the step to this state, what the one that leans on least leans on. */
  private static BitSet leastLeaning(long[] target, Steps steps) {
    BitSet[] least = new BitSet[1];
    long[] results = new long[1];
    BitSet leaned = new BitSet();
    steps.each(
        leaned,
        (step, s) -> {
          if (++results[0] > GuidedSystem.MOST_RESULTS) {
            throw CutShort.tooManyResults();
          }
          if (Arrays.equals(s, target)
              && (least[0] == null || leaned.cardinality() < least[0].cardinality())) {
            least[0] = (BitSet) leaned.clone();
          }
        });
    if (least[0] == null) {
      throw new IllegalStateException("a step of a path found does not lead where it led");
    }
    return least[0];
  }
}
