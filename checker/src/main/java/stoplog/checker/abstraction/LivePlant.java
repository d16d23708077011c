package stoplog.checker.abstraction;

import java.util.Arrays;
import java.util.BitSet;
import java.util.List;
import org.jspecify.annotations.Nullable;
import stoplog.checker.reference.Evaluation;
import stoplog.model.Assignment;
import stoplog.model.Bound;
import stoplog.model.Claim;
import stoplog.model.Controller;
import stoplog.model.Expr;
import stoplog.model.FieldChange;
import stoplog.model.Model;

/**
 * A plant and one claim about it, moved in place: what {@link stoplog.checker.reference.Interpreter} says,
 * but a move costs what it touches and not what the plant is large. It stands between the moves of a run
 * that is driven, in which a scan that is due always comes before any change.
 *
 * <p>INVARIANT (at-rest): an assignment that is not noted in {@link #scanOpen} or {@link #reactionsOpen}
 * would assign what its target has. Since it was last carried out neither what it reads nor its target has
 * had another value, be it in between.
 */
final class LivePlant {
  private static final long NOT_RUNNING = -1;

  private final Reads reads;
  private final Model model;
  private final Claim claim;
  private final Controller controller;
  private final Evaluation evaluation;
  private final Touch touch;
  private final BitSet watched;
  private final BitSet ofCondition;
  private final BitSet ofPower;
  private final int ticksPerQuantum;

  private final int[] values;

  /** When each clock started. */
  private final long[] since;

  private final BitSet running = new BitSet();
  private final BitSet scanOpen = new BitSet();
  private final BitSet reactionsOpen = new BitSet();
  private long now;
  private boolean powered;
  private boolean due;
  private long dueSince;
  private long conditionSince;
  private int faults;
  private long print;

  // One move.
  private final BitSet moved = new BitSet();
  private final int[] before;

  /** A plant at rest nowhere yet: {@link #start} it, or {@link #goBack}. */
  LivePlant(Reads reads, Claim claim, int ticksPerQuantum) {
    this.reads = reads;
    this.model = reads.model();
    this.claim = claim;
    this.controller = model.controller();
    this.evaluation = new Evaluation(model);
    this.touch = reads.touch();
    this.ticksPerQuantum = ticksPerQuantum;
    this.ofCondition = reads.of(claim.condition());
    this.ofPower = reads.of(controller.powered());
    BitSet byClaim = (BitSet) ofCondition.clone();
    byClaim.or(reads.of(claim.onlyWhile()));
    claim.monitors().forEach(m -> byClaim.or(reads.of(m.value())));
    this.watched = touch.watchedFor(byClaim, reads.programmed());
    this.values = new int[model.variables().size()];
    this.before = new int[values.length];
    this.since = new long[model.clocks().size()];
  }

  // Where it is

  /** The values of all variables, live. Not to be changed. */
  int[] values() {
    return values;
  }

  boolean isRunning(int clock) {
    return running.get(clock);
  }

  /** How long a clock that runs has run. */
  long clockTicks(int clock) {
    return now - since[clock];
  }

  boolean conditionHolds() {
    return conditionSince != NOT_RUNNING;
  }

  /** Whether the claim's condition has held for longer than it names. */
  boolean violated() {
    return conditionHolds() && now - conditionSince > claim.forQuanta() * ticksPerQuantum;
  }

  boolean mayScan() {
    return due && powered;
  }

  /** A number that is most often another where values are. */
  long print() {
    return print;
  }

  /** A state to go back to. */
  record Mark(
      int[] values, long[] since, BitSet running, BitSet scanOpen, BitSet reactionsOpen, long now,
      boolean powered, boolean due, long dueSince, long conditionSince, int faults, long print) {}

  Mark mark() {
    return new Mark(
        values.clone(), since.clone(), (BitSet) running.clone(), (BitSet) scanOpen.clone(),
        (BitSet) reactionsOpen.clone(), now, powered, due, dueSince, conditionSince, faults, print);
  }

