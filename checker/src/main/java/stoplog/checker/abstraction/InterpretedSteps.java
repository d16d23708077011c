package stoplog.checker.abstraction;

import java.util.Arrays;
import java.util.BitSet;
import java.util.function.BooleanSupplier;
import org.jspecify.annotations.Nullable;
import stoplog.checker.explore.TimedSystem.Sink;
import stoplog.model.Controller;
import stoplog.model.FieldChange;
import stoplog.model.Model;

/**
 * Carries out the steps of a {@link KeptSystem} on values unpacked from a state. For one thread at a
 * time.
 */
final class InterpretedSteps implements CompiledSteps.Interpreter {
  private final Model model;
  private final Controller controller;
  private final Kept kept;
  private final KeptSteps steps;
  private final KeptState stored;
  private final KeptClocks clocks;
  private final @Nullable BitSet quietExcept;
  private final boolean tracksDue;
  private final boolean alwaysPowered;

  private final int[] values;

  /** Of a state that is asked about, perhaps by the one who is just being handed results. */
  private final int[] asked;

  private final long[] packed;
  private int due;
  private int faults;
  private StepLimits limits = StepLimits.STANDARD;

  /** Whether the condition asked about last has a result. */
  private boolean may;

  private final StepProgram.Result found = () -> may = true;

  /**
   * @param quietExcept the variables that may start with any of their values; {@code null} for all
   */
  InterpretedSteps(
      Model model,
      Kept kept,
      KeptSteps steps,
      KeptState stored,
      KeptClocks clocks,
      @Nullable BitSet quietExcept) {
    this.model = model;
    this.controller = model.controller();
    this.kept = kept;
    this.steps = steps;
    this.stored = stored;
    this.clocks = clocks;
    this.quietExcept = quietExcept;
    this.tracksDue = kept.due() && !controller.program().isEmpty();
    this.alwaysPowered = steps.powered().always();
    this.values = new int[model.variables().size() + kept.groups().size()];
    this.asked = new int[values.length];
    this.packed = new long[stored.packing().words()];
  }

  /** The same steps for another thread. */
  InterpretedSteps forAnotherThread() {
    var same = new InterpretedSteps(model, kept, steps, stored, clocks, quietExcept);
    same.limits = limits;
    return same;
  }

  /** How much may be done from here on for each step. */
  void keepTo(StepLimits within) {
    limits = within;
  }

  void giveUpWhen(BooleanSupplier over) {
    limits = limits.until(over);
  }

  // ---- starts

  /** Hands out every start, telling which hidden variables each leaned on. */
  void starts(@Nullable BitSet leaned, Sink sink) {
    start(kept.variables().nextSetBit(0), leaned, sink, new int[values.length]);
  }

  /** Hands out the starts from these values before the start assignments, indexed by variable. */
  void startsFrom(int[] initial, Sink sink) {
    start(-1, null, sink, Arrays.copyOf(initial, values.length));
  }

  private void start(int variable, @Nullable BitSet leaned, Sink sink, int[] initial) {
    if (variable < 0) {
      System.arraycopy(initial, 0, values, 0, initial.length);
      steps.start().run(
          values,
          leaned,
          limits,
          () -> {
            due = tracksDue && powered() ? 1 : 0;
            faults = 0;
            emit(sink, -1);
          });
      return;
    }
    long from = model.variable(variable).initial();
    if (quietExcept != null && !quietExcept.get(variable)) {
      from = Long.lowestOneBit(from);
    }
    for (long rest = from; rest != 0; rest &= rest - 1) {
      initial[variable] = Long.numberOfTrailingZeros(rest);
      start(kept.variables().nextSetBit(variable + 1), leaned, sink, initial);
    }
  }

  /** The values before the start assignments that lead to this start state, all variables kept. */
  int @Nullable [] initialValuesOf(long[] state) {
    int[][] found = new int[1][];
    int[] initial = new int[values.length];
    start(
        kept.variables().nextSetBit(0),
        null,
        (step, s) -> {
          if (found[0] == null && Arrays.equals(s, state)) {
            found[0] = initial.clone();
          }
        },
        initial);
    return found[0];
  }

  // ---- steps

  /** Hands out what every step leads to. */
  void all(long[] state, Sink sink) {
    unpack(state);
    int dueBefore = due;
    int faultsBefore = faults;
    for (int i = 0; i < steps.changeIds().length; i++) {
      change(i, state, dueBefore, faultsBefore, null, sink);
    }
    scan(state, dueBefore, faultsBefore, null, sink);
    elsewhere(state, dueBefore, faultsBefore, null, sink);
  }

