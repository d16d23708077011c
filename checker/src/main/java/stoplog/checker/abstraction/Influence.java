package stoplog.checker.abstraction;

import java.util.ArrayDeque;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.BitSet;
import java.util.List;
import stoplog.model.Assignment;
import stoplog.model.FieldChange;
import stoplog.model.Model;

/**
 * Which variables the next value of a variable may depend on: what its assignments read, and for
 * field changes their guards and the conditions of their clocks. Built once per model, in time linear
 * in its size.
 */
final class Influence {
  private final List<BitSet> readBy = new ArrayList<>();

  Influence(Reads reads) {
    Model model = reads.model();
    for (int v = 0; v < model.variables().size(); v++) {
      readBy.add(new BitSet());
    }
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
        conditions.stream().forEach(u -> readBy.get(u).set(a.variable()));
      }
    }
  }

  private void add(Assignment a, Reads reads) {
    reads.of(a.value()).stream().forEach(u -> readBy.get(u).set(a.variable()));
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
    int[] before = new int[readBy.size()];
    Arrays.fill(before, -1);
    before[from] = from;
    var queue = new ArrayDeque<Integer>(List.of(from));
    while (!queue.isEmpty()) {
      int u = queue.remove();
      for (int v = readBy.get(u).nextSetBit(0); v >= 0; v = readBy.get(u).nextSetBit(v + 1)) {
        if (before[v] < 0 && !avoid.get(v)) {
          before[v] = u;
          if (given.get(v)) {
            for (int w = v; w != from; w = before[w]) {
              found.set(w);
            }
          } else {
            queue.add(v);
          }
        }
      }
    }
  }
}
