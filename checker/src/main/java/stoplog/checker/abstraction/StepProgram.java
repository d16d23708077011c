package stoplog.checker.abstraction;

import java.util.Arrays;
import java.util.BitSet;
import org.jspecify.annotations.Nullable;
import stoplog.checker.explore.CutShort;

/**
 * The operations of one step on the kept variables, and the hidden slots they read.
 *
 * <p>{@link #run} hands out every combination of values that some choice of the hidden values leads
 * to (and, where one operation's private reads are correlated only through the operation itself,
 * nothing else), some perhaps more than once. It branches only on hidden values that two places share
 * and that decide something; where that comes to too many choices, all are followed at once ({@link
 * SymbolicRun}). Which of the two is used depends on the program and the state alone, so that the
 * results come in the same order every time.
 */
final class StepProgram {
  /**
   * {@code target := value}; a guard if the target is -1. Values outside the target's domain come only
   * from choices that no state has, and are dropped.
   */
  record Operation(int target, long domain, Node value) {}

  /** Called with the values after the step; what the step leaned on is in {@link Run#leaned}. */
  interface Result {
    void reached();
  }

  /** Operations carried out one choice after the other before all choices are followed at once. */
  private static final long MOST_TRIED = 5_000;

  /** After how many operations it is asked whether there is time left. */
  private static final int CHECK_EVERY = 1 << 10;

  /** Of diagrams that are tried in both orders before more is spent on either. */
  private static final int FEW_NODES = 1 << 12;

  private static final int MANY_NODES = 1 << 16;

  private static final long FALSE = 1;
  private static final long TRUE = 2;

  private final Operation[] operations;
  private final long[] domains;
  private final boolean[] shared;
  private final int defined;
  private final boolean entangled;
  private final int assumptions;
  private final int[] free;
  private final long[] freeDomains;
  private final int[] targets;
  private final int[] tracked;
  private final long most;

  /** Whether the order of the variables did better where all choices were last followed at once. */
  private volatile boolean declaredIsBetter;

  /** Worked out when first asked. */
  private Slot @Nullable [] slotsInOrder;

  /** Without variables that are hidden and followed through the step all the same. */
  StepProgram(Operation[] operations, long[] domains, boolean[] shared, int defined) {
    this(operations, domains, shared, defined, false, 0, new int[0], new long[0]);
  }

  /**
   * @param defined how many definitions the operations hold
   * @param entangled whether to follow all choices at once in any case
   * @param assumptions how many guards at the beginning say what is known of the free variables
   * @param free variables of unknown value before the step that are read and assigned like kept ones,
   *     ascending; no result tells their values
   * @param freeDomains the values each of them may have before the step
   */
  StepProgram(
      Operation[] operations,
      long[] domains,
      boolean[] shared,
      int defined,
      boolean entangled,
      int assumptions,
      int[] free,
      long[] freeDomains) {
    this.operations = operations;
    this.domains = domains;
    this.shared = shared;
    this.defined = defined;
    this.entangled = entangled;
    this.declaredIsBetter = entangled;
    this.assumptions = assumptions;
    this.free = free;
    this.freeDomains = freeDomains;
    BitSet assigned = new BitSet();
    for (Operation op : operations) {
      if (op.target() >= 0) {
        assigned.set(op.target());
      }
    }
    BitSet followed = (BitSet) assigned.clone();
    for (int v : free) {
      followed.set(v);
      assigned.clear(v);
    }
    this.targets = assigned.stream().toArray();
    this.tracked = followed.stream().toArray();
    this.most = MOST_TRIED + 4L * operations.length;
  }

  int assumptions() {
    return assumptions;
  }

  int[] free() {
    return free;
  }

  long freeDomain(int index) {
    return freeDomains[index];
  }

  /** The variables that a result tells, ascending. */
  int[] targets() {
    return targets;
  }

  /** Those and the free variables, ascending. */
  int[] tracked() {
    return tracked;
  }

  /** Where the variable stands among the tracked ones; negative if nowhere. */
  int indexOf(int variable) {
    return Arrays.binarySearch(tracked, variable);
  }

  int slots() {
    return domains.length;
  }

  /** As {@link Slot#inOrder}. Not to be changed. */
  synchronized Slot[] slotsInOrder() {
    if (slotsInOrder == null) {
      slotsInOrder = Slot.inOrder(operations, domains.length, defined);
    }
    return slotsInOrder;
  }