  void goBack(Mark mark) {
    System.arraycopy(mark.values, 0, values, 0, values.length);
    System.arraycopy(mark.since, 0, since, 0, since.length);
    copy(mark.running, running);
    copy(mark.scanOpen, scanOpen);
    copy(mark.reactionsOpen, reactionsOpen);
    now = mark.now;
    powered = mark.powered;
    due = mark.due;
    dueSince = mark.dueSince;
    conditionSince = mark.conditionSince;
    faults = mark.faults;
    print = mark.print;
  }

  private static void copy(BitSet from, BitSet to) {
    to.clear();
    to.or(from);
  }

  // Moves

  /** The plant started with these values. */
  void start(List<Integer> chosen) {
    print = 0;
    for (int v = 0; v < values.length; v++) {
      values[v] = chosen.get(v);
      print ^= mixed(v, values[v]);
    }
    assignAll(model.start());
    scanOpen.set(0, controller.program().size());
    reactionsOpen.set(0, model.reactions().size());
    carryOut(model.reactions(), reactionsOpen);
    assignAll(claim.monitors());
    moved.clear();
    now = 0;
    faults = 0;
    Arrays.fill(since, 0);
    for (int c = 0; c < since.length; c++) {
      running.set(c, evaluation.holds(model.clocks().get(c).running(), values));
    }
    powered = evaluation.holds(controller.powered(), values);
    due = powered && !controller.program().isEmpty();
    dueSince = 0;
    conditionSince = evaluation.holds(claim.condition(), values) ? 0 : NOT_RUNNING;
  }

  void scan() {
    if (!mayScan()) {
      throw new IllegalStateException("no scan is due");
    }
    carryOut(controller.program(), scanOpen);
    settle(true);
  }

  /** Whether a change may come, where no scan is due. */
  boolean mayApply(FieldChange change) {
    FieldChange.Timing t = change.timing();
    if (t != null) {
      if (!isRunning(t.clock())) {
        return false;
      }
      long ticks = clockTicks(t.clock());
      if (ticks < earliestTick(t.earliest()) || (t.latest() != null && ticks > latestTick(t.latest()))) {
        return false;
      }
    }
    if (change.cause() == FieldChange.Cause.FAULT
        && (faults == claim.faultBudget() || !claim.admits(change))) {
      return false;
    }
    return evaluation.holds(change.guard(), values);
  }

  void apply(FieldChange change) {
    if (mayScan() || !mayApply(change)) {
      throw new IllegalStateException("this change cannot come now: " + change.text());
    }
    faults += change.cause() == FieldChange.Cause.FAULT ? 1 : 0;
    assignAll(change.effects());
    settle(false);
  }

  /** How many ticks may pass at most before something has to happen; {@link Long#MAX_VALUE} for any. */
  long mayPass() {
    long least =
        due ? controller.reactionQuanta() * ticksPerQuantum - (now - dueSince) : Long.MAX_VALUE;
    for (int c = running.nextSetBit(0); c >= 0; c = running.nextSetBit(c + 1)) {
      Bound limit = touch.isLimited(c) ? model.clocks().get(c).limit() : null;
      if (limit != null) {
        least = Math.min(least, Math.max(0, latestTick(limit) - clockTicks(c)));
      }
    }
    return least;
  }

  void pass(long ticks) {
    if (ticks < 0 || ticks > mayPass()) {
      throw new IllegalStateException("so much time cannot pass");
    }
    now = Math.addExact(now, ticks);
  }

  // What it does by itself

  /**
   * A change that its clock lets come now, and that is waited for no longer; null if there is none.
   *
   * @param quick whether what the process does not bring about comes as soon as it may, not as late
   */
  @Nullable FieldChange due(boolean quick) {
    FieldChange first = null;
    for (int k = running.nextSetBit(0); k >= 0; k = running.nextSetBit(k + 1)) {
      Bound limit = model.clocks().get(k).limit();
      boolean last = limit != null && clockTicks(k) >= latestTick(limit);
      for (int id : touch.timedBy(k)) {
        if (first == null || id < first.id()) {
          FieldChange c = model.changes().get(id);
          boolean early = quick && c.cause() != FieldChange.Cause.PROCESS;
          first = (last || early) && mayApply(c) ? c : first;
        }
      }
    }
    return first;
  }

