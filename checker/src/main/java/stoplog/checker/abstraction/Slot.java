package stoplog.checker.abstraction;

import java.util.Arrays;
import java.util.Comparator;
import java.util.IdentityHashMap;
import java.util.Map;

/** A hidden variable at a point of a step: from one assignment to the next it has one unknown value. */
record Slot(int number, int variable, long domain) {
  /**
   * All that operations read, in the order of the variables; of one variable in that of the step.
   *
   * @param count of slots
   * @param defined how many definitions the operations hold
   */
  static Slot[] inOrder(StepProgram.Operation[] operations, int count, int defined) {
    Slot[] found = new Slot[count];
    boolean[] seen = new boolean[defined];
    for (StepProgram.Operation op : operations) {
      collect(op.value(), found, seen);
    }
    Arrays.sort(found, Comparator.comparingInt(Slot::variable).thenComparingInt(Slot::number));
    return found;
  }

  /** Notes which slots are read at more than one place; a definition used twice is read at two. */
  static void count(StepProgram.Operation[] operations, boolean[] shared) {
    boolean[] read = new boolean[shared.length];
    for (StepProgram.Operation op : operations) {
      count(op.value(), read, shared, new IdentityHashMap<>());
    }
  }

  private static void count(Node node, boolean[] read, boolean[] shared, Map<Node, Integer> seen) {
    if (node instanceof Node.Defined && seen.merge(node, 1, Integer::sum) > 2) {
      return;
    }
    switch (node) {
      case Node.Fixed _, Node.KeptRead _ -> {}
      case Node.HiddenRead r -> {
        shared[r.slot()] |= read[r.slot()];
        read[r.slot()] = true;
      }
      case Node.Defined d -> count(d.value(), read, shared, seen);
      case Node.Not n -> count(n.operand(), read, shared, seen);
      case Node.All a -> count(a.operands(), read, shared, seen);
      case Node.Any a -> count(a.operands(), read, shared, seen);
      case Node.In i -> count(i.operand(), read, shared, seen);
      case Node.Same s -> count(new Node[] {s.left(), s.right()}, read, shared, seen);
      case Node.Choose c ->
          count(new Node[] {c.condition(), c.then(), c.otherwise()}, read, shared, seen);
      case Node.Shift s -> count(s.operand(), read, shared, seen);
    }
  }

  private static void count(
      Node[] nodes, boolean[] read, boolean[] shared, Map<Node, Integer> seen) {
    for (Node n : nodes) {
      count(n, read, shared, seen);
    }
  }

  private static void collect(Node node, Slot[] into, boolean[] seen) {
    switch (node) {
      case Node.Fixed _, Node.KeptRead _ -> {}
      case Node.HiddenRead r -> into[r.slot()] = new Slot(r.slot(), r.variable(), r.domain());
      case Node.Defined d -> {
        if (!seen[d.number()]) {
          seen[d.number()] = true;
          collect(d.value(), into, seen);
        }
      }
      case Node.Not n -> collect(n.operand(), into, seen);
      case Node.All a -> collect(a.operands(), into, seen);
      case Node.Any a -> collect(a.operands(), into, seen);
      case Node.In i -> collect(i.operand(), into, seen);
      case Node.Same s -> collect(new Node[] {s.left(), s.right()}, into, seen);
      case Node.Choose c -> collect(new Node[] {c.condition(), c.then(), c.otherwise()}, into, seen);
      case Node.Shift s -> collect(s.operand(), into, seen);
    }
  }

  private static void collect(Node[] nodes, Slot[] into, boolean[] seen) {
    for (Node n : nodes) {
      collect(n, into, seen);
    }
  }
}
