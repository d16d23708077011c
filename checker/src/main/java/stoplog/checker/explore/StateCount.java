package stoplog.checker.explore;

import java.util.Arrays;
import stoplog.checker.store.StateTable;

/**
 * Sizes of a discrete state space, for systems without clocks.
 *
 * @param states states reachable
 * @param edges ordered pairs of distinct states with a step from the first to the second
 * @param depth steps to the states farthest from the start
 * @param perLevel how many states lie at each distance from the start
 * @param stuck states from which no step leads to another
 */
public record StateCount(long states, long edges, int depth, long[] perLevel, long stuck) {

  /**
   * Counts by breadth-first search.
   *
   * @throws IllegalArgumentException if the system has clocks
   * @throws IllegalStateException if it has more states than {@code most}
   */
  public static StateCount of(TimedSystem system, long most) {
    if (system.clocks() > 0) {
      throw new IllegalArgumentException("counting states needs a system without clocks");
    }
    var counter = new Counter(system, most);
    return counter.run();
  }

  private static final class Counter {
    private final TimedSystem system;
    private final long most;
    private final StateTable table;
    private int[] targets = new int[64];
    private int targetCount;

    Counter(TimedSystem system, long most) {
      this.system = system;
      this.most = most;
      this.table = new StateTable(system.words());
    }

    StateCount run() {
      system.starts((step, s) -> table.add(s));
      long[] perLevel = new long[16];
      int levels = 0;
      long edges = 0;
      long stuck = 0;
      long[] state = new long[system.words()];
      int next = 0;
      while (next < table.size()) {
        int end = table.size();
        if (levels == perLevel.length) {
          perLevel = Arrays.copyOf(perLevel, levels * 2);
        }
        perLevel[levels++] = end - next;
        for (; next < end; next++) {
          int others = others(next, state);
          edges += others;
          stuck += others == 0 ? 1 : 0;
        }
        if (table.size() > most) {
          throw new IllegalStateException("more than " + most + " states");
        }
      }
      return new StateCount(
          table.size(), edges, levels - 1, Arrays.copyOf(perLevel, levels), stuck);
    }

    private int others(int index, long[] state) {
      table.get(index, state);
      targetCount = 0;
      system.successors(state, (step, s) -> target(table.add(s)));
      Arrays.sort(targets, 0, targetCount);
      int distinct = 0;
      for (int i = 0; i < targetCount; i++) {
        if (targets[i] != index && (i == 0 || targets[i] != targets[i - 1])) {
          distinct++;
        }
      }
      return distinct;
    }

    private void target(int id) {
      if (targetCount == targets.length) {
        targets = Arrays.copyOf(targets, targetCount * 2);
      }
      targets[targetCount++] = id;
    }
  }
}
