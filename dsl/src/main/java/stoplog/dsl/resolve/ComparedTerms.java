package stoplog.dsl.resolve;

import java.util.List;
import stoplog.diag.Code;
import stoplog.diag.Diagnostic;
import stoplog.dsl.tree.Expression.Compared;
import stoplog.dsl.tree.Quantity;
import stoplog.dsl.tree.Word;

/** Looks up comparisons of a value with a number or a setpoint. */
final class ComparedTerms {
  private final TermResolver terms;
  private final Scope scope;
  private final Quantities quantities;
  private final List<Diagnostic> diagnostics;

  ComparedTerms(
      TermResolver terms, Scope scope, Quantities quantities, List<Diagnostic> diagnostics) {
    this.terms = terms;
    this.scope = scope;
    this.quantities = quantities;
    this.diagnostics = diagnostics;
  }

  Term compared(Compared c, View view) {
    Symbol symbol = scope.find(c.subject());
    if (symbol == null) {
      return new Term.Broken(c.span());
    }
    if (symbol instanceof Symbol.Kept k) {
      return terms.kept().compared(k, c, view);
    }
    Unit unit =
        switch (symbol) {
          case Symbol.Level l -> l.unit();
          case Symbol.Analyser a -> a.unit();
          case Symbol.Transmitter t -> t.unit();
          default -> null;
        };
    if (symbol instanceof Symbol.Count count) {
      Term counted = CountComparison.of(count, c, diagnostics);
      return counted instanceof Term.Broken ? counted : terms.truth(counted, view, symbol);
    }
    if (unit == null) {
      return terms.wrongUse(c.span(), symbol, "only levels, analysers, transmitters and counts have values to compare", "");
    }
    Term term =
        c.setpoint() == null
            ? besideValue(c, symbol, unit)
            : besideSetpoint(c, symbol, unit, c.setpoint());
    if (term instanceof Term.Broken) {
      return term;
    }
    return symbol instanceof Symbol.Level ? terms.truth(term, view, symbol) : terms.field(term, view, symbol);
  }

  private Term besideValue(Compared c, Symbol gauge, Unit unit) {
    Quantity q = c.value();
    Ratio value = q == null ? null : quantities.value(q, q.unit(), unit, gauge.name().text());
    return value == null
        ? new Term.Broken(c.span())
        : new Term.Beside(gauge, c.relation(), value, c.span());
  }

  private Term besideSetpoint(Compared c, Symbol gauge, Unit unit, Word name) {
    Symbol other = scope.find(name);
    if (other == null) {
      return new Term.Broken(c.span());
    }
    if (!(other instanceof Symbol.Setpoint setpoint)) {
      return terms.wrongUse(name.span(), other, "a value is compared with a number or a setpoint", "");
    }
    if (gauge instanceof Symbol.Level) {
      return terms.wrongUse(
          name.span(),
          other,
          "a level is compared with fixed values only",
          "`" + gauge.name() + " " + c.relation().sign() + " 20 " + unit + "`");
    }
    if (!setpoint.unit().measures(unit.dimension())) {
      diagnostics.add(
          Diagnostic.of(
                  Code.WRONG_UNIT,
                  name.span(),
                  "`" + name + "` does not measure " + unit.dimension())
              .withLabel("is in " + setpoint.unit())
              .withRelated(setpoint.name().span(), "declared here")
              .withWhy(gauge.name() + " is " + unit.dimension() + " in " + unit));
      return new Term.Broken(c.span());
    }
    return new Term.BesideSetpoint(gauge, c.relation(), setpoint, c.span());
  }
}
