package stoplog.checker.abstraction;

import java.util.BitSet;
import java.util.HashSet;
import java.util.List;
import java.util.Set;
import java.util.function.Function;
import org.jspecify.annotations.Nullable;
import stoplog.model.Assignment;
import stoplog.model.Bound;
import stoplog.model.Claim;
import stoplog.model.Clock;
import stoplog.model.Expr;
import stoplog.model.FieldChange;
import stoplog.model.Model;
import stoplog.model.Untouched;

/**
 * Whether time can go on past the limit of each clock, since a change comes there that stops it. Seen from the
 * values around the clock alone, and so sound but not complete: "no" may only mean that it is hard to see.
 */
final class TimeGoesOn {
  /** Ways to choose what a clock's condition and its changes read, beyond which nothing is claimed. */
  private static final long MOST_CHOICES = 1 << 16;

  private TimeGoesOn() {}

  /**
   * Of the clocks outside a {@link Cone}: whether each limit is a quantum or more, and at it some change other than a
   * fault is always allowed, and any such change stops the clock.
   */
  static boolean canBeMetOutside(Reads reads, Claim claim, Kept cone) {
    BitSet constants = Untouched.by(reads.model(), claim);
    for (Clock k : reads.model().clocks()) {
      boolean kept = KeptClocks.keeps(reads, k.id(), cone.variables(), constants);
      if (!kept
          && k.limit() != null
          && !canBeMet(reads, constants, k, k.limit(), false)) {
        return false;
      }
    }
    return true;
  }

  /**
   * The same of every clock, for a plant whose reactions change nothing when gone through once more
   * ({@link TwiceIsOnce}): so only those matter that read or assign what a change assigns, and those
   * that they see at work. Here it is enough that some of the changes, one after the other, surely stop the
   * clock ({@link DeadlineSteps}).
   *
   * @param together what variables can be together; null if there is no telling
   * @return changes that wait for no clock and may be needed for it; null if it is not sure of every clock
   */
  static @Nullable Set<FieldChange> neededForAll(
      Reads reads, Claim claim, Function<BitSet, Reachable.@Nullable Together> together) {
    BitSet constants = Untouched.by(reads.model(), claim);
    var needed = new HashSet<FieldChange>();
    for (Clock k : reads.model().clocks()) {
      if (k.limit() == null || canBeMet(reads, constants, k, k.limit(), true)) {
        continue;
      }
      Set<FieldChange> more = new DeadlineSteps(reads, constants, k, together).needed();
      if (more == null) {
        return null;
      }
      needed.addAll(more);
    }
    return needed;
  }

  private static boolean canBeMet(
      Reads reads,
      BitSet constants,
      Clock clock,
      Bound limit,
      boolean settled) {
    if (limit.quanta() == 0 || !limit.closed()) {
      return false;
    }
    Model model = reads.model();
    Expr none = Expr.TRUE;
    for (FieldChange c : model.changes()) {
      if (c.cause() != FieldChange.Cause.FAULT && isOpenAt(c.timing(), clock, limit)) {
        none = Expr.all(none, Expr.not(c.guard()));
        if (possible(reads, constants, clock, reads.of(c.guard()), step -> step
            .guard(c.guard())
            .assign(c.effects())
            .assign(settled ? reactionsTo(reads, c) : model.reactions())
            .guard(clock.running()))) {
          return false;
        }
      }
    }
    Expr noneAllowed = none;
    return !possible(
        reads, constants, clock, reads.of(noneAllowed), step -> step.guard(noneAllowed));
  }

  /** What can happen in response to the change. */
  static List<Assignment> reactionsTo(Reads reads, FieldChange change) {
    BitSet once = new BitSet();
    BitSet twice = new BitSet();
    for (Assignment r : reads.model().reactions()) {
      twice.set(r.variable(), twice.get(r.variable()) || once.get(r.variable()));
      once.set(r.variable());
    }
    BitSet moved = new BitSet();
    change.effects().forEach(a -> moved.set(a.variable()));
    int before = -1;
    while (before < moved.cardinality()) {
      before = moved.cardinality();
      for (Assignment r : reads.model().reactions()) {
        BitSet read = reads.of(r.value());
        if (read.intersects(moved) || moved.get(r.variable())) {
          moved.set(r.variable());
          // In between these may be something that they are not afterwards.
          read.and(twice);
          moved.or(read);
        }
      }
    }
    return reads.model().reactions().stream().filter(r -> moved.get(r.variable())).toList();
  }

  /** Whether a change that waits for the clock may come when it stands at its limit. */
  static boolean isOpenAt(FieldChange.@Nullable Timing timing, Clock clock, Bound limit) {
    return timing != null && timing.clock() == clock.id() && timing.isOpenAt(limit);
  }

  private interface Steps {
    StepCompiler onwards(StepCompiler afterRunning);
  }

  /** Whether this can be done with some values of all variables, while the clock runs. */
  private static boolean possible(
      Reads reads,
      BitSet constants,
      Clock clock,
      BitSet also,
      Steps steps) {
    BitSet chosen = reads.ofClock(clock.id());
    chosen.or(also);
    chosen.andNot(constants);
    Model model = reads.model();
    long choices = 1;
    for (int v = chosen.nextSetBit(0); v >= 0; v = chosen.nextSetBit(v + 1)) {
      choices *= model.variable(v).size();
      if (choices > MOST_CHOICES) {
        return true;
      }
    }
    var start =
        new StepCompiler(model, new Kept(chosen, false), constants)
            .guard(clock.running());
    StepProgram program = steps.onwards(start).done();
    return possible(model, program, chosen, chosen.nextSetBit(0), new int[model.variables().size()]);
  }

  private static boolean possible(
      Model model, StepProgram program, BitSet chosen, int variable, int[] values) {
    if (variable < 0) {
      boolean[] reached = new boolean[1];
      program.run(values, null, () -> reached[0] = true);
      return reached[0];
    }
    for (int v = 0; v < model.variable(variable).size(); v++) {
      values[variable] = v;
      if (possible(model, program, chosen, chosen.nextSetBit(variable + 1), values)) {
        return true;
      }
    }
    return false;
  }
}
