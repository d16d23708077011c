package stoplog.dsl.lower;

import java.util.EnumMap;
import java.util.List;
import java.util.Map;
import stoplog.dsl.kinds.Kind;
import stoplog.dsl.kinds.Kind.Answer;
import stoplog.dsl.kinds.Kind.Motion;
import stoplog.dsl.kinds.Kind.Wanted;
import stoplog.dsl.resolve.Symbol;
import stoplog.dsl.resolve.TimeWindow;
import stoplog.dsl.tree.Word;
import stoplog.model.Assignment;
import stoplog.model.Expr;
import stoplog.model.FieldChange.Cause;
import stoplog.model.FieldChange.Timing;
import stoplog.model.Indication;
import stoplog.model.Role;
import stoplog.source.Span;

/**
 * Equipment of any kind, from the kind's table: a position, a command, the reaction of the one to
 * the other, and the motions that end by themselves.
 */
final class EquipmentLowering {
  private final Parts parts;
  private final Meanings meanings;
  private final Expr powered;
  private final boolean mayFail;

  EquipmentLowering(Parts parts, Meanings meanings, Expr powered) {
    this.parts = parts;
    this.meanings = meanings;
    this.powered = powered;
    this.mayFail = !powered.equals(Expr.TRUE);
  }

  void lower(Symbol.Equipment e) {
    Kind kind = e.kind();
    Kind.Fail fail = e.fail() == null ? kind.fails().getFirst() : e.fail();
    String tag = e.name().text();
    Span origin = e.span();
    long starts = e.byHand() ? rests(e) : fail.start();
    long reached = reached(e, fail, starts);
    int size = 64 - Long.numberOfLeadingZeros(reached);
    int position =
        parts.variable(
            tag, Role.EQUIPMENT, kind.positions().subList(0, size), starts, e.text(), origin);
    Role role = e.byHand() ? Role.PANEL : Role.COMMAND;
    int command =
        parts.variable(tag + ".command", role, kind.commands(), 1, "command of " + tag, origin);
    meanings.position(e, position, (1L << size) - 1);
    meanings.command(e, command);
    reaction(e, fail, position, command, reached);
    if (e.byHand()) {
      hand(e, position, command);
    }
    motions(e, position, size);
    feedbacks(e, position, size);
    if (!e.byHand()) {
      Expr on = Expr.is(command, 1);
      for (long truth : kind.commandStandsFor()) {
        Expr fact = in(position, truth, size);
        parts.indications.add(new Indication(on, fact, "the command of " + tag, position));
      }
    }
  }

  /** The position at which an answer ends: a motion without a stated window takes no time. */
  private static int settle(Symbol.Equipment e, int to) {
    Motion motion = e.kind().motion(to);
    return motion == null || e.windows().containsKey(motion.window())
        ? to
        : settle(e, motion.end());
  }

  /** Where it can stand still: under one of its two commands nothing moves it. */
  private static long rests(Symbol.Equipment e) {
    long rests = 0;
    for (int p = 0; p < e.kind().positions().size(); p++) {
      boolean still =
          e.kind().motion(p) == null
              && (answer(e, Wanted.ON, p) == p || answer(e, Wanted.OFF, p) == p);
      rests |= still ? 1L << p : 0;
    }
    return rests;
  }

  private static int answer(Symbol.Equipment e, Wanted wanted, int from) {
    for (Answer a : e.kind().answers()) {
      if (a.wanted() == wanted && (a.from() >>> from & 1) != 0) {
        return settle(e, a.to());
      }
    }
    return from;
  }

  /** The positions it can ever take. */
  private long reached(Symbol.Equipment e, Kind.Fail fail, long starts) {
    long reached = starts;
    long before;
    do {
      before = reached;
      for (int p = 0; p < e.kind().positions().size(); p++) {
        if ((before >>> p & 1) == 0) {
          continue;
        }
        reached |= 1L << answer(e, Wanted.ON, p) | 1L << answer(e, Wanted.OFF, p);
        if (mayFail && !e.byHand() && fail.unpowered() == Wanted.STAY) {
          reached |= 1L << answer(e, Wanted.STAY, p);
        }
        Motion motion = e.kind().motion(p);
        reached |= motion == null ? 0 : 1L << motion.end();
      }
    } while (reached != before);
    return reached;
  }