  @Override
  public void step(int step, long[] state, Sink sink) {
    step(step, state, null, sink);
  }

  /** Hands out what one step leads to, telling which hidden variables each outcome leaned on. */
  void step(int step, long[] state, @Nullable BitSet leaned, Sink sink) {
    unpack(state);
    if (step == steps.scanStep()) {
      scan(state, due, faults, leaned, sink);
    } else if (step == steps.elsewhereStep()) {
      elsewhere(state, due, faults, leaned, sink);
    } else {
      int index = Arrays.binarySearch(steps.changeIds(), step);
      change(index, state, due, faults, leaned, sink);
    }
  }

  // Each begins with the values of the state and leaves them as they are.

  private void change(
      int index,
      long[] state,
      int dueBefore,
      int faultsBefore,
      @Nullable BitSet leaned,
      Sink sink) {
    FieldChange c = model.changes().get(steps.changeIds()[index]);
    boolean fault = c.cause() == FieldChange.Cause.FAULT;
    if (fault && faultsBefore == stored.faultBudget()) {
      return;
    }
    boolean poweredBefore = kept.due() && powered();
    steps.change(index).run(
        values,
        leaned,
        limits,
        () -> {
          boolean seen = stored.differs(state, values, stored.watchedByChange());
          if (kept.due()
              && seen
              && dueBefore == stored.maxDue()
              && controller.reactionQuanta() == 0
              && powered()) {
            return;
          }
          due = dueAfterChange(dueBefore, seen, poweredBefore);
          faults = faultsBefore + (fault ? 1 : 0);
          emit(sink, c.id());
        });
  }

  private int dueAfterChange(int before, boolean seen, boolean poweredBefore) {
    if (!tracksDue || !powered()) {
      return 0;
    }
    if (!poweredBefore) {
      return 1;
    }
    return seen ? Math.min(before + 1, stored.maxDue()) : before;
  }

  private void scan(
      long[] state, int dueBefore, int faultsBefore, @Nullable BitSet leaned, Sink sink) {
    if (dueBefore == 0 && (!steps.scanMayComeUnasked() || steps.unaskedScan().assignsNothing())
        || !powered()) {
      return;
    }
    boolean unasked = dueBefore == 0;
    (unasked ? steps.unaskedScan() : steps.scan()).run(
        values,
        leaned,
        limits,
        () -> {
          boolean another =
              kept.due() && stored.differs(state, values, stored.watchedByScan()) && powered();
          due = another ? 1 : 0;
          faults = faultsBefore;
          if (!unasked || steps.scan().readsHidden() || !stored.is(state, values, due, faults)) {
            emit(sink, steps.scanStep());
          }
        });
  }

  private void elsewhere(
      long[] state, int dueBefore, int faultsBefore, @Nullable BitSet leaned, Sink sink) {
    if (!steps.elsewhereMatters()) {
      return;
    }
    boolean poweredBefore = kept.due() && powered();
    steps.elsewhere().run(
        values,
        leaned,
        limits,
        () -> {
          boolean seen = stored.differs(state, values, stored.watchedByChange());
          due = dueAfterChange(dueBefore, seen, poweredBefore);
          faults = faultsBefore;
          if (steps.elsewhere().readsHidden() || !stored.is(state, values, due, faults)) {
            emit(sink, steps.elsewhereStep());
          }
        });
  }

  /** Whether the controller has, or may have, power in the current values. */
  private boolean powered() {
    return alwaysPowered || mayHold(steps.powered(), values);
  }

  private boolean mayHold(StepProgram condition, int[] in) {
    may = false;
    condition.run(in, null, limits, found);
    return may;
  }

  /** The clocks that run in the state. */
  int[] running(long[] state) {
    stored.unpack(state, asked);
    int[] result = new int[clocks.count()];
    int count = 0;
    for (int c = 0; c < clocks.count(); c++) {
      if (c == clocks.due() ? stored.due(state) > 0 : mayHold(clocks.condition(c), asked)) {
        result[count++] = c;
      }
    }
    return Arrays.copyOf(result, count);
  }

  private void emit(Sink sink, int step) {
    stored.pack(values, due, faults, packed);
    sink.edge(step, packed);
  }

  private void unpack(long[] state) {
    stored.unpack(state, values);
    due = stored.due(state);
    faults = stored.faults(state);
  }
}
