package stoplog.checker.abstraction;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.BitSet;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import org.jspecify.annotations.Nullable;
import stoplog.checker.explore.CutShort;

/**
 * Makes a step smaller by working out beforehand what it reads of hidden values alone: "all other trains
 * are shut" is one unknown, not thirty.
 *
 * <p>A <em>part</em> is an expression that reads hidden slots and nothing kept, as large as possible; of a
 * conjunction or disjunction those operands together. Parts that have slots in common make up a <em>knot</em>.
 * The values that the parts of a knot may have together are its <em>ways</em>. Where there are few, one slot that
 * says which of them it is takes the place of all slots of the knot, and each part asks it.
 *
 * <p><b>Why the step stays the same.</b> What is assigned, or guards, depends on the slots of a knot through the
 * values of its parts only, since every read of such a slot lies within one of them. Each choice of the slots gives
 * one of the ways and each way comes of some choice, whatever the slots of other knots are, so the combinations
 * of values that come out of the step are the same. What a result leans on is not told of such a step: for
 * that the one it was made of is carried out.
 */
final class HiddenParts {
  /** Values of one slot. */
  private static final int MOST_WAYS = 64;

  /** Nodes of a diagram up to which the ways of a knot are worked out. */
  private static final int MOST_NODES = 1 << 14;

  private final StepProgram program;
  private final HiddenNumbers numbers;

  /** Whose value each slot is; worked out for the first knot. */
  private int @Nullable [] variables;

  /** What takes the place of each part, by number. */
  private final Map<Integer, Node> instead = new HashMap<>();

  private final List<Long> domains = new ArrayList<>();
  private final Map<Integer, Node> renumbered = new HashMap<>();
  private final Map<Integer, Node> rebuilt = new HashMap<>();
  private int defined;
  private boolean gained;

  private HiddenParts(StepProgram program) {
    this.program = program;
    this.numbers = new HiddenNumbers(program.operations());
    this.defined = program.defined();
  }

  /** A step with the same results; the same step if nothing is gained. */
  static StepProgram condensed(StepProgram program) {
    return new HiddenParts(program).condensed();
  }

  private StepProgram condensed() {
    knots().forEach(this::condense);
    if (!gained) {
      return program;
    }
    StepProgram.Operation[] operations = program.operations().clone();
    for (int i = 0; i < operations.length; i++) {
      StepProgram.Operation op = operations[i];
      operations[i] = new StepProgram.Operation(op.target(), op.domain(), rebuilt(op.value()));
    }
    return program.with(operations, domains.stream().mapToLong(Long::longValue).toArray(), defined);
  }

  // ---- knots

  /** Parts that have slots in common, directly or through others. */
  private List<List<Integer>> knots() {
    BitSet parts = numbers.parts();
    int[] leader = new int[program.slots()];
    Arrays.setAll(leader, s -> s);
    for (int p = parts.nextSetBit(0); p >= 0; p = parts.nextSetBit(p + 1)) {
      int first = numbers.slots(p).nextSetBit(0);
      for (int s = first; s >= 0; s = numbers.slots(p).nextSetBit(s + 1)) {
        leader[find(leader, s)] = find(leader, first);
      }
    }
    var knots = new ArrayList<List<Integer>>();
    Map<Integer, List<Integer>> of = new HashMap<>();
    for (int p = parts.nextSetBit(0); p >= 0; p = parts.nextSetBit(p + 1)) {
      of.computeIfAbsent(
              find(leader, numbers.slots(p).nextSetBit(0)),
              l -> {
                var knot = new ArrayList<Integer>();
                knots.add(knot);
                return knot;
              })
          .add(p);
    }
    return knots;
  }

  private static int find(int[] leader, int slot) {
    int at = slot;
    while (leader[at] != at) {
      leader[at] = leader[leader[at]];
      at = leader[at];
    }
    return at;
  }

  private void condense(List<Integer> knot) {
    boolean plain = knot.size() == 1 && numbers.node(knot.getFirst()) instanceof Node.HiddenRead;
    List<int[]> ways = plain ? null : ways(knot);
    if (ways == null) {
      return;
    }
    gained = true;
    int variable = Integer.MAX_VALUE;
    for (int p : knot) {
      for (int s = numbers.slots(p).nextSetBit(0); s >= 0; s = numbers.slots(p).nextSetBit(s + 1)) {
        variable = Math.min(variable, variableOf(s));
      }
    }
    if (knot.size() == 1) {
      long values = 0;
      for (int[] way : ways) {
        values |= 1L << way[0];
      }
      instead.put(knot.getFirst(), Long.bitCount(values) == 1 ? new Node.Fixed(values) : fresh(variable, values));
      return;
    }
    Node which = ways.size() == 1 ? null : fresh(variable, -1L >>> 64 - ways.size());
    for (int i = 0; i < knot.size(); i++) {
      instead.put(knot.get(i), asked(which, ways, i));
    }
  }

