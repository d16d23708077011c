package stoplog.checker.abstraction;

import java.util.ArrayDeque;
import java.util.BitSet;
import java.util.List;
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
 * The part of a plant on which it depends, however far back, what a claim asks, takes for granted and
 * remembers: with a variable, all that its assignments read, the guards of the changes that assign it
 * and the conditions of their clocks; and what tells whether the controller has power; but not what
 * is constant for the claim ({@link Untouched}). Nothing in it reads anything outside but constants.
 *
 * <p><b>When what is possible in the cone is possible in the plant.</b> Say that the plant and its cone
 * are at the same values and readings in the cone. Let the following hold:
 * <ol>
 *   <li>no step outside touches the cone: at no state of the cone do reactions and monitors change
 *       anything of their own accord, nor does a scan while none is due for the cone;
 *   <li>the logic settles (see {@link Settling});
 *   <li>{@link #deadlinesCanBeMet}: a clock outside the cone that has a limit has one of a quantum or
 *       more, and at it some change other than a fault is always allowed, and stops it.
 * </ol>
 * Then the plant can follow the cone along any run of these moves: (A) time passes, or a change comes
 * that belongs to the cone, while no scan is due for the cone; (B) while one is due, it comes at once.
 *
 * <p>For A: whatever scans are due for the sake of things outside come first. By 1 they leave the cone
 * alone. With a reaction time of 0 they come to an end by 2, and then no scan is due that might hold
 * time up or a change back; otherwise one scan is enough to start the reaction time afresh. A limit
 * outside the cone that stands in the way of time is met, by 3, by a change that comes at the limit and
 * by 1 leaves the cone alone, and does not stand in the way again before a quantum has passed; so there
 * are finitely many in any span. The changes of the cone read nothing outside. For B: a scan that is
 * due for the cone is due for the plant, since all that the cone watches the plant watches; and what it
 * does to the cone depends on the cone alone.
 *
 * <p>The other way round, what is possible in the plant is always possible in the cone (see {@link
 * KeptSystem}).
 */
final class Cone {
  /** Ways to choose what a clock's condition and its changes read, beyond which nothing is claimed. */
  private static final long MOST_CHOICES = 1 << 16;

  private final Reads reads;
  private final Model model;
  private final BitSet constants;
  private final BitSet inside = new BitSet();

  private Cone(Reads reads, Claim claim) {
    this.reads = reads;
    this.model = reads.model();
    this.constants = Untouched.by(model, claim);
  }

  static Kept of(Reads reads, Claim claim) {
    var cone = new Cone(reads, claim);
    BitSet named = reads.of(claim.condition());
    named.or(reads.of(claim.onlyWhile()));
    named.or(reads.of(reads.model().controller().powered()));
    cone.grow(named, claim.monitors());
    return new Kept(cone.inside, true);
  }

  /** The variables, and those that one step may read that changes one of them. */
  static BitSet oneStepBack(Reads reads, Claim claim, BitSet variables) {
    var cone = new Cone(reads, claim);
    var monitors = new Assignments(claim.monitors());
    cone.enter(variables, new ArrayDeque<>());
    variables.stream().forEach(v -> cone.enterReadsOf(v, monitors, new ArrayDeque<>()));
    return cone.inside;
  }

  private void grow(BitSet named, List<Assignment> monitors) {
    var open = new ArrayDeque<Integer>();
    enter(named, open);
    for (Assignment m : monitors) {
      BitSet itself = new BitSet();
      itself.set(m.variable());
      enter(itself, open);
    }
    var ofMonitors = new Assignments(monitors);
    while (!open.isEmpty()) {
      enterReadsOf(open.remove(), ofMonitors, open);
    }
  }

  private void enterReadsOf(int v, Assignments monitors, ArrayDeque<Integer> open) {
    enterReads(reads.program(), v, open);
    enterReads(reads.reactions(), v, open);
    enterReads(reads.start(), v, open);
    enterReads(monitors, v, open);
    for (FieldChange c : reads.changesOf(v)) {
      enterReads(reads.effects(c), v, open);
      enter(reads.of(c.guard()), open);
      FieldChange.Timing t = c.timing();
      if (t != null) {
        enter(reads.ofClock(t.clock()), open);
      }
    }
  }

  private void enterReads(Assignments assignments, int target, ArrayDeque<Integer> open) {
    for (int place : assignments.placesOf(target)) {
      enter(reads.of(assignments.at(place).value()), open);
    }
  }

  private void enter(BitSet variables, ArrayDeque<Integer> open) {
    variables.stream()
        .filter(v -> !inside.get(v) && !constants.get(v))
        .forEach(
            v -> {
              inside.set(v);
              open.add(v);
            });
  }

  /** The third condition above. Sound but not complete: "no" may only mean that it is hard to see. */
  static boolean deadlinesCanBeMet(Reads reads, Claim claim, Kept cone) {
    BitSet constants = Untouched.by(reads.model(), claim);
    for (Clock k : reads.model().clocks()) {
      boolean kept = KeptClocks.keeps(reads, k.id(), cone.variables(), constants);
      if (!kept
          && k.limit() != null
          && !canBeMet(reads, constants, k, k.limit(), false, _ -> Expr.TRUE)) {
        return false;
      }
    }
    return true;
  }

  /**
   * The same of every clock, for a plant whose reactions change nothing when gone through once more
   * ({@link TwiceIsOnce}): so only those matter that read or assign what a change assigns, and those
   * that they see at work.
   *
   * @param together what variables can be together after any step of the plant; asked for where not all
   *     of their values would do
   */
  static boolean allDeadlinesCanBeMet(
      Reads reads, Claim claim, Function<BitSet, Expr> together) {
    BitSet constants = Untouched.by(reads.model(), claim);
    for (Clock k : reads.model().clocks()) {
      if (k.limit() != null
          && !canBeMet(reads, constants, k, k.limit(), true, _ -> Expr.TRUE)
          && !canBeMet(reads, constants, k, k.limit(), true, together)) {
        return false;
      }
    }
    return true;
  }

  private static boolean canBeMet(
      Reads reads,
      BitSet constants,
      Clock clock,
      Bound limit,
      boolean settled,
      Function<BitSet, Expr> together) {
    if (limit.quanta() == 0 || !limit.closed()) {
      return false;
    }
    Model model = reads.model();
    Expr none = Expr.TRUE;
    for (FieldChange c : model.changes()) {
      if (c.cause() != FieldChange.Cause.FAULT && isOpenAt(c.timing(), clock, limit)) {
        none = Expr.all(none, Expr.not(c.guard()));
        if (possible(reads, constants, clock, reads.of(c.guard()), together, step -> step
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
        reads, constants, clock, reads.of(noneAllowed), together, step -> step.guard(noneAllowed));
  }

  private static List<Assignment> reactionsTo(Reads reads, FieldChange change) {
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

  private static boolean isOpenAt(
      FieldChange.@Nullable Timing timing, Clock clock, Bound limit) {
    if (timing == null || timing.clock() != clock.id()) {
      return false;
    }
    Bound first = timing.earliest();
    Bound last = timing.latest();
    long at = limit.quanta();
    return (first.quanta() < at || (first.quanta() == at && first.closed()))
        && (last == null || last.quanta() > at || (last.quanta() == at && last.closed()));
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
      Function<BitSet, Expr> together,
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
            .guard(Expr.all(clock.running(), together.apply(chosen)));
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
