package stoplog.checker.abstraction;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.BitSet;
import java.util.HashMap;
import java.util.IdentityHashMap;
import java.util.List;
import java.util.Map;

/**
 * Numbers for the expressions of one step that read hidden slots and constants alone; equal ones have the same.
 * Those that are as large as possible are the {@link #parts}: of a conjunction or disjunction that reads
 * more, those of its operands that read hidden slots alone are one part together.
 */
final class HiddenNumbers {
  /** Instead of a number: it reads something kept, or may have several values by itself. */
  static final int NONE = -1;

  private final Map<Node, Integer> numbers = new IdentityHashMap<>();
  private final Map<List<Object>, Integer> known = new HashMap<>();
  private final List<Node> nodes = new ArrayList<>();
  private final List<BitSet> slots = new ArrayList<>();
  private final BitSet parts = new BitSet();

  HiddenNumbers(StepProgram.Operation[] operations) {
    for (StepProgram.Operation op : operations) {
      asPart(of(op.value()));
    }
  }

  /** The numbers of the parts. Not to be changed. */
  BitSet parts() {
    return parts;
  }

  /** An expression with this number. */
  Node node(int number) {
    return nodes.get(number);
  }

  /** The slots that it reads; none if it is a constant. Not to be changed. */
  BitSet slots(int number) {
    return slots.get(number);
  }

  /** The number of an expression of the step, or {@link #NONE}. */
  int of(Node node) {
    Integer before = numbers.get(node);
    if (before == null) {
      before =
          switch (node) {
            case Node.Fixed f ->
                Long.bitCount(f.values()) == 1 ? numbered(node, "fixed", f.values()) : NONE;
            case Node.KeptRead _ -> NONE;
            case Node.HiddenRead r -> numbered(node, "read", r.slot());
            case Node.Defined d -> of(d.value());
            case Node.Not n -> composed(node, "not", 0, n.operand());
            case Node.All a -> joined(node, "all", a.operands());
            case Node.Any a -> joined(node, "any", a.operands());
            case Node.In i -> composed(node, "in", i.values(), i.operand());
            case Node.Same s -> composed(node, "same", 0, s.left(), s.right());
            case Node.Choose c ->
                composed(node, "choose", 0, c.condition(), c.then(), c.otherwise());
            case Node.Shift s -> composed(node, "shift", s.by(), s.operand());
          };
      numbers.put(node, before);
    }
    return before;
  }

  private int composed(Node node, String kind, long data, Node... operands) {
    int[] of = new int[operands.length];
    boolean hidden = true;
    for (int i = 0; i < of.length; i++) {
      of[i] = of(operands[i]);
      hidden &= of[i] != NONE;
    }
    if (hidden) {
      return numbered(node, kind, data, of);
    }
    for (int number : of) {
      asPart(number);
    }
    return NONE;
  }

  private int joined(Node node, String kind, Node[] operands) {
    boolean hidden = true;
    int[] of = new int[operands.length];
    for (int i = 0; i < of.length; i++) {
      of[i] = of(operands[i]);
      hidden &= of[i] != NONE;
    }
    if (hidden) {
      return numbered(node, kind, 0, Arrays.stream(of).sorted().distinct().toArray());
    }
    asPart(together(kind.equals("all"), operands));
    return NONE;
  }

  /**
   * The number of those operands that read hidden slots alone, and some, taken together; {@link #NONE} if
   * there are none.
   */
  int together(boolean all, Node[] operands) {
    int[] hidden =
        Arrays.stream(operands).mapToInt(this::of).filter(this::isHidden).sorted().distinct().toArray();
    if (hidden.length < 2) {
      return hidden.length == 0 ? NONE : hidden[0];
    }
    Node[] of = Arrays.stream(hidden).mapToObj(nodes::get).toArray(Node[]::new);
    return numbered(all ? new Node.All(of) : new Node.Any(of), all ? "all" : "any", 0, hidden);
  }

  /** Whether it is a number, and not that of a constant. */
  boolean isHidden(int number) {
    return number != NONE && !slots.get(number).isEmpty();
  }

  private int numbered(Node node, String kind, long data, int... operands) {
    var key = new ArrayList<Object>(operands.length + 2);
    key.add(kind);
    key.add(data);
    for (int o : operands) {
      key.add(o);
    }
    Integer number = known.get(key);
    if (number == null) {
      number = nodes.size();
      known.put(key, number);
      nodes.add(node);
      slots.add(operands.length == 1 ? slots.get(operands[0]) : readBy(node, operands));
    }
    return number;
  }

  private BitSet readBy(Node node, int[] operands) {
    BitSet read = new BitSet();
    if (node instanceof Node.HiddenRead r) {
      read.set(r.slot());
    }
    for (int o : operands) {
      read.or(slots.get(o));
    }
    return read;
  }

  private void asPart(int number) {
    if (isHidden(number)) {
      parts.set(number);
    }
  }
}
