package stoplog.dsl.lower;

import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import org.jspecify.annotations.Nullable;
import stoplog.dsl.kinds.Kind;
import stoplog.dsl.kinds.Kind.Answer;
import stoplog.dsl.kinds.Kind.Behaviour;
import stoplog.dsl.kinds.Kind.Mode;
import stoplog.dsl.kinds.Kind.Test;
import stoplog.dsl.kinds.Moves;
import stoplog.dsl.kinds.Moves.Setting;
import stoplog.model.Expr;

/**
 * How one piece of equipment answers at once to its commands, its drives, the power and its faults,
 * as an expression for its next position over the present one.
 *
 * <p>What decides, first that applies: a fault; a lack of power; the modes of its kind. A fault that
 * acts as a command needs power to act: without power it is as any other so commanded, or stopped.
 * One that stops it or acts as a drive needs none.
 */
final class EquipmentReaction {
  private final Kind kind;
  private final Moves moves;
  private final int position;
  private final List<Integer> commands;
  private final long reached;
  private final Map<Integer, Expr> drives = new HashMap<>();

  /**
   * @param position the variable of its position
   * @param commands the variables of its commands
   * @param reached the positions it can take
   */
  EquipmentReaction(Kind kind, Moves moves, int position, List<Integer> commands, long reached) {
    this.kind = kind;
    this.moves = moves;
    this.position = position;
    this.commands = List.copyOf(commands);
    this.reached = reached;
  }

  void drive(int drive, Expr when) {
    drives.put(drive, when);
  }

  /**
   * The next position.
   *
   * @param powered whether there is power; {@code null} if it does not depend on it
   * @param unpowered what it does without power; {@code null} for only losing its commands
   * @param fault the variable of its fault; -1 for none
   */
  Expr next(@Nullable Expr powered, @Nullable Behaviour unpowered, int fault) {
    boolean ownWay = powered != null && unpowered != null && !isWithoutCommand(unpowered);
    Expr without = ownWay && unpowered != null ? as(unpowered) : modes(moves.settings(null));
    Expr sound = modes(moves.settings(null));
    Expr value = ownWay && powered != null ? new Expr.Choose(powered, sound, without) : sound;
    for (int f = kind.faults().size() - 1; f >= 0 && fault >= 0; f--) {
      Behaviour behaviour = kind.faults().get(f).behaviour();
      Expr faulty = as(behaviour);
      if (powered != null && behaviour.as() instanceof Kind.Commanded) {
        faulty = new Expr.Choose(powered, faulty, without);
      }
      value = new Expr.Choose(Expr.is(fault, f + 1), faulty, value);
    }
    return value;
  }

  /** Without power every command is at 0 already. */
  private static boolean isWithoutCommand(Behaviour b) {
    return b.as() instanceof Kind.Commanded c && c.value() == 0 && !c.negated();
  }

  private Expr as(Behaviour behaviour) {
    return behaviour.as() == null ? next(kind.stays()) : modes(moves.settings(behaviour.as()));
  }

  /** The next position in whichever of these settings there is. */
  private Expr modes(List<Setting> settings) {
    List<Setting> left = settings;
    var chosen = new ArrayList<Choice>();
    Expr last = new Expr.Read(position);
    for (Mode m : kind.modes()) {
      List<Setting> here = left.stream().filter(s -> s.keepsTo(m)).toList();
      if (here.isEmpty()) {
        continue;
      }
      if (here.size() == left.size()) {
        last = next(m.answers());
        break;
      }
      var tests = new ArrayList<Expr>();
      for (Test t : m.tests()) {
        boolean always = left.stream().allMatch(s -> s.keepsTo(t));
        if (!always) {
          tests.add(test(t));
        }
      }
      chosen.add(new Choice(Expr.all(tests), next(m.answers())));
      left = left.stream().filter(s -> !s.keepsTo(m)).toList();
    }
    Expr value = last;
    for (Choice c : chosen.reversed()) {
      value = new Expr.Choose(c.when(), c.then(), value);
    }
    return value;
  }

  private record Choice(Expr when, Expr then) {}

  private Expr test(Test test) {
    Expr holds =
        switch (test) {
          case Kind.Commanded c ->
              Expr.all(
                  c.commands().stream()
                      .map(i -> Expr.is(commands.get(i), c.value()))
                      .toList());
          case Kind.Driven d -> java.util.Objects.requireNonNull(drives.get(d.drive()));
        };
    return test.negated() ? Expr.not(holds) : holds;
  }

  /** The next position while these answers apply. */
  private Expr next(List<Answer> answers) {
    Expr now = new Expr.Read(position);
    Expr value = now;
    for (Answer a : answers.reversed()) {
      // Positions of one answer may end apart: where it goes to is answered again in turn.
      Map<Integer, Long> ends = new java.util.LinkedHashMap<>();
      for (int p = 0; p < kind.positions().size(); p++) {
        if ((a.from() & reached & 1L << p) != 0) {
          ends.merge(moves.next(answers, p), 1L << p, (x, y) -> x | y);
        }
      }
      for (Map.Entry<Integer, Long> e : ends.entrySet()) {
        Expr to = new Expr.Constant(e.getKey());
        value = new Expr.Choose(new Expr.In(now, e.getValue()), to, value);
      }
    }
    return value;
  }
}
