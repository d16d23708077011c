package stoplog.checker.abstraction;

import java.util.ArrayDeque;
import java.util.BitSet;
import java.util.List;
import stoplog.model.Assignment;
import stoplog.model.Claim;
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
 *   <li>{@link TimeGoesOn#canBeMetOutside}: a clock outside the cone that has a limit has one of a quantum or
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
}
