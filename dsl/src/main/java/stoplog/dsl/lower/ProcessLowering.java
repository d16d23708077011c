package stoplog.dsl.lower;

import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import org.jspecify.annotations.Nullable;
import stoplog.dsl.resolve.ResolvedPlant.Cause;
import stoplog.dsl.resolve.ResolvedPlant.Caused;
import stoplog.dsl.resolve.ResolvedPlant.Counting;
import stoplog.dsl.resolve.Symbol;
import stoplog.dsl.resolve.TimeWindow;
import stoplog.model.Assignment;
import stoplog.model.Bound;
import stoplog.model.Expr;
import stoplog.model.FieldChange;
import stoplog.model.FieldChange.Timing;
import stoplog.model.Role;
import stoplog.source.Span;

/**
 * Conditions that start and end for stated reasons, and counts that go one step at a time.
 *
 * <p>Each reason gives one change. What must happen waits on a clock that runs while the reason
 * holds and the change is still to come, so at its limit the change is there to be made; a reason
 * that stops holding stops its clock, and where it holds again the time begins anew. A count at its
 * end makes no further step, and no clock waits for one.
 */
final class ProcessLowering {
  /** The values 0, 2, 4 and so on. */
  private static final long EVEN = 0x5555_5555_5555_5555L;

  private final Parts parts;
  private final Meanings meanings;
  private final Map<String, Integer> variables = new HashMap<>();

  ProcessLowering(Parts parts, Meanings meanings) {
    this.parts = parts;
    this.meanings = meanings;
  }

  /** The variable of a condition; before anything that reads it is lowered. */
  void declare(Caused c) {
    Symbol.Condition s = c.condition();
    String name = s.name().text();
    int id =
        parts.variable(
            name, Role.PROCESS, List.of("no", "yes"), c.initially(), s.text(), s.name().span());
    variables.put(name, id);
    meanings.truth(s, Expr.is(id, 1));
  }

  /** The variable of a count; before anything that reads it is lowered. */
  void declare(Counting c) {
    Symbol.Count s = c.count();
    String name = s.name().text();
    var values = new ArrayList<String>();
    for (int v = s.low(); v <= s.high(); v++) {
      values.add(Integer.toString(v));
    }
    int id =
        parts.variable(name, Role.PROCESS, values, c.initially(), s.text(), s.name().span());
    variables.put(name, id);
    meanings.count(s, id);
  }

  /** Its causes; after everything they depend on. */
  void lower(Caused c) {
    String name = c.condition().name().text();
    int id = Objects.requireNonNull(variables.get(name));
    int number = 0;
    for (Cause cause : c.causes()) {
      int now = cause.up() ? 0 : 1;
      Expr guard = Expr.all(Expr.is(id, now), when(name, ++number, cause));
      TimeWindow within = cause.within();
      String text = name + (cause.up() ? " starts" : " ends");
      Timing timing =
          within == null ? null : timing(name + " cause " + number, guard, within);
      change(text, guard, timing, Parts.set(id, 1 - now, cause.span()), cause.span());
    }
  }

  /**
   * Its causes; after everything they depend on. The time of a step that must come begins anew with
   * every step of the count: two clocks take turns, for even and for odd numbers, since a step
   * always goes from one to the other.
   */
  void lower(Counting c) {
    String name = c.count().name().text();
    int id = Objects.requireNonNull(variables.get(name));
    int size = c.count().high() - c.count().low() + 1;
    int number = 0;
    for (Cause cause : c.causes()) {
      Expr when = when(name, ++number, cause);
      long possible =
          (-1L >>> (64 - size)) & ~(cause.up() ? 1L << (size - 1) : 1L);
      String text = name + (cause.up() ? " rises by one" : " falls by one");
      var step =
          new Assignment(
              id, new Expr.Shift(new Expr.Read(id), cause.up() ? 1 : -1), cause.span());
      TimeWindow within = cause.within();
      if (within == null) {
        change(text, Expr.all(Meanings.in(id, possible), when), null, step, cause.span());
        continue;
      }
      for (int odd = 0; odd < 2; odd++) {
        long turn = possible & (odd == 0 ? EVEN : ~EVEN);
        if (turn != 0) {
          Expr guard = Expr.all(Meanings.in(id, turn), when);
          String clock = name + " cause " + number + (odd == 0 ? ", even" : ", odd");
          change(text, guard, timing(clock, guard, within), step, cause.span());
        }
      }
    }
  }

  private void change(
      String text,
      Expr guard,
      @Nullable Timing timing,
      Assignment effect,
      Span at) {
    if (!guard.equals(Expr.FALSE)) {
      parts.change(text, FieldChange.Cause.PROCESS, guard, timing, List.of(effect), at);
    }
  }

  private Timing timing(String clock, Expr running, TimeWindow within) {
    Bound latest = parts.bound(within.highMicros());
    int id = parts.clock(clock, running, latest, within.span());
    return new Timing(id, parts.bound(within.lowMicros()), latest);
  }

  /** A reason is read by its guard and its clock; a composed one gets a name. */
  private Expr when(String name, int number, Cause cause) {
    Expr when = meanings.of(cause.when());
    return switch (when) {
      case Expr.Use u -> u;
      case Expr.In i -> i;
      case Expr.Constant c -> c;
      default ->
          parts.define(
              name + ".cause" + number, when, "what moves " + name, cause.when().span());
    };
  }
}