  /** Ticks until another change's window opens; {@link Long#MAX_VALUE} if none will. */
  long untilNext() {
    long least = Long.MAX_VALUE;
    for (int k = running.nextSetBit(0); k >= 0; k = running.nextSetBit(k + 1)) {
      for (int id : touch.timedBy(k)) {
        FieldChange.Timing t = model.changes().get(id).timing();
        long opens = t == null ? 0 : earliestTick(t.earliest()) - clockTicks(k);
        least = opens > 0 ? Math.min(least, opens) : least;
      }
    }
    return least;
  }

  // What all moves share

  /** After the assignments of a step: what answers to them, and what follows for scans and clocks. */
  private void settle(boolean scanned) {
    carryOut(model.reactions(), reactionsOpen);
    assignAll(claim.monitors());
    boolean hadPower = powered;
    if (moved.intersects(ofPower)) {
      powered = evaluation.holds(controller.powered(), values);
    }
    boolean wasDue = due && !scanned;
    if (!powered || controller.program().isEmpty()) {
      due = false;
    } else {
      due = wasDue || !hadPower || differs(scanned ? reads.visible() : watched);
    }
    dueSince = due && !(wasDue && hadPower) ? now : dueSince;
    boolean condition = false;
    for (int v = moved.nextSetBit(0); v >= 0; v = moved.nextSetBit(v + 1)) {
      for (int clock : reads.clocksReading(v)) {
        boolean runs = evaluation.holds(model.clocks().get(clock).running(), values);
        if (runs && !running.get(clock)) {
          since[clock] = now;
        }
        running.set(clock, runs);
      }
      condition |= ofCondition.get(v);
    }
    if (condition) {
      boolean holds = evaluation.holds(claim.condition(), values);
      conditionSince = !holds ? NOT_RUNNING : conditionHolds() ? conditionSince : now;
    }
    moved.clear();
  }

  private boolean differs(BitSet among) {
    for (int v = moved.nextSetBit(0); v >= 0; v = moved.nextSetBit(v + 1)) {
      if (among.get(v) && values[v] != before[v]) {
        return true;
      }
    }
    return false;
  }

  /** Those that are open, in order; they may open others, of which those behind them come too. */
  private void carryOut(List<Assignment> assignments, BitSet open) {
    for (int at = open.nextSetBit(0); at >= 0; at = open.nextSetBit(at + 1)) {
      open.clear(at);
      assign(assignments.get(at));
    }
  }

  private void assignAll(List<Assignment> assignments) {
    for (Assignment a : assignments) {
      assign(a);
    }
  }

  private void assign(Assignment a) {
    int target = a.variable();
    int value = evaluation.value(a.value(), values);
    if (value < 0 || value >= model.variable(target).size()) {
      throw new IllegalStateException(
          "malformed model: " + model.variable(target).name() + " is assigned " + value);
    }
    if (value == values[target]) {
      return;
    }
    if (!moved.get(target)) {
      moved.set(target);
      before[target] = values[target];
    }
    print ^= mixed(target, values[target]) ^ mixed(target, value);
    values[target] = value;
    for (int at : touch.program(target)) {
      scanOpen.set(at);
    }
    for (int at : touch.reactions(target)) {
      reactionsOpen.set(at);
    }
  }

  private static long mixed(int variable, int value) {
    long x = (variable * 64L + value + 1) * 0x9E3779B97F4A7C15L;
    x = (x ^ x >>> 30) * 0xBF58476D1CE4E5B9L;
    return x ^ x >>> 27;
  }

  private long latestTick(Bound bound) {
    return bound.quanta() * ticksPerQuantum - (bound.closed() ? 0 : 1);
  }

  private long earliestTick(Bound bound) {
    return bound.quanta() * ticksPerQuantum + (bound.closed() ? 0 : 1);
  }

  /** The value of an expression as things are. */
  int valueOf(Expr e) {
    return evaluation.value(e, values);
  }
}
