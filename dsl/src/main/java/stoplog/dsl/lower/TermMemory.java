package stoplog.dsl.lower;

import java.util.HashMap;
import java.util.List;
import java.util.Map;
import stoplog.dsl.resolve.Term;
import stoplog.model.Assignment;
import stoplog.model.Expr;
import stoplog.model.FieldChange.Cause;
import stoplog.model.FieldChange.Timing;
import stoplog.model.Role;

/**
 * What terms of the logic remember from scan to scan: timers and edges. Each has one variable,
 * assigned at its place in the program, and its answer is read from that variable.
 *
 * <p>Timers are those of IEC 61131-3 (standard function blocks TON, TOF, TP), whose elapsing a scan
 * sees as it sees any change of the field. Where the input turns in the very instant in which a
 * timer elapses, either may be seen first.
 */
final class TermMemory {
  private final Parts parts;
  private final Meanings meanings;
  private final Map<String, Integer> timersOf = new HashMap<>();
  private final Map<String, Integer> edgesOf = new HashMap<>();

  TermMemory(Parts parts, Meanings meanings) {
    this.parts = parts;
    this.meanings = meanings;
  }

  /**
   * The meaning of a term; what it remembers is added to the program first, innermost first.
   *
   * @param owner the name or tag of the statement, by which a trace calls its timers
   */
  Expr of(Term term, String owner) {
    return meanings.of(
        term,
        r ->
            switch (r) {
              case Term.Timed t -> timer(t, owner);
              case Term.Edge e -> edge(e, owner);
            });
  }

  private Expr timer(Term.Timed t, String owner) {
    Expr input = of(t.operand(), owner);
    String name = owner + ".timer" + timersOf.merge(owner, 1, Integer::sum);
    return switch (t.form()) {
      case ON_DELAY -> onDelay(t, name, owner, input);
      case OFF_DELAY -> offDelay(t, name, owner, input);
      case PULSE -> pulse(t, name, owner, input);
    };
  }

  /** Idle, then timing, then elapsed for as long as the input holds. */
  private Expr onDelay(Term.Timed t, String name, String owner, Expr input) {
    int timer = variable(t, name, Role.TIMER, "idle", "timing", "elapsed");
    Expr begins = choose(noTime(t, name, owner), constant(2), constant(1));
    Expr begun = choose(Expr.is(timer, 0), begins, new Expr.Read(timer));
    assign(t, timer, choose(input, begun, constant(0)));
    elapsing(t, name, owner, Expr.is(timer, 1), timer, constant(2));
    return Expr.is(timer, 2);
  }

  /** Off, on while the input holds, then holding until the time is up. */
  private Expr offDelay(Term.Timed t, String name, String owner, Expr input) {
    int timer = variable(t, name, Role.TIMER, "off", "on", "holding");
    Expr holds = choose(noTime(t, name, owner), constant(0), constant(2));
    Expr ended = choose(Expr.is(timer, 1), holds, new Expr.Read(timer));
    assign(t, timer, choose(input, constant(1), ended));
    elapsing(t, name, owner, Expr.is(timer, 2), timer, constant(0));
    return new Expr.In(new Expr.Read(timer), 0b110);
  }

  /**
   * Ready, then the pulse, which remembers whether the last scan saw the input; at its end either
   * ready again or spent until the input ends. So a rise during the pulse starts nothing, and one
   * after it always does.
   */
  private Expr pulse(Term.Timed t, String name, String owner, Expr input) {
    int timer =
        variable(t, name, Role.TIMER, "ready", "pulse", "spent", "pulse, input ended");
    Expr running = new Expr.In(new Expr.Read(timer), 0b1010);
    Expr spent = Expr.is(timer, 2);
    assign(
        t,
        timer,
        choose(
            input,
            choose(spent, constant(2), rise(t, name, owner, timer)),
            choose(running, constant(3), constant(0))));
    Expr next = choose(Expr.is(timer, 1), constant(2), constant(0));
    elapsing(t, name, owner, running, timer, next);
    return running;
  }

  private Expr rise(Term.Timed t, String name, String owner, int timer) {
    Expr none = Expr.all(noTime(t, name, owner), Expr.is(timer, 0));
    return choose(none, constant(2), constant(1));
  }

  /**
   * Whether the time is set to nothing, as an operator may where the window of a setpoint begins
   * there: the timer is over in the scan that starts it then, which no later scan may make up for.
   */
  private Expr noTime(Term.Timed t, String name, String owner) {
    if (t.window().lowMicros() > 0) {
      return Expr.FALSE;
    }
    String text = "time of " + owner + " (" + AsWritten.oneLine(t.span()) + ")";
    int none =
        parts.variable(name + ".none", Role.PANEL, List.of("some", "none"), 3, text, t.span());
    for (int value = 0; value < 2; value++) {
      parts.change(
          text + " set to " + (value == 1 ? "nothing" : "something"),
          Cause.OPERATOR,
          Expr.is(none, 1 - value),
          null,
          List.of(Parts.set(none, value, t.span())),
          t.span());
    }
    return Expr.is(none, 1);
  }

  /**
   * What the input was when the last scan came here, or that it has changed just now, which the
   * next scan takes back. Before the first scan, and after a power failure, the input counts as
   * having been false.
   */
  private Expr edge(Term.Edge e, String owner) {
    Expr input = of(e.operand(), owner);
    String name = owner + ".edge" + edgesOf.merge(owner, 1, Integer::sum);
    int edge = variable(e, name, Role.MEMORY, "was off", "was on", e.rising() ? "rose" : "fell");
    Expr value =
        e.rising()
            ? choose(input, choose(Expr.is(edge, 0), constant(2), constant(1)), constant(0))
            : choose(input, constant(1), choose(Expr.is(edge, 1), constant(2), constant(0)));
    assign(e, edge, value);
    return Expr.is(edge, 2);
  }

  private int variable(Term.Remembering t, String name, Role role, String... values) {
    return parts.variable(name, role, List.of(values), 1, AsWritten.oneLine(t.span()), t.span());
  }

  private void assign(Term.Remembering t, int variable, Expr value) {
    parts.program.add(new Assignment(variable, value, t.span()));
  }

  private void elapsing(
      Term.Timed t, String name, String owner, Expr running, int timer, Expr next) {
    var latest = parts.bound(t.window().highMicros());
    int clock = parts.clock(name, running, latest, t.window().setting(), t.span());
    parts.change(
        "timer of " + owner + " elapsed (" + AsWritten.oneLine(t.span()) + ")",
        Cause.TIMER,
        running,
        new Timing(clock, parts.bound(t.window().lowMicros()), latest),
        List.of(new Assignment(timer, next, t.span())),
        t.span());
  }

  private static Expr constant(int value) {
    return new Expr.Constant(value);
  }

  private static Expr choose(Expr condition, Expr then, Expr otherwise) {
    return condition.equals(Expr.FALSE) ? otherwise : new Expr.Choose(condition, then, otherwise);
  }
}
