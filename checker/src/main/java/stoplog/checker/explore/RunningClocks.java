package stoplog.checker.explore;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import org.jspecify.annotations.Nullable;
import stoplog.checker.zone.Zones;
import stoplog.model.Bound;
import stoplog.model.FieldChange;

/** The sets of clocks that run in some state, each once, with the constants they are compared with. */
final class RunningClocks {
  /**
   * One set: the clocks, ascending, and for each its largest constants from below and from above. Sets are
   * numbered from 0 in the order in which they were asked for first.
   */
  record Set(int number, int[] clocks, int[] lower, int[] upper) {
    /** Where a clock stands in the zones over this set; negative if it does not run. */
    int place(int clock) {
      return Arrays.binarySearch(clocks, clock);
    }
  }

  private final int[] lowerMost;
  private final int[] upperMost;
  private final Map<IntArray, Set> sets = new HashMap<>();
  private final List<Set> byNumber = new ArrayList<>();

  RunningClocks(TimedSystem system, boolean sameBothWays) {
    this.lowerMost = new int[system.clocks()];
    this.upperMost = new int[system.clocks()];
    constants(system);
    for (int c = 0; sameBothWays && c < system.clocks(); c++) {
      lowerMost[c] = Math.max(lowerMost[c], upperMost[c]);
      upperMost[c] = lowerMost[c];
    }
  }

  /** The constants each clock is compared with; clocks of steps are known by asking every step once. */
  private void constants(TimedSystem system) {
    Arrays.fill(lowerMost, Zones.NEVER);
    Arrays.fill(upperMost, Zones.NEVER);
    for (int c = 0; c < system.clocks(); c++) {
      Bound limit = system.limit(c);
      if (limit != null) {
        upperMost[c] = (int) limit.quanta();
      }
    }
    for (int s = 0; s < system.stepCount(); s++) {
      FieldChange.Timing t = system.timing(s);
      if (t != null) {
        lowerMost[t.clock()] = Math.max(lowerMost[t.clock()], (int) t.earliest().quanta());
        Bound latest = t.latest();
        if (latest != null) {
          upperMost[t.clock()] = Math.max(upperMost[t.clock()], (int) latest.quanta());
        }
      }
    }
    int goal = system.goalClock();
    if (goal >= 0) {
      lowerMost[goal] = Math.max(lowerMost[goal], (int) system.goalQuanta());
    }
  }

  /** The largest number a clock is compared with, or {@link Zones#NEVER}. */
  int mostOf(int clock) {
    return Math.max(lowerMost[clock], upperMost[clock]);
  }

  Set of(int[] clocks) {
    return sets.computeIfAbsent(new IntArray(clocks), this::withConstants);
  }

  Set numbered(int number) {
    return byNumber.get(number);
  }

  private Set withConstants(IntArray set) {
    int[] clocks = set.values();
    int[] lower = new int[clocks.length];
    int[] upper = new int[clocks.length];
    for (int i = 0; i < clocks.length; i++) {
      lower[i] = lowerMost[clocks[i]];
      upper[i] = upperMost[clocks[i]];
    }
    var added = new Set(byNumber.size(), clocks, lower, upper);
    byNumber.add(added);
    return added;
  }

  /** An array that is equal to another with the same numbers. */
  private record IntArray(int[] values) {
    @Override
    public boolean equals(@Nullable Object other) {
      return other instanceof IntArray(int[] o) && Arrays.equals(values, o);
    }

    @Override
    public int hashCode() {
      return Arrays.hashCode(values);
    }
  }
}
