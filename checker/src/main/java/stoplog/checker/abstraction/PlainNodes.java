package stoplog.checker.abstraction;

/**
 * Tells which expressions have exactly one value in every state, so that plain arithmetic is as good
 * as sets of values: nothing hidden is read, truth values are 0 or 1, and no sum leaves 0 to 63.
 */
final class PlainNodes {
  private static final long TRUTH = 3;
  private static final int MOST_DEPTH = 400;

  private final long[] domains;
  private final java.util.Map<Node.Defined, Long> ranges = new java.util.IdentityHashMap<>();

  /**
   * @param domains of all variables of the model
   */
  PlainNodes(long[] domains) {
    this.domains = domains;
  }

  /** Whether every operation is plain; the value of an assignment may be beyond all numbers, and is dropped then. */
  boolean holds(StepProgram program) {
    if (program.readsHidden()) {
      return false;
    }
    for (StepProgram.Operation op : program.operations()) {
      boolean plain =
          op.target() < 0 ? isTruth(range(op.value(), false, 0)) : range(op.value(), true, 0) != 0;
      if (!plain) {
        return false;
      }
    }
    return true;
  }

  /** The values that a plain expression may have; as {@link #holds} has found. */
  long range(Node node) {
    return range(node, true, 0);
  }

  private static boolean isTruth(long range) {
    return range != 0 && (range & ~TRUTH) == 0;
  }

  /** The values it may have; 0 if it is not plain. */
  private long range(Node node, boolean mayLeave, int depth) {
    if (depth > MOST_DEPTH) {
      return 0;
    }
    return switch (node) {
      case Node.Fixed f -> Long.bitCount(f.values()) == 1 ? f.values() : 0;
      case Node.KeptRead r -> domains[r.variable()];
      case Node.HiddenRead r -> 0;
      case Node.Defined d -> {
        Long known = ranges.get(d);
        if (known == null) {
          known = range(d.value(), false, depth + 1);
          ranges.put(d, known);
        }
        yield known;
      }
      case Node.Not n -> isTruth(range(n.operand(), false, depth + 1)) ? TRUTH : 0;
      case Node.All a -> truths(a.operands(), depth);
      case Node.Any a -> truths(a.operands(), depth);
      case Node.In i -> range(i.operand(), false, depth + 1) == 0 ? 0 : TRUTH;
      case Node.Same s ->
          range(s.left(), false, depth + 1) == 0 || range(s.right(), false, depth + 1) == 0
              ? 0
              : TRUTH;
      case Node.Choose c -> {
        long then = range(c.then(), mayLeave, depth + 1);
        long otherwise = range(c.otherwise(), mayLeave, depth + 1);
        boolean plain =
            then != 0 && otherwise != 0 && isTruth(range(c.condition(), false, depth + 1));
        yield plain ? then | otherwise : 0;
      }
      case Node.Shift s -> shifted(range(s.operand(), false, depth + 1), s.by(), mayLeave);
    };
  }

  private static long shifted(long range, int by, boolean mayLeave) {
    if (range == 0 || by <= -64 || by >= 64) {
      return 0;
    }
    long moved = by >= 0 ? range << by : range >>> -by;
    return mayLeave || Long.bitCount(moved) == Long.bitCount(range) ? moved : 0;
  }

  /** Whether the value may lie beyond all numbers, which {@link #range} does not show. */
  boolean mayLeave(Node node) {
    return range(node, false, 0) == 0;
  }

  private long truths(Node[] operands, int depth) {
    for (Node o : operands) {
      if (!isTruth(range(o, false, depth + 1))) {
        return 0;
      }
    }
    return TRUTH;
  }
}