  private void reaction(
      Symbol.Equipment e, Kind.Fail fail, int position, int command, long reached) {
    Map<Wanted, Expr> next = new EnumMap<>(Wanted.class);
    for (Wanted w : Wanted.values()) {
      next.put(w, next(e, w, position, reached));
    }
    Expr commanded = Expr.is(command, 1);
    Expr value = new Expr.Choose(commanded, of(next, Wanted.ON), of(next, Wanted.OFF));
    // Without power a command is off already; only what goes elsewhere then needs a case of its
    // own.
    if (mayFail && !e.byHand() && fail.unpowered() != Wanted.OFF) {
      value = new Expr.Choose(powered, value, of(next, fail.unpowered()));
    }
    parts.reactions.add(new Assignment(position, value, e.span()));
  }

  private static Expr of(Map<Wanted, Expr> next, Wanted wanted) {
    return java.util.Objects.requireNonNull(next.get(wanted));
  }

  /** The next position when this is wanted, as an expression over the present one. */
  private static Expr next(Symbol.Equipment e, Wanted wanted, int position, long reached) {
    Expr now = new Expr.Read(position);
    Expr value = now;
    List<Answer> answers = e.kind().answers();
    for (int i = answers.size() - 1; i >= 0; i--) {
      Answer a = answers.get(i);
      if (a.wanted() == wanted && (a.from() & reached) != 0) {
        Expr to = new Expr.Constant(settle(e, a.to()));
        value = new Expr.Choose(new Expr.In(now, a.from() & reached), to, value);
      }
    }
    return value;
  }

  private void hand(Symbol.Equipment e, int position, int command) {
    long on = 0;
    for (int p = 0; p < e.kind().positions().size(); p++) {
      on |= answer(e, Wanted.ON, p) == p && e.kind().motion(p) == null ? 1L << p : 0;
    }
    parts.start.add(new Assignment(command, new Expr.In(new Expr.Read(position), on), e.span()));
    for (int value = 0; value < e.kind().commands().size(); value++) {
      parts.change(
          e.name() + " set " + e.kind().commands().get(value) + " by hand",
          Cause.OPERATOR,
          Expr.not(Expr.is(command, value)),
          null,
          List.of(Parts.set(command, value, e.span())),
          e.span());
    }
  }

  private void motions(Symbol.Equipment e, int position, int size) {
    for (Motion m : e.kind().motions()) {
      TimeWindow window = e.windows().get(m.window());
      if (window == null || m.during() >= size) {
        continue;
      }
      Expr moving = Expr.is(position, m.during());
      String again = m.fresh() ? "" : " again";
      String name = e.name() + " " + e.kind().positions().get(m.during()) + again;
      int clock = parts.clock(name, moving, parts.bound(window.highMicros()), window.span());
      long earliest = m.fresh() ? window.lowMicros() : 0;
      parts.change(
          e.name() + " " + m.text(),
          Cause.EQUIPMENT,
          moving,
          new Timing(clock, parts.bound(earliest), parts.bound(window.highMicros())),
          List.of(Parts.set(position, m.end(), window.span())),
          window.span());
    }
  }

  private void feedbacks(Symbol.Equipment e, int position, int size) {
    for (Map.Entry<String, Word> f : e.feedbacks().entrySet()) {
      long proves = java.util.Objects.requireNonNull(e.kind().predicates().get(f.getKey()));
      String tag = f.getValue().text();
      Expr shown = in(position, proves, size);
      Expr meaning =
          parts.define(tag, shown, e.name() + " proven " + f.getKey(), f.getValue().span());
      meanings.truth(tag, meaning);
      for (long truth : e.kind().commandStandsFor()) {
        // Worth naming where the feedback can be silent while what it is taken for is so.
        if ((proves & ~truth) == 0 && proves != truth) {
          parts.indications.add(new Indication(meaning, in(position, truth, size), tag, position));
        }
      }
    }
  }

  private static Expr in(int position, long positions, int size) {
    return Meanings.in(position, positions & ((1L << size) - 1));
  }
}
