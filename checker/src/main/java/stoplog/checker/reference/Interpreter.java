package stoplog.checker.reference;

import java.util.ArrayList;
import java.util.Iterator;
import java.util.List;
import org.jspecify.annotations.Nullable;
import stoplog.model.Assignment;
import stoplog.model.Bound;
import stoplog.model.Claim;
import stoplog.model.Clock;
import stoplog.model.Controller;
import stoplog.model.Expr;
import stoplog.model.FieldChange;
import stoplog.model.Model;
import stoplog.model.Variable;

/**
 * The plant and one claim about it, moved by hand: a start is chosen, time passes, field changes
 * happen, the controller scans. Each move takes a {@link State} and gives the next; the interpreter
 * itself remembers nothing.
 *
 * <p>For every kind of move there is a question that says which rule forbids it ({@code null} if none
 * does), and the move itself, which throws {@link IllegalArgumentException} with that sentence.
 */
public final class Interpreter {
  private final Model model;
  private final Claim claim;
  private final Controller controller;
  private final Evaluation evaluation;
  private final Visibility visibility;
  private final int ticksPerQuantum;

  /**
   * @param ticksPerQuantum 1 or more; times between ticks do not exist for this interpreter
   */
  public Interpreter(Model model, Claim claim, int ticksPerQuantum) {
    if (ticksPerQuantum < 1) {
      throw new IllegalArgumentException(ticksPerQuantum + " ticks per quantum");
    }
    this.model = model;
    this.claim = claim;
    this.controller = model.controller();
    this.evaluation = new Evaluation(model);
    this.visibility = new Visibility(model, claim);
    this.ticksPerQuantum = ticksPerQuantum;
  }

  // Start

  /** Every combination of initial values, the first variable changing fastest. */
  public Iterator<List<Integer>> startValues() {
    return new StartValues(model.variables());
  }

  /** Why the plant cannot start with these values of its variables, or {@code null}. */
  public @Nullable String whyNotStart(List<Integer> values) {
    if (values.size() != model.variables().size()) {
      return "there are " + model.variables().size() + " variables, but " + values.size()
          + " values to start with";
    }
    for (Variable v : model.variables()) {
      int value = values.get(v.id());
      if (value < 0 || value >= v.size()) {
        return v.name() + " has no value " + value;
      }
      if ((v.initial() >>> value & 1) == 0) {
        return v.name() + " does not start " + v.values().get(value);
      }
    }
    return null;
  }

  /** The state right after the start. */
  public State start(List<Integer> chosen) {
    refuse(whyNotStart(chosen));
    int[] values = chosen.stream().mapToInt(Integer::intValue).toArray();
    assign(values, model.start());
    assign(values, model.reactions());
    assign(values, claim.monitors());
    long[] clocks = new long[model.clocks().size()];
    for (Clock c : model.clocks()) {
      clocks[c.id()] = evaluation.holds(c.running(), values) ? 0 : State.NOT_RUNNING;
    }
    boolean scans = powered(values) && !controller.program().isEmpty();
    boolean condition = evaluation.holds(claim.condition(), values);
    return new State(
        values,
        clocks,
        scans ? 1 : 0,
        scans ? 0 : State.NOT_RUNNING,
        condition ? 0 : State.NOT_RUNNING,
        0);
  }

  // Time

  /** How many ticks may pass at most before something has to happen; {@link Long#MAX_VALUE} for any. */
  public long mayPass(State state) {
    long least = scanMayWait(state);
    for (Clock c : model.clocks()) {
      least = Math.min(least, mayRunOn(state, c));
    }
    return least;
  }

  /** Why this many ticks cannot pass, or {@code null}. */
  public @Nullable String whyNotPass(State state, long ticks) {
    if (ticks < 0) {
      return "time does not run backwards";
    }
    if (ticks > scanMayWait(state)) {
      return controller.reactionQuanta() == 0
          ? "a scan is due, and it comes at once"
          : "a scan is due, and the controller reacts within " + controller.reactionQuanta()
              + " quanta";
    }
    for (Clock c : model.clocks()) {
      if (ticks > mayRunOn(state, c)) {
        return "clock " + c.name() + " may not run beyond its limit";
      }
    }
    return null;
  }

