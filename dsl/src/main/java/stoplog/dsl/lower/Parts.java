package stoplog.dsl.lower;

import java.util.ArrayList;
import java.util.List;
import org.jspecify.annotations.Nullable;
import stoplog.model.Assignment;
import stoplog.model.Bound;
import stoplog.model.Claim;
import stoplog.model.Clock;
import stoplog.model.Definition;
import stoplog.model.Expr;
import stoplog.model.FieldChange;
import stoplog.model.FieldChange.Cause;
import stoplog.model.FieldChange.Timing;
import stoplog.model.Indication;
import stoplog.model.Inhibit;
import stoplog.model.Role;
import stoplog.model.Variable;
import stoplog.source.Span;

/** The parts of a model while it is being put together; hands out their indices. */
final class Parts {
  final List<Variable> variables = new ArrayList<>();
  final List<Definition> definitions = new ArrayList<>();
  final List<Clock> clocks = new ArrayList<>();
  final List<FieldChange> changes = new ArrayList<>();
  final List<Assignment> start = new ArrayList<>();
  final List<Assignment> reactions = new ArrayList<>();
  final List<Assignment> program = new ArrayList<>();
  final List<Claim> claims = new ArrayList<>();
  final List<Inhibit> inhibits = new ArrayList<>();
  final List<Indication> indications = new ArrayList<>();
  private final long quantumMicros;

  Parts(long quantumMicros) {
    this.quantumMicros = quantumMicros;
  }

  int variable(
      String name, Role role, List<String> values, long initial, String text, Span origin) {
    int id = variables.size();
    variables.add(new Variable(id, name, role, values, initial, text, origin));
    return id;
  }

  /** A truth value that starts false. */
  int flag(String name, Role role, String no, String yes, String text, Span origin) {
    return variable(name, role, List.of(no, yes), 1, text, origin);
  }

  Expr define(String name, Expr value, String text, Span origin) {
    int id = definitions.size();
    definitions.add(new Definition(id, name, value, text, origin));
    return new Expr.Use(id);
  }

  int clock(String name, Expr running, @Nullable Bound limit, Span origin) {
    return clock(name, running, limit, null, origin);
  }

  /** @param setting the setpoint that gives its time, if one does */
  int clock(
      String name, Expr running, @Nullable Bound limit, @Nullable String setting, Span origin) {
    int id = clocks.size();
    clocks.add(new Clock(id, name, running, limit, setting, origin));
    return id;
  }

  void change(
      String text,
      Cause cause,
      Expr guard,
      @Nullable Timing timing,
      List<Assignment> effects,
      Span at) {
    changes.add(new FieldChange(changes.size(), text, cause, guard, timing, effects, at));
  }

  static Assignment set(int variable, int value, Span origin) {
    return new Assignment(variable, new Expr.Constant(value), origin);
  }

  /** The first so many values as bits. */
  static long values(int count) {
    return count == 64 ? -1L : (1L << count) - 1;
  }

  /** A number of microseconds as quanta; always whole, by the choice of the quantum. */
  long quanta(long micros) {
    if (micros % quantumMicros != 0) {
      throw new IllegalStateException(micros + " us are no whole number of quanta");
    }
    return micros / quantumMicros;
  }

  Bound bound(long micros) {
    return Bound.at(quanta(micros));
  }

  /** One quantum in microseconds. */
  long quantumMicros() {
    return quantumMicros;
  }
}