  boolean readsHidden() {
    return domains.length > 0 || free.length > 0;
  }

  /** The operations in their order. Not to be changed. */
  Operation[] operations() {
    return operations;
  }

  /** How many definitions the operations hold. */
  int defined() {
    return defined;
  }

  boolean assignsNothing() {
    return operations.length == 0;
  }

  /** Whether it is known to be possible in every state, and to change nothing. */
  boolean always() {
    for (Operation op : operations) {
      if (op.target() >= 0
          || !(op.value() instanceof Node.Fixed f && f.values() == TRUE)
              && !(op.value() instanceof Node.All a && a.operands().length == 0)) {
        return false;
      }
    }
    return true;
  }

  /**
   * Carries the step out on {@code values} (indexed by model variable), restoring them afterwards.
   *
   * @param leaned if not null, collects at each result the hidden variables whose choice decided it
   */
  void run(int[] values, @Nullable BitSet leaned, Result result) {
    run(values, leaned, StepLimits.STANDARD, result);
  }

  /**
   * The same within limits.
   *
   * @throws CutShort if they do not suffice; some of the results may have been handed out
   * @throws Diagram.TooIntricate if free variables are followed and that takes too many nodes
   */
  void run(int[] values, @Nullable BitSet leaned, StepLimits limits, Result result) {
    if (free.length > 0) {
      SymbolicRun.run(this, false, values, leaned, limits, result);
      return;
    }
    // One choice after the other tells more of what a result leans on, and is seldom asked.
    long mostTried = leaned == null ? most : 100 * most;
    if (entangled || !tries(values, leaned, mostTried, limits, result)) {
      limits.check();
      if (!follows(values, leaned, limits, result)) {
        tryAll(values, leaned, limits, result);
      }
    }
  }

  /**
   * All choices at once, in one order of what is hidden or the other, with few nodes first; whether that was
   * not too intricate. The order that did for another state is tried first: nothing but the cost depends
   * on it, except what is leaned on.
   */
  private boolean follows(int[] values, @Nullable BitSet leaned, StepLimits limits, Result result) {
    boolean declaredFirst = leaned == null ? declaredIsBetter : entangled;
    for (int nodes : new int[] {FEW_NODES, MANY_NODES, limits.nodes()}) {
      StepLimits within = limits.withNodes(nodes);
      for (boolean declared : new boolean[] {declaredFirst, !declaredFirst}) {
        try {
          SymbolicRun.run(this, declared, values, leaned, within, result);
          declaredIsBetter = leaned == null ? declared : declaredIsBetter;
          return true;
        } catch (Diagram.TooIntricate _) {
          // Then in the other order, or with more nodes.
        }
      }
    }
    return false;
  }

  /** As {@link #run}, by trying one choice after the other. */
  void tryAll(int[] values, @Nullable BitSet leaned, StepLimits limits, Result result) {
    if (!tries(values, leaned, limits.tried(), limits, result)) {
      throw StepLimits.tooManyChoices();
    }
  }

  private boolean tries(
      int[] values, @Nullable BitSet leaned, long mostTried, StepLimits limits, Result result) {
    var run = new Run(values, leaned, result, mostTried, limits);
    run.from(0);
    return run.tried <= mostTried;
  }

  private final class Run {
    private final int[] values;
    private final @Nullable BitSet leaned;
    private final Result result;
    private final int[] chosen = new int[domains.length];
    private int openShared;

    /** What each definition is worth, and in which evaluation that was found and its reads opened. */
    private final long[] worth = new long[defined];

    private final int[] foundIn = new int[defined];
    private final int[] openedIn = new int[defined];
    private int evaluation;
    private final long mostTried;
    private final StepLimits limits;
    private long tried;

    /**
     * @param mostTried operations after which it gives up; the results handed out till then are some of
     *     all
     */
    Run(int[] values, @Nullable BitSet leaned, Result result, long mostTried, StepLimits limits) {
      this.mostTried = mostTried;
      this.limits = limits;
      this.values = values;
      this.leaned = leaned;
      this.result = result;
      Arrays.fill(chosen, -1);
    }

    void from(int at) {
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
      Operation op = operations[at];
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

    private void proceed(int at, Operation op, long possible) {
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
  }

  private static long swap(long truth) {
    return (truth & TRUE) >> 1 | (truth & FALSE) << 1;
  }
}
