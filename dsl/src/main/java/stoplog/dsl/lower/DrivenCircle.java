package stoplog.dsl.lower;

import java.util.ArrayList;
import java.util.BitSet;
import java.util.List;
import stoplog.model.Assignment;
import stoplog.model.Clock;
import stoplog.model.Expr;
import stoplog.model.FieldChange;
import stoplog.model.FieldChange.Cause;
import stoplog.model.FieldChange.Timing;
import stoplog.model.Role;
import stoplog.model.Variable;

/**
 * Equipment whose own position is among what moves it: a relief valve that takes the pressure off
 * itself, two of them beside each other.
 *
 * <p>It answers several times in one step. Two things follow.
 * <ul>
 *   <li>It may come back within the step to where it was: a relief valve that has shut lifts at once,
 *       and begins to shut again. Its motion begins anew then, which its position alone does not tell
 *       a clock. So each motion has two clocks that take turns; {@code TAG.turn} says which.
 *   <li>Where several answer one thing, what one does may spare the other. Nobody knows which is the
 *       first: any of them may be late, at any time, and then moves only after the others; those that
 *       are not late move together. {@code TAG.late} says so.
 * </ul>
 */
final class DrivenCircle {
  private final Parts parts;

  DrivenCircle(Parts parts) {
    this.parts = parts;
  }

  /**
   * How all of a circle move in one step.
   *
   * @param moves for each its next position
   */
  List<Assignment> moved(List<Assignment> moves, int rounds) {
    boolean timed = true;
    for (Assignment m : moves) {
      timed &= takeTurns(m.variable());
    }
    var moved = new ArrayList<Assignment>();
    if (moves.size() > 1 || !timed) {
      moved.addAll(together(moves));
    }
    for (int r = 0; r < rounds; r++) {
      moved.addAll(moves);
    }
    return moved;
  }

  /** All that are not late move by where all of them stood. */
  private List<Assignment> together(List<Assignment> moves) {
    var next = new ArrayList<Assignment>();
    var go = new ArrayList<Assignment>();
    var clear = new ArrayList<Assignment>();
    for (Assignment m : moves) {
      Variable position = parts.variables.get(m.variable());
      String tag = position.name();
      int late =
          parts.variable(
              tag + ".late",
              Role.PROCESS,
              List.of("no", "yes"),
              3,
              "whether " + tag + " answers after the others",
              m.origin());
      for (int value = 0; value < 2; value++) {
        parts.change(
            tag + (value == 1 ? " will answer late" : " will answer at once"),
            Cause.PROCESS,
            Expr.is(late, 1 - value),
            null,
            List.of(Parts.set(late, value, m.origin())),
            m.origin());
      }
      int beside =
          parts.variable(
              tag + ".next", Role.EQUIPMENT, position.values(), 1, "", m.origin());
      Expr moving =
          new Expr.Choose(Expr.is(late, 1), new Expr.Read(m.variable()), m.value());
      next.add(new Assignment(beside, moving, m.origin()));
      go.add(new Assignment(m.variable(), new Expr.Read(beside), m.origin()));
      clear.add(Parts.set(beside, 0, m.origin()));
    }
    next.addAll(go);
    next.addAll(clear);
    return next;
  }

  /**
   * Doubles the clock of each motion of this position.
   *
   * @return whether it has any
   */
  private boolean takeTurns(int position) {
    Variable of = parts.variables.get(position);
    int turn = -1;
    int known = parts.changes.size();
    var doubled = new BitSet();
    for (int c = 0; c < known; c++) {
      FieldChange change = parts.changes.get(c);
      Timing timing = change.timing();
      if (timing == null
          || change.cause() != Cause.EQUIPMENT
          || change.effects().stream().noneMatch(a -> a.variable() == position)) {
        continue;
      }
      if (turn < 0) {
        turn =
            parts.variable(
                of.name() + ".turn",
                Role.EQUIPMENT,
                List.of("one", "other"),
                1,
                "which clock times the motion of " + of.name(),
                of.origin());
      }
      Clock clock = parts.clocks.get(timing.clock());
      if (!doubled.get(clock.id())) {
        doubled.set(clock.id());
        parts.clocks.set(
            clock.id(),
            new Clock(
                clock.id(),
                clock.name(),
                Expr.all(clock.running(), Expr.is(turn, 0)),
                clock.limit(),
                clock.setting(),
                clock.origin()));
      }
      int other =
          parts.clock(
              clock.name() + ", other turn",
              Expr.all(change.guard(), Expr.is(turn, 1)),
              clock.limit(),
              clock.origin());
      parts.changes.set(c, turned(change, c, timing, turn, 0));
      parts.changes.add(
          turned(
              change,
              parts.changes.size(),
              new Timing(other, timing.earliest(), timing.latest()),
              turn,
              1));
    }
    return turn >= 0;
  }

  private static FieldChange turned(
      FieldChange change, int id, Timing timing, int turn, int present) {
    var effects = new ArrayList<>(change.effects());
    effects.add(Parts.set(turn, 1 - present, change.origin()));
    return new FieldChange(
        id,
        change.text(),
        change.cause(),
        Expr.all(change.guard(), Expr.is(turn, present)),
        timing,
        effects,
        change.origin());
  }
}
