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

  /** Called with the values after the step; what it leaned on is in the set given for that. */
  interface Result {
    void reached();
  }

  /** Operations carried out one choice after the other before all choices are followed at once. */
  private static final long MOST_TRIED = 5_000;

  /** The same where many hidden values are shared: then that is seldom enough. */
  private static final long MOST_TRIED_IF_MANY = 500;

  private static final int MANY_SHARED = 12;

  /**
   * So many shared hidden values make it worth while to look whether a step can be condensed. With fewer that costs
   * about what it saves, and its results come in another order: longer runs of a shipped plant were told.
   */
  private static final int FEW_SHARED = 8;

  /** So many times more where it is asked what results lean on: that is seldom, and this tells more of it. */
  private static final long TELLING = 100;

  /** Of diagrams that are tried in both orders before more is spent on either. */
  private static final int FEW_NODES = 1 << 12;

  private static final int MANY_NODES = 1 << 16;

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
  private final long mostTried;
  private final int sharedCount;

  /** Whether the order of the variables did better where all choices were last followed at once. */
  private volatile boolean declaredIsBetter;

  /** The same with less that is hidden; worked out when first asked. */
  private volatile @Nullable StepProgram condensed;

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
    this.sharedCount = count(shared);
    this.mostTried = sharedCount < MANY_SHARED ? MOST_TRIED : MOST_TRIED_IF_MANY;
  }

  private static int count(boolean[] of) {
    int count = 0;
    for (boolean is : of) {
      count += is ? 1 : 0;
    }
    return count;
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

  /** The values that each hidden slot may have. Not to be changed. */
  long[] domains() {
    return domains;
  }

  /** Whether each slot is read at more than one place. Not to be changed. */
  boolean[] shared() {
    return shared;
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
    StepProgram program = leaned == null && isWorthCondensing() ? condensed() : this;
    program.carryOut(values, leaned, limits, result);
  }

  private boolean isWorthCondensing() {
    return sharedCount >= FEW_SHARED;
  }

  private StepProgram condensed() {
    StepProgram found = condensed;
    if (found == null) {
      found = HiddenParts.condensed(this);
      condensed = found;
    }
    return found;
  }

  /** The same with other operations, which read slots with these domains. */
  StepProgram with(Operation[] others, long[] otherDomains, int otherDefined) {
    boolean[] sharedThere = new boolean[otherDomains.length];
    Slot.count(others, sharedThere);
    return new StepProgram(others, otherDomains, sharedThere, otherDefined, entangled, assumptions, free, freeDomains);
  }

  private void carryOut(int[] values, @Nullable BitSet leaned, StepLimits limits, Result result) {
    if (free.length > 0) {
      SymbolicRun.run(this, false, values, leaned, limits, result);
      return;
    }
    long few = mostTried + 4L * operations.length;
    long most = leaned == null ? few : TELLING * few;
    if (entangled || !ChoiceByChoice.run(this, values, leaned, most, limits, result)) {
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
    if (!ChoiceByChoice.run(this, values, leaned, limits.tried(), limits, result)) {
      throw StepLimits.tooManyChoices();
    }
  }
}
