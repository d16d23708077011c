package stoplog.checker.abstraction;

import java.util.ArrayList;
import java.util.BitSet;
import java.util.HashMap;
import java.util.List;
import org.jspecify.annotations.Nullable;
import stoplog.checker.reference.Evaluation;
import stoplog.model.Assignment;
import stoplog.model.Model;

/**
 * Whether going through assignments a second time changes nothing: tried on all values of what they
 * read. Assignments that have nothing to do with each other are tried apart.
 */
final class TwiceIsOnce {
  /** Combinations of values tried for assignments that hang together; beyond them the answer is no. */
  private static final long MOST_COMBINATIONS = 1 << 18;

  private final Model model;
  private final Evaluation evaluation;

  private TwiceIsOnce(Model model) {
    this.model = model;
    this.evaluation = new Evaluation(model);
  }

  /** @param assignments carried out in this order, whole, each time */
  static boolean holds(Reads reads, List<Assignment> assignments) {
    var check = new TwiceIsOnce(reads.model());
    BitSet assigned = new BitSet();
    assignments.forEach(a -> assigned.set(a.variable()));
    var left = new ArrayList<>(assignments);
    while (!left.isEmpty()) {
      BitSet together = new BitSet();
      together.set(left.getFirst().variable());
      int before = 0;
      while (before < together.cardinality()) {
        before = together.cardinality();
        for (Assignment a : left) {
          BitSet touched = reads.of(a.value());
          touched.and(assigned);
          touched.set(a.variable());
          if (touched.intersects(together)) {
            together.or(touched);
          }
        }
      }
      List<Assignment> part =
          left.stream().filter(a -> together.get(a.variable())).toList();
      for (List<Assignment> block : blocks(reads, part)) {
        if (!check.triedOnAll(reads, block)) {
          return false;
        }
      }
      left.removeAll(part);
    }
    return true;
  }

  /**
   * The assignments parted, in order, so that nothing in a block reads or assigns what a later block assigns. Then
   * what a block reads, its own aside, is the same when all are gone through again, and each can be tried alone.
   */
  private static List<List<Assignment>> blocks(Reads reads, List<Assignment> part) {
    var last = new HashMap<Integer, Integer>();
    for (int i = 0; i < part.size(); i++) {
      last.put(part.get(i).variable(), i);
    }
    var blocks = new ArrayList<List<Assignment>>();
    int begin = 0;
    int end = 0;
    for (int i = 0; i < part.size(); i++) {
      BitSet touched = reads.of(part.get(i).value());
      touched.set(part.get(i).variable());
      end = Math.max(end, touched.stream().map(v -> last.getOrDefault(v, 0)).max().orElse(0));
      if (end <= i) {
        blocks.add(part.subList(begin, i + 1));
        begin = i + 1;
        end = i + 1;
      }
    }
    return blocks;
  }

  private boolean triedOnAll(Reads reads, List<Assignment> block) {
    BitSet read = new BitSet();
    block.forEach(a -> read.or(reads.of(a.value())));
    // What is assigned may also keep its value for this or that reading of the rest.
    block.forEach(a -> read.set(a.variable()));
    return holds(block, read);
  }

  private boolean holds(List<Assignment> part, BitSet read) {
    long combinations = 1;
    for (int v = read.nextSetBit(0); v >= 0; v = read.nextSetBit(v + 1)) {
      combinations *= model.variable(v).size();
      if (combinations > MOST_COMBINATIONS) {
        return false;
      }
    }
    return holds(part, read, read.nextSetBit(0), new int[model.variables().size()]);
  }

  private boolean holds(List<Assignment> part, BitSet read, int variable, int[] values) {
    if (variable >= 0) {
      for (int v = 0; v < model.variable(variable).size(); v++) {
        values[variable] = v;
        if (!holds(part, read, read.nextSetBit(variable + 1), values)) {
          return false;
        }
      }
      return true;
    }
    int[] once = after(part, values);
    if (once == null) {
      return true;
    }
    int[] twice = after(part, once);
    if (twice == null) {
      return false;
    }
    for (Assignment a : part) {
      if (once[a.variable()] != twice[a.variable()]) {
        return false;
      }
    }
    return true;
  }

  /** Null for values that no state of the plant has, which lead out of what a variable may be. */
  private int @Nullable [] after(List<Assignment> part, int[] values) {
    int[] result = values.clone();
    for (Assignment a : part) {
      int value;
      try {
        value = evaluation.value(a.value(), result);
      } catch (IllegalStateException _) {
        return null;
      }
      if (value < 0 || value >= model.variable(a.variable()).size()) {
        return null;
      }
      result[a.variable()] = value;
    }
    return result;
  }
}