  private int variableOf(int slot) {
    if (variables == null) {
      variables = new int[program.slots()];
      for (Slot s : program.slotsInOrder()) {
        variables[s.number()] = s.variable();
      }
    }
    return variables[slot];
  }

  private Node.HiddenRead fresh(int variable, long domain) {
    domains.add(domain);
    return new Node.HiddenRead(domains.size() - 1, variable, domain);
  }

  /** The value of one part, told by which of the ways it is. */
  private static Node asked(@Nullable Node which, List<int[]> ways, int part) {
    long[] when = new long[64];
    int most = 0;
    for (int w = 0; w < ways.size(); w++) {
      when[ways.get(w)[part]] |= 1L << w;
      most = Math.max(most, ways.get(w)[part]);
    }
    Node value = null;
    for (int v = most; v >= 0; v--) {
      if (when[v] != 0) {
        boolean truth = most == 1 && v == 0 && value != null && which != null;
        if (truth) {
          return new Node.In(which, when[1]);
        }
        Node fixed = new Node.Fixed(1L << v);
        value = value == null || which == null ? fixed : new Node.Choose(new Node.In(which, when[v]), fixed, value);
      }
    }
    if (value == null) {
      throw new IllegalStateException("a part has no value");
    }
    return value;
  }

  /** The values that the parts may have together, each once; null if there are too many or that is hard to tell. */
  private @Nullable List<int[]> ways(List<Integer> knot) {
    int count = knot.size();
    Map<Integer, Node> here = new HashMap<>();
    var local = new ArrayList<Long>();
    StepProgram.Operation[] operations = new StepProgram.Operation[count];
    Map<Integer, Node> defined = new HashMap<>();
    for (int i = 0; i < count; i++) {
      Node part =
          NodeCopy.of(
              numbers.node(knot.get(i)),
              defined,
              n ->
                  n instanceof Node.HiddenRead r
                      ? here.computeIfAbsent(
                          r.slot(),
                          s -> {
                            local.add(r.domain());
                            return new Node.HiddenRead(local.size() - 1, r.variable(), r.domain());
                          })
                      : null);
      operations[i] = new StepProgram.Operation(i, -1L, part);
    }
    var asked =
        new StepProgram(
            operations,
            local.stream().mapToLong(Long::longValue).toArray(),
            new boolean[local.size()],
            program.defined());
    var limits = new StepLimits(0, MOST_NODES, MOST_WAYS * (count + 1), () -> false);
    for (boolean declared : new boolean[] {true, false}) {
      var ways = new ArrayList<int[]>();
      int[] values = new int[count];
      try {
        SymbolicRun.run(asked, declared, values, null, limits, () -> ways.add(values.clone()));
        return ways;
      } catch (CutShort _) {
        return null;
      } catch (Diagram.TooIntricate _) {
        // Then in the other order.
      }
    }
    return null;
  }

  // ---- the step anew

  /** Whether it is as quickly evaluated again as looked up. */
  private static boolean isPlain(Node node) {
    return switch (node) {
      case Node.Fixed _, Node.HiddenRead _, Node.KeptRead _, Node.Defined _ -> true;
      case Node.In i -> isPlain(i.operand());
      case Node.Not n -> isPlain(n.operand());
      case Node.All _, Node.Any _, Node.Same _, Node.Choose _, Node.Shift _ -> false;
    };
  }

  private Node rebuilt(Node node) {
    return NodeCopy.of(node, rebuilt, this::replacement);
  }

  private @Nullable Node replacement(Node node) {
    int number = numbers.of(node);
    if (number != HiddenNumbers.NONE) {
      return replaced(number);
    }
    if (node instanceof Node.HiddenRead) {
      throw new IllegalStateException("a hidden read is hidden");
    }
    return node instanceof Node.All a
        ? new Node.All(rebuilt(true, a.operands()))
        : node instanceof Node.Any a ? new Node.Any(rebuilt(false, a.operands())) : null;
  }

  /** What is hidden stands where the first of it stood. */
  private Node[] rebuilt(boolean all, Node[] operands) {
    var left = new ArrayList<Node>();
    boolean put = false;
    for (Node o : operands) {
      if (!numbers.isHidden(numbers.of(o))) {
        left.add(rebuilt(o));
      } else if (!put) {
        put = true;
        left.add(replaced(numbers.together(all, operands)));
      }
    }
    return left.toArray(Node[]::new);
  }

  private Node replaced(int number) {
    Node node = instead.get(number);
    if (node == null) {
      // A constant, or of a knot that stays as it is.
      node =
          NodeCopy.of(
              numbers.node(number),
              rebuilt,
              n ->
                  n instanceof Node.HiddenRead r
                      ? renumbered.computeIfAbsent(r.slot(), s -> fresh(r.variable(), r.domain()))
                      : null);
      if (!isPlain(node)) {
        node = new Node.Defined(defined++, node);
      }
      instead.put(number, node);
    }
    return node;
  }
}