  /** The state after this many ticks without a step. */
  public State pass(State state, long ticks) {
    refuse(whyNotPass(state, ticks));
    return advanced(state, ticks);
  }

  /** Time passed, without asking whether it may. */
  State advanced(State state, long ticks) {
    long[] clocks = new long[model.clocks().size()];
    for (int c = 0; c < clocks.length; c++) {
      clocks[c] = later(state.clockTicks(c), ticks);
    }
    return state.withTicks(
        clocks, later(state.dueTicks(), ticks), later(state.conditionTicks(), ticks));
  }

  private static long later(long reading, long ticks) {
    return reading == State.NOT_RUNNING ? reading : Math.addExact(reading, ticks);
  }

  private long scanMayWait(State state) {
    return state.due() == 0
        ? Long.MAX_VALUE
        : controller.reactionQuanta() * ticksPerQuantum - state.dueTicks();
  }

  private long mayRunOn(State state, Clock clock) {
    Bound limit = clock.limit();
    if (limit == null || !state.isRunning(clock.id())) {
      return Long.MAX_VALUE;
    }
    // A clock with the open limit 0 has already reached it when it starts: no time passes.
    return Math.max(0, latestTick(limit) - state.clockTicks(clock.id()));
  }

  /** The last tick inside a window that ends with this bound. */
  long latestTick(Bound bound) {
    return bound.quanta() * ticksPerQuantum - (bound.closed() ? 0 : 1);
  }

  /** The first tick inside a window that begins with this bound. */
  long earliestTick(Bound bound) {
    return bound.quanta() * ticksPerQuantum + (bound.closed() ? 0 : 1);
  }

  // Field changes

  /** The field changes that can happen now. */
  public List<FieldChange> enabled(State state) {
    var enabled = new ArrayList<FieldChange>();
    for (FieldChange c : model.changes()) {
      if (whyNotApply(state, c) == null) {
        enabled.add(c);
      }
    }
    return enabled;
  }

  /** Why this field change cannot happen now, or {@code null}. */
  public @Nullable String whyNotApply(State state, FieldChange change) {
    if (!evaluation.holds(change.guard(), state.values())) {
      return "its condition does not hold";
    }
    FieldChange.Timing timing = change.timing();
    if (timing != null) {
      String clock = "clock " + model.clocks().get(timing.clock()).name();
      if (!state.isRunning(timing.clock())) {
        return clock + " does not run";
      }
      long ticks = state.clockTicks(timing.clock());
      if (ticks < earliestTick(timing.earliest())) {
        return clock + " has not yet run long enough";
      }
      if (timing.latest() != null && ticks > latestTick(timing.latest())) {
        return clock + " has run too long";
      }
    }
    if (claim.faultBudget() > 0 && !claim.admits(change)) {
      return claim.id() + " tolerates no such fault";
    }
    if (change.cause() == FieldChange.Cause.FAULT && state.faults() == claim.faultBudget()) {
      return "the fault budget of " + claim.id() + " is " + claim.faultBudget();
    }
    if (controller.reactionQuanta() == 0
        && state.due() == controller.coincident()
        && scansFirst(state.values(), valuesAfter(state, change))) {
      return "the controller scans first: no more than " + controller.coincident()
          + " changes share a scan";
    }
    return null;
  }

  private boolean scansFirst(int[] before, int[] after) {
    return powered(after) && visibility.isConcernedBy(before, after);
  }

  /** The state after this field change. */
  public State apply(State state, FieldChange change) {
    refuse(whyNotApply(state, change));
    return changed(state, change);
  }

  private int[] valuesAfter(State before, FieldChange change) {
    int[] values = before.values().clone();
    assign(values, change.effects());
    assign(values, model.reactions());
    assign(values, claim.monitors());
    return values;
  }

