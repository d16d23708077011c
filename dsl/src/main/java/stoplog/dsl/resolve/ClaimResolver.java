package stoplog.dsl.resolve;

import java.util.ArrayList;
import java.util.List;
import org.jspecify.annotations.Nullable;
import stoplog.diag.Code;
import stoplog.diag.Diagnostic;
import stoplog.dsl.resolve.ResolvedPlant.Assumptions;
import stoplog.dsl.resolve.ResolvedPlant.Claim;
import stoplog.dsl.resolve.ResolvedPlant.Tolerance;
import stoplog.dsl.tree.Declaration;
import stoplog.dsl.tree.Expression;
import stoplog.dsl.tree.Quantity;
import stoplog.dsl.tree.TimerForm;
import stoplog.dsl.tree.Word;
import stoplog.model.Claim.Basis;
import stoplog.source.Span;

/** The claims of {@link Resolver}. */
final class ClaimResolver {
  /** More would not be a plant but a scrap heap, and the search counts them in six bits. */
  private static final int MAX_FAULTS = 62;

  private final Scope scope;
  private final Quantities quantities;
  private final TermResolver terms;
  private final List<Diagnostic> diagnostics;

  ClaimResolver(
      Scope scope, Quantities quantities, TermResolver terms, List<Diagnostic> diagnostics) {
    this.scope = scope;
    this.quantities = quantities;
    this.terms = terms;
    this.diagnostics = diagnostics;
  }

  /** A condition and the time for which it must hold without a break. */
  private record Lasting(Term condition, long micros) {}

  /** The claim, or {@code null} if it could not be read, which is told. */
  @Nullable Claim hazard(Declaration.Hazard h) {
    Assumptions under = assumptions(h.options());
    Lasting l = lasting(h.condition());
    return claim(h.id(), new Question.Hazard(l.condition()), l.micros(), under, h.options(), h.span());
  }

  /** The claim, or {@code null} if it could not be read, which is told. */
  @Nullable Claim requirement(Declaration.Requirement r) {
    Assumptions under = assumptions(r.options());
    return switch (r.promise()) {
      case Declaration.Can c -> {
        Lasting l = lasting(c.condition());
        yield claim(r.id(), new Question.Can(l.condition()), l.micros(), under, r.options(), r.span());
      }
      case Declaration.Response p -> {
        var question = new Question.Response(momentary(p.after()), momentary(p.then()));
        Long micros = quantities.time(p.within(), "time");
        yield claim(r.id(), question, micros == null ? 1 : micros, under, r.options(), r.span());
      }
      case Declaration.NeverTogether n -> {
        var conditions = new ArrayList<Term>();
        n.conditions().forEach(e -> conditions.add(momentary(e)));
        yield claim(r.id(), new Question.NeverTogether(conditions), 0, under, r.options(), r.span());
      }
      case Declaration.Stays s -> {
        var question =
            new Question.Stays(momentary(s.once()), momentary(s.what()), momentary(s.until()));
        yield claim(r.id(), question, 0, under, r.options(), r.span());
      }
      case Declaration.AlwaysCan a -> {
        Lasting l = lasting(a.condition());
        if (l.micros() > 0) {
          diagnostics.add(
              Diagnostic.of(
                      Code.INNER_DURATION,
                      a.condition().span(),
                      "`always can` asks for a moment, not for a time")
                  .withFix("leave `for ...` out"));
        }
        yield claim(r.id(), new Question.AlwaysCan(l.condition()), 0, under, r.options(), r.span());
      }
    };
  }

  private @Nullable Claim claim(
      Word id,
      Question question,
      long micros,
      Assumptions under,
      List<Declaration.ClaimOption> options,
      Span span) {
    Basis basis = basis(options);
    return scope.declaredAt(id) instanceof Symbol.Claim s
        ? new Claim(s, question, micros, under, basis, span)
        : null;
  }

  /** Severity and source are stated once, remarks as often as there is something to say. */
  private Basis basis(List<Declaration.ClaimOption> options) {
    String severity = "";
    String source = "";
    var remarks = new ArrayList<String>();
    for (Declaration.ClaimOption o : options) {
      if (o instanceof Declaration.Severity v) {
        once(severity, "the severity", v.span());
        severity = v.degree().text();
      } else if (o instanceof Declaration.Note n && n.source()) {
        once(source, "the source", n.span());
        source = n.text();
      } else if (o instanceof Declaration.Note n) {
        remarks.add(n.text());
      }
    }
    return new Basis(severity, source, remarks);
  }

  private void once(String before, String what, Span span) {
    if (!before.isEmpty()) {
      diagnostics.add(
          Diagnostic.of(Code.STATED_TWICE, span, what + " of this claim is stated twice"));
    }
  }

  private Term term(Expression e) {
    return terms.resolve(e, View.CLAIM);
  }

  private Term momentary(Expression e) {
    return terms.resolve(e, View.PROMISE);
  }

  private Assumptions assumptions(List<Declaration.ClaimOption> options) {
    var assumed = new ArrayList<Term>();
    Span withoutPowerFailure = null;
    Tolerance tolerance = null;
    for (Declaration.ClaimOption o : options) {
      switch (o) {
        case Declaration.Tolerates t -> tolerance = tolerance(t, tolerance);
        case Declaration.Severity v -> {}
        case Declaration.Note n -> {}
        case Declaration.Assuming a -> assumed.add(term(a.condition()));
        case Declaration.WithoutPowerFailure w -> {
          if (withoutPowerFailure != null) {
            diagnostics.add(
                Diagnostic.of(
                        Code.STATED_TWICE, w.span(), "`without power failure` is stated twice")
                    .withRelated(withoutPowerFailure, "first time"));
          }
          withoutPowerFailure = w.span();
        }
      }
    }
    return new Assumptions(assumed, withoutPowerFailure, tolerance);
  }

  private Tolerance tolerance(Declaration.Tolerates t, @Nullable Tolerance before) {
    if (before != null) {
      diagnostics.add(
          Diagnostic.of(Code.STATED_TWICE, t.span(), "how many faults is stated twice")
              .withRelated(before.span(), "first time"));
    }
    int faults = quantities.count(t.faults(), 1, MAX_FAULTS, "tolerated faults");
    var of = new ArrayList<Symbol>();
    for (Word tag : t.of()) {
      Symbol s = scope.find(tag);
      if (s != null && Faults.of(s).isEmpty()) {
        diagnostics.add(
            Diagnostic.of(Code.WRONG_USE, tag.span(), "`" + tag + "` has no faults to tolerate")
                .withLabel("is " + s.what())
                .withRelated(s.name().span(), "declared here"));
      } else if (s != null) {
        of.add(s);
      }
    }
    return new Tolerance(faults, of, t.span());
  }

  private Lasting lasting(Expression condition) {
    Expression inner = condition;
    long micros = 0;
    if (condition instanceof Expression.Timed l && l.form() == TimerForm.ON_DELAY) {
      terms.times().noteBothSides(l);
      inner = l.operand();
      Quantity time = l.delay().time();
      if (time == null) {
        diagnostics.add(
            Diagnostic.of(
                    Code.ADJUSTABLE_DURATION,
                    l.delay().span(),
                    "the time of a claim is a fixed time")
                .withWhy("a claim that moves with a setpoint would forgive a wrong setpoint")
                .withFix("for 5 s"));
      } else {
        Long fixed = quantities.time(time, "time");
        micros = fixed == null ? 0 : fixed;
      }
    }
    return new Lasting(term(inner), micros);
  }
}
