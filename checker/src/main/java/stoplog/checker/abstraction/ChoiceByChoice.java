package stoplog.checker.abstraction;

import java.util.Arrays;
import java.util.BitSet;
import org.jspecify.annotations.Nullable;

/**
 * One step from one state, one choice of the hidden values after the other: it branches only on those that two
 * places share and that decide something. Results are handed out as they are found.
 */
final class ChoiceByChoice {
  /** After how many operations it is asked whether there is time left. */
  private static final int CHECK_EVERY = 1 << 10;

  private static final long FALSE = 1;
  private static final long TRUE = 2;

  // Nothing is allocated where there is nothing to choose and to remember: most steps end at their
  // guard.
  private static final int[] NO_INTS = {};
  private static final long[] NO_LONGS = {};

  private final StepProgram.Operation[] operations;
  private final long[] domains;
  private final boolean[] shared;
  private final int[] values;
  private final @Nullable BitSet leaned;
  private final StepProgram.Result result;
  private final int[] chosen;
  private int openShared;

  /** What each definition is worth, and in which evaluation that was found and its reads opened. */
  private final long[] worth;

  private final int[] foundIn;
  private final int[] openedIn;
  private int evaluation;
  private final long mostTried;
  private final StepLimits limits;
  private long tried;

  private ChoiceByChoice(
      StepProgram program,
      int[] values,
      @Nullable BitSet leaned,
      long mostTried,
      StepLimits limits,
      StepProgram.Result result) {
    this.operations = program.operations();
    this.domains = program.domains();
    this.shared = program.shared();
    this.values = values;
    this.leaned = leaned;
    this.result = result;
    int slots = domains.length;
    int defined = program.defined();
    this.chosen = slots == 0 ? NO_INTS : new int[slots];
    this.worth = defined == 0 ? NO_LONGS : new long[defined];
    this.foundIn = defined == 0 ? NO_INTS : new int[defined];
    this.openedIn = defined == 0 ? NO_INTS : new int[defined];
    this.mostTried = mostTried;
    this.limits = limits;
    Arrays.fill(chosen, -1);
  }

  /**
   * As {@link StepProgram#run}.
   *
   * @param mostTried operations after which it gives up
   * @return whether the results handed out are all there are, or else some of them
   */
  static boolean run(
      StepProgram program,
      int[] values,
      @Nullable BitSet leaned,
      long mostTried,
      StepLimits limits,
      StepProgram.Result result) {
    var run = new ChoiceByChoice(program, values, leaned, mostTried, limits, result);
    run.from(0);
    return run.tried <= mostTried;
  }

  private void from(int at) {
    if (++tried > mostTried) {
      return;
    }
    if ((tried & CHECK_EVERY - 1) == 0) {
      limits.check();
    }
    if (at == operations.length) {
      result.reached();
      return;
    }
    StepProgram.Operation op = operations[at];
    openShared = -1;
    evaluation++;
    long possible = value(op.value());
    boolean single = (possible & (possible - 1)) == 0;
    if (single && leaned == null) {
      proceed(at, op, possible);
      return;
    }
    int open = openShared;
    BitSet before = null;
    if (leaned != null && !single) {
      before = (BitSet) leaned.clone();
      open(op.value(), leaned);
    }
    if (!single && open >= 0) {
      for (long rest = domains[open]; rest != 0; rest &= rest - 1) {
        chosen[open] = Long.numberOfTrailingZeros(rest);
        from(at);
      }
      chosen[open] = -1;
    } else {
      proceed(at, op, possible);
    }
    if (before != null) {
      leaned.clear();
      leaned.or(before);
    }
  }

  private void proceed(int at, StepProgram.Operation op, long possible) {
    if (op.target() < 0) {
      if ((possible & TRUE) != 0) {
        from(at + 1);
      }
      return;
    }
    int old = values[op.target()];
    for (long rest = possible & op.domain(); rest != 0; rest &= rest - 1) {
      values[op.target()] = Long.numberOfTrailingZeros(rest);
      from(at + 1);
    }
    values[op.target()] = old;
  }

  private long value(Node node) {
    return switch (node) {
      case Node.Fixed f -> f.values();
      case Node.KeptRead r -> 1L << values[r.variable()];
      case Node.HiddenRead r -> hidden(r);
      case Node.Defined d -> {
        if (foundIn[d.number()] != evaluation) {
          worth[d.number()] = value(d.value());
          foundIn[d.number()] = evaluation;
        }
        yield worth[d.number()];
      }
      case Node.Not n -> swap(value(n.operand()));
      case Node.All a -> all(a);
      case Node.Any a -> any(a);
      case Node.In i -> {
        long v = value(i.operand());
        yield ((v & i.values()) != 0 ? TRUE : 0) | ((v & ~i.values()) != 0 ? FALSE : 0);
      }
      case Node.Same s -> {
        long l = value(s.left());
        long r = value(s.right());
        boolean exact = l == r && (l & (l - 1)) == 0;
        yield (l & r) == 0 ? FALSE : exact ? TRUE : TRUE | FALSE;
      }
      case Node.Choose c -> {
        long when = value(c.condition());
        yield ((when & TRUE) != 0 ? value(c.then()) : 0)
            | ((when & FALSE) != 0 ? value(c.otherwise()) : 0);
      }
      case Node.Shift s -> {
        long v = value(s.operand());
        yield s.by() >= 0 ? v << s.by() : v >>> -s.by();
      }
    };
  }

  private long hidden(Node.HiddenRead r) {
    int c = chosen[r.slot()];
    if (c >= 0) {
      return 1L << c;
    }
    if (openShared < 0 && shared[r.slot()]) {
      openShared = r.slot();
    }
    return r.domain();
  }

  private long all(Node.All a) {
    long result = TRUE;
    for (Node o : a.operands()) {
      long v = value(o);
      if (v == FALSE) {
        return FALSE;
      }
      result |= v & FALSE;
    }
    return result;
  }

  private long any(Node.Any a) {
    long result = FALSE;
    for (Node o : a.operands()) {
      long v = value(o);
      if (v == TRUE) {
        return TRUE;
      }
      result |= v & TRUE;
    }
    return result;
  }

  /** Adds the hidden variables on which an undecided expression still depends. */
  private void open(Node node, BitSet into) {
    long v = value(node);
    if ((v & (v - 1)) == 0) {
      return;
    }
    switch (node) {
      case Node.Fixed f -> {}
      case Node.KeptRead r -> {}
      case Node.HiddenRead r -> into.set(r.variable());
      case Node.Defined d -> {
        if (openedIn[d.number()] != evaluation) {
          openedIn[d.number()] = evaluation;
          open(d.value(), into);
        }
      }
      case Node.Not n -> open(n.operand(), into);
      case Node.All a -> {
        for (Node o : a.operands()) {
          open(o, into);
        }
      }
      case Node.Any a -> {
        for (Node o : a.operands()) {
          open(o, into);
        }
      }
      case Node.In i -> open(i.operand(), into);
      case Node.Same s -> {
        open(s.left(), into);
        open(s.right(), into);
      }
      case Node.Choose c -> {
        open(c.condition(), into);
        long when = value(c.condition());
        if ((when & TRUE) != 0) {
          open(c.then(), into);
        }
        if ((when & FALSE) != 0) {
          open(c.otherwise(), into);
        }
      }
      case Node.Shift s -> open(s.operand(), into);
    }
  }

  private static long swap(long truth) {
    return (truth & TRUE) >> 1 | (truth & FALSE) << 1;
  }
}
