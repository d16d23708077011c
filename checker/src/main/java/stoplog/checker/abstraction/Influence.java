package stoplog.checker.abstraction;

import java.util.Arrays;
import java.util.BitSet;
import stoplog.model.Assignment;
import stoplog.model.FieldChange;
import stoplog.model.Model;

/**
 * Which variables the next value of a variable may depend on: what its assignments read, and for
 * field changes their guards and the conditions of their clocks. Built once per model, in time linear
 * in its size.
 */
final class Influence {
  private static final int[] NOBODY = {};

  /** While it is built: how many of each row are in use. */
  private final int[] counts;

  /** For each variable the variables that may depend on it, ascending. */
  private final int[][] readBy;

  Influence(Reads reads) {
    Model model = reads.model();
    this.readBy = new int[model.variables().size()][];
    Arrays.fill(readBy, NOBODY);
    this.counts = new int[readBy.length];
    model.controller().program().forEach(a -> add(a, reads));
    model.reactions().forEach(a -> add(a, reads));
    for (FieldChange c : model.changes()) {
      BitSet conditions = reads.of(c.guard());
      FieldChange.Timing t = c.timing();
      if (t != null) {
        conditions.or(reads.ofClock(t.clock()));
      }
      for (Assignment a : c.effects()) {
        add(a, reads);
        conditions.stream().forEach(u -> add(u, a.variable()));
      }
    }
    for (int u = 0; u < readBy.length; u++) {
      readBy[u] = Arrays.stream(readBy[u], 0, counts[u]).sorted().distinct().toArray();
    }
  }

  private void add(Assignment a, Reads reads) {
    reads.of(a.value()).stream().forEach(u -> add(u, a.variable()));
  }

  private void add(int read, int by) {
    int count = counts[read];
    if (count > 0 && readBy[read][count - 1] == by) {
      return;
    }
    if (count == readBy[read].length) {
      readBy[read] = Arrays.copyOf(readBy[read], Math.max(4, 2 * count));
    }
    readBy[read][count] = by;
    counts[read]++;
  }

  /**
   * The variables on a shortest chain of influence from one of the given variables to each other:
   * from what an instrument watches through the instrument, timer, latch and command to the equipment.
   * Chains through {@code avoid} do not count, since power and modes touch everything. The given
   * variables themselves are included. O(given * model).
   */
  BitSet chains(BitSet given, BitSet avoid) {
    BitSet found = (BitSet) given.clone();
    given.stream().forEach(from -> chainsFrom(from, given, avoid, found));
    return found;
  }

  private void chainsFrom(int from, BitSet given, BitSet avoid, BitSet found) {
    int[] before = new int[readBy.length];
    Arrays.fill(before, -1);
    before[from] = from;
    int missing = given.cardinality() - 1;
    int[] queue = new int[readBy.length];
    queue[0] = from;
    int end = 1;
    for (int at = 0; at < end && missing > 0; at++) {
      int u = queue[at];
      for (int v : readBy[u]) {
        if (before[v] < 0 && !avoid.get(v)) {
          before[v] = u;
          if (given.get(v)) {
            missing--;
            for (int w = v; w != from; w = before[w]) {
              found.set(w);
            }
          } else {
            queue[end++] = v;
          }
        }
      }
    }
  }
}
