package stoplog.dsl.resolve;

import java.util.List;
import org.jspecify.annotations.Nullable;
import stoplog.diag.Code;
import stoplog.diag.Diagnostic;
import stoplog.dsl.tree.Expression;
import stoplog.dsl.tree.TimerForm;
import stoplog.dsl.tree.Word;

/** Keeps delays and edges to where something is timed and compared: the logic. */
final class TimeTerms {
  private final TermResolver terms;
  private final Scope scope;
  private final Quantities quantities;
  private final List<Diagnostic> diagnostics;

  TimeTerms(TermResolver terms, Scope scope, Quantities quantities, List<Diagnostic> diagnostics) {
    this.terms = terms;
    this.scope = scope;
    this.quantities = quantities;
    this.diagnostics = diagnostics;
  }

  Term edge(Expression.Edge e, View view) {
    Term operand = terms.resolve(e.operand(), view);
    if (operand instanceof Term.Broken || view == View.LOGIC) {
      return new Term.Edge(operand, e.rising(), e.span());
    }
    String verb = e.rising() ? "rises" : "falls";
    diagnostics.add(
        Diagnostic.of(
                Code.EDGE_OUTSIDE_LOGIC,
                e.span(),
                "`" + verb + "` says something in the logic only")
            .withWhy("it compares one scan with the one before, and only logic has scans")
            .withFix("`signal x = " + e.operand().span().text() + " " + verb + "` in the logic"));
    return new Term.Broken(e.span());
  }

  /** {@code a or b for 5 s} without parentheses is easily read as {@code a or (b for 5 s)}. */
  void noteBothSides(Expression.Timed l) {
    boolean bare =
        l.operand() instanceof Expression.Or or && or.span().start() == l.span().start();
    if (bare) {
      String last = l.form() == TimerForm.OFF_DELAY ? "held on for" : "for";
      diagnostics.add(
          Diagnostic.of(
                  Code.BOTH_SIDES, l.delay().span(), "this time is for both sides of the `or`")
              .withRelated(l.operand().span(), "all of this")
              .withWhy("what stands before `" + last + "` is the whole condition left of it")
              .withFix(
                  "`(.. or ..) " + last + " ..` if so meant, `.. or (.. " + last + " ..)` if not"));
    }
  }

  Term timed(Expression.Timed l, View view) {
    Term operand = terms.resolve(l.operand(), view);
    if (view == View.LOGIC) {
      noteBothSides(l);
      TimeWindow window = delay(l.delay());
      return window == null
          ? new Term.Broken(l.span())
          : new Term.Timed(l.form(), operand, window, l.span());
    }
    if (l.form() != TimerForm.ON_DELAY) {
      diagnostics.add(
          Diagnostic.of(Code.DURATION_OUTSIDE_LOGIC, l.delay().span(), "nothing is timed here")
              .withWhy("only logic has timers")
              .withFix("`signal x = " + l.span().text() + "` in the logic"));
      return new Term.Broken(l.span());
    }
    diagnostics.add(
        switch (view) {
          case CLAIM ->
              Diagnostic.of(
                      Code.INNER_DURATION, l.delay().span(), "a claim has one duration, at its end")
                  .withRelated(l.span(), "must hold that long by itself")
                  .withFix(
                      "put `for` behind the whole condition, or name the part in the logic:"
                          + " `signal x = ... for ...`");
          case PROMISE ->
              Diagnostic.of(
                      Code.INNER_DURATION,
                      l.delay().span(),
                      "the conditions of this claim have no duration")
                  .withRelated(l.span(), "holds or does not, from moment to moment")
                  .withFix(
                      "a hazard of its own for what may last so long: `hazard H-1 : A and B for "
                          + l.delay().span().text()
                          + "`; or, of what the logic sees, `signal x = ... for ...` there");
          case PROCESS, LOGIC ->
              Diagnostic.of(
                      Code.DURATION_OUTSIDE_LOGIC, l.delay().span(), "nothing is timed here")
                  .withWhy("only logic has timers, and only claims have durations")
                  .withFix(
                      "a window says how late it comes: `must start within 2..3 s when ...` of a"
                          + " condition, `follows ... within 2..3 s` of a switch");
        });
    return new Term.Broken(l.span());
  }

  @Nullable TimeWindow delay(Expression.Delay d) {
    if (d.time() != null) {
      Long micros = quantities.time(d.time(), "delay");
      return micros == null ? null : new TimeWindow(micros, micros, d.span());
    }
    Word name = java.util.Objects.requireNonNull(d.setpoint());
    return switch (scope.find(name)) {
      case null -> null;
      case Symbol.Setpoint s when !s.unit().measures(Unit.TIME) -> {
        diagnostics.add(
            Diagnostic.of(Code.WRONG_UNIT, name.span(), "`" + name + "` is no time")
                .withLabel("is in " + s.unit())
                .withRelated(s.name().span(), "declared here")
                .withWhy(
                    "this is a delay, and `" + s.unit() + "` measures " + s.unit().dimension()));
        yield null;
      }
      case Symbol.Setpoint s when s.high().signum() > 0 ->
          new TimeWindow(
              s.low().floor().longValueExact(),
              s.high().ceiling().longValueExact(),
              s.name().text(),
              s.window());
      case Symbol.Setpoint s -> {
        diagnostics.add(
            Diagnostic.of(Code.NO_TIME, name.span(), "this delay must be longer than nothing")
                .withRelated(s.window(), "never more than this"));
        yield null;
      }
      case Symbol other -> {
        terms.wrongUse(name.span(), other, "a delay is a time or a setpoint", "");
        yield null;
      }
    };
  }
}