  /** The change carried out, without asking whether it can happen. */
  State changed(State before, FieldChange change) {
    int[] values = valuesAfter(before, change);
    int due = before.due();
    long dueTicks = before.dueTicks();
    if (visibility.isConcernedBy(before.values(), values)) {
      // With a reaction time above 0 only "something" and "nothing" differ.
      due = controller.reactionQuanta() > 0 ? 1 : Math.min(due + 1, controller.coincident());
      dueTicks = before.due() == 0 ? 0 : dueTicks;
    }
    int faults = before.faults() + (change.cause() == FieldChange.Cause.FAULT ? 1 : 0);
    return after(before, values, due, dueTicks, faults);
  }

  // Scans

  /** Why the controller cannot scan now, or {@code null}. */
  public @Nullable String whyNotScan(State state) {
    if (!evaluation.holds(controller.powered(), state.values())) {
      return "the controller has no power";
    }
    return state.due() == 0 ? "no scan is due" : null;
  }

  public boolean mayScan(State state) {
    return whyNotScan(state) == null;
  }

  /** The state after a scan. */
  public State scan(State state) {
    refuse(whyNotScan(state));
    return scanned(state);
  }

  /** A scan carried out, without asking whether it can happen. */
  State scanned(State before) {
    int[] values = before.values().clone();
    assign(values, controller.program());
    assign(values, model.reactions());
    assign(values, claim.monitors());
    boolean another = visibility.seesDifference(before.values(), values);
    return after(
        before, values, another ? 1 : 0, another ? 0 : State.NOT_RUNNING, before.faults());
  }

  // The claim

  /** Whether the claim's condition has held for longer than it names. */
  public boolean violated(State state) {
    return state.conditionTicks() > claim.forQuanta() * ticksPerQuantum;
  }

  /** Whether what the claim takes for granted holds. */
  public boolean isFollowed(State state) {
    return evaluation.holds(claim.onlyWhile(), state.values());
  }

  /** Whether the claim's condition holds and time can pass, be it for less than a tick. */
  boolean isGoal(State state) {
    if (!evaluation.holds(claim.condition(), state.values())) {
      return false;
    }
    boolean passes =
        state.due() == 0 || state.dueTicks() < controller.reactionQuanta() * ticksPerQuantum;
    for (Clock c : model.clocks()) {
      Bound limit = c.limit();
      if (limit != null && state.isRunning(c.id())) {
        passes &= state.clockTicks(c.id()) < limit.quanta() * ticksPerQuantum;
      }
    }
    return passes;
  }

  // What all steps share

  /** The state after a step: power decides about {@code due}, then the clocks are seen to. */
  private State after(State before, int[] values, int due, long dueTicks, int faults) {
    int dueNow = due;
    long dueTicksNow = dueTicks;
    if (!powered(values) || controller.program().isEmpty()) {
      dueNow = 0;
      dueTicksNow = State.NOT_RUNNING;
    } else if (!powered(before.values())) {
      dueNow = 1;
      dueTicksNow = 0;
    }
    long[] clocks = new long[model.clocks().size()];
    for (Clock c : model.clocks()) {
      clocks[c.id()] = continued(c.running(), values, before.clockTicks(c.id()));
    }
    long condition = continued(claim.condition(), values, before.conditionTicks());
    return new State(values, clocks, dueNow, dueTicksNow, condition, faults);
  }

  private boolean powered(int[] values) {
    return evaluation.holds(controller.powered(), values);
  }

  /** A clock's reading after a step: runs on, starts at 0, or is without value. */
  private long continued(Expr running, int[] values, long before) {
    if (!evaluation.holds(running, values)) {
      return State.NOT_RUNNING;
    }
    return before == State.NOT_RUNNING ? 0 : before;
  }

  private void assign(int[] values, List<Assignment> assignments) {
    for (Assignment a : assignments) {
      Variable target = model.variable(a.variable());
      int value = evaluation.value(a.value(), values);
      if (value < 0 || value >= target.size()) {
        throw new IllegalStateException(
            "malformed model: " + target.name() + " is assigned " + value);
      }
      values[target.id()] = value;
    }
  }

  private static void refuse(@Nullable String reason) {
    if (reason != null) {
      throw new IllegalArgumentException(reason);
    }
  }
}
