package stoplog.checker.abstraction;

import java.util.Arrays;
import java.util.BitSet;
import java.util.Comparator;
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

  /** Whether of several shortest chains that counts which shares most with the others. */
  private final boolean sharing;

  Influence(Reads reads) {
    Model model = reads.model();
    this.readBy = new int[model.variables().size()][];
    this.sharing = Errand.isLarge(model);
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
   * variables themselves are included. In plants of many variables, which have many like things, that counts of
   * several shortest ones which shares most with the others, beginning with what influences least: the
   * chains from the clogged filter of a pump lead through that pump, and those from the sea do so too if that is
   * no detour. Elsewhere the first does, with which shipped plants are decided with less kept. O(given * model).
   */
  BitSet chains(BitSet given, BitSet avoid) {
    BitSet found = (BitSet) given.clone();
    given.stream()
        .boxed()
        .sorted(Comparator.comparing(from -> sharing ? readBy[from].length : 0))
        .forEach(from -> chainsFrom(from, given, avoid, found));
    return found;
  }

  /**
   * The same with detours: also what lies on chains that are one longer than the shortest, from any of some
   * variables to each of others. The ends are included. O((from + to) * model + from * to * variables).
   */
  BitSet chainsAndDetours(BitSet from, BitSet to, BitSet avoid) {
    BitSet found = (BitSet) from.clone();
    found.or(to);
    int[][] readFrom = readFrom();
    var before = to.stream().mapToObj(t -> distances(t, readFrom, avoid)).toList();
    int[] targets = to.stream().toArray();
    for (int f = from.nextSetBit(0); f >= 0; f = from.nextSetBit(f + 1)) {
      int[] after = distances(f, readBy, avoid);
      for (int t = 0; t < targets.length; t++) {
        int most = after[targets[t]] + 1;
        for (int v = 0; targets[t] != f && most > 0 && v < after.length; v++) {
          if (after[v] >= 0 && before.get(t)[v] >= 0 && after[v] + before.get(t)[v] <= most) {
            found.set(v);
          }
        }
      }
    }
    return found;
  }

  /** How many steps lead from a variable to each other along such rows; -1 if none do. */
  private static int[] distances(int from, int[][] rows, BitSet avoid) {
    int[] distance = new int[rows.length];
    Arrays.fill(distance, -1);
    distance[from] = 0;
    int[] queue = new int[rows.length];
    queue[0] = from;
    int end = 1;
    for (int at = 0; at < end; at++) {
      int u = queue[at];
      for (int v : rows[u]) {
        if (distance[v] < 0 && !avoid.get(v)) {
          distance[v] = distance[u] + 1;
          queue[end++] = v;
        }
      }
    }
    return distance;
  }

  /** For each variable those on which it may depend. */
  private int[][] readFrom() {
    int[][] rows = new int[readBy.length][];
    int[] filled = new int[readBy.length];
    for (int[] row : readBy) {
      for (int v : row) {
        filled[v]++;
      }
    }
    for (int v = 0; v < rows.length; v++) {
      rows[v] = new int[filled[v]];
    }
    for (int u = readBy.length - 1; u >= 0; u--) {
      for (int v : readBy[u]) {
        rows[v][--filled[v]] = u;
      }
    }
    return rows;
  }

  /** If chains share, of shortest ones to the same variable that with the fewest that are not found yet. */
  private void chainsFrom(int from, BitSet given, BitSet avoid, BitSet found) {
    int[] before = new int[readBy.length];
    Arrays.fill(before, -1);
    before[from] = from;
    int[] length = new int[readBy.length];
    int[] fresh = new int[readBy.length];
    int missing = given.cardinality() - 1;
    int longest = 0;
    int[] queue = new int[readBy.length];
    queue[0] = from;
    int end = 1;
    for (int at = 0; at < end && (missing > 0 || length[queue[at]] < longest); at++) {
      int u = queue[at];
      for (int v : readBy[u]) {
        int freshHere = fresh[u] + (found.get(v) ? 0 : 1);
        if (before[v] < 0 && !avoid.get(v)) {
          before[v] = u;
          length[v] = length[u] + 1;
          fresh[v] = freshHere;
          if (given.get(v)) {
            missing--;
            longest = length[v];
          } else {
            queue[end++] = v;
          }
        } else if (sharing && v != from && before[v] >= 0 && length[v] == length[u] + 1 && freshHere < fresh[v]) {
          before[v] = u;
          fresh[v] = freshHere;
        }
      }
    }
    for (int v = given.nextSetBit(0); v >= 0; v = given.nextSetBit(v + 1)) {
      for (int w = v; before[w] >= 0 && w != from; w = before[w]) {
        found.set(w);
      }
    }
  }
}
