package stoplog.dsl.resolve;

import java.util.ArrayList;
import java.util.List;
import org.jspecify.annotations.Nullable;
import stoplog.diag.Code;
import stoplog.diag.Diagnostic;
import stoplog.dsl.resolve.ResolvedPlant.Assumptions;
import stoplog.dsl.resolve.ResolvedPlant.Claim;
import stoplog.dsl.resolve.ResolvedPlant.Question;
import stoplog.dsl.tree.Declaration;
import stoplog.dsl.tree.Expression;
import stoplog.dsl.tree.Quantity;
import stoplog.dsl.tree.TimerForm;
import stoplog.dsl.tree.Word;
import stoplog.source.Span;

/** The claims of {@link Resolver}. */
final class ClaimResolver {
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
    return claim(h.id(), new Question.Hazard(l.condition()), l.micros(), under, h.span());
  }

  /** The claim, or {@code null} if it could not be read, which is told. */
  @Nullable Claim requirement(Declaration.Requirement r) {
    Assumptions under = assumptions(r.options());
    return switch (r.promise()) {
      case Declaration.Can c -> {
        Lasting l = lasting(c.condition());
        yield claim(r.id(), new Question.Can(l.condition()), l.micros(), under, r.span());
      }
      case Declaration.Response p -> {
        var question = new Question.Response(momentary(p.after()), momentary(p.then()));
        Long micros = quantities.time(p.within(), "time");
        yield claim(r.id(), question, micros == null ? 1 : micros, under, r.span());
      }
      case Declaration.NeverTogether n -> {
        var conditions = new ArrayList<Term>();
        n.conditions().forEach(e -> conditions.add(momentary(e)));
        yield claim(r.id(), new Question.NeverTogether(conditions), 0, under, r.span());
      }
      case Declaration.Stays s -> {
        var question =
            new Question.Stays(momentary(s.once()), momentary(s.what()), momentary(s.until()));
        yield claim(r.id(), question, 0, under, r.span());
      }
      case Declaration.AlwaysCan a -> {
        notYet(a.span(), "always can");
        yield null;
      }
    };
  }

  private @Nullable Claim claim(
      Word id, Question question, long micros, Assumptions under, Span span) {
    return scope.declaredAt(id) instanceof Symbol.Claim s
        ? new Claim(s, question, micros, under, span)
        : null;
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
    for (Declaration.ClaimOption o : options) {
      switch (o) {
        case Declaration.Tolerates t -> notYet(t.span(), "tolerates");
        case Declaration.Severity v -> notYet(v.span(), "severity");
        case Declaration.Note n -> notYet(n.span(), n.source() ? "source" : "remark");
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
    return new Assumptions(assumed, withoutPowerFailure);
  }

  private void notYet(Span span, String words) {
    diagnostics.add(
        Diagnostic.of(Code.NOT_SUPPORTED, span, "`" + words + "` is not supported yet")
            .withWhy("the plant language has it, this version of the checker does not"));
  }

  private Lasting lasting(Expression condition) {
    Expression inner = condition;
    long micros = 0;
    if (condition instanceof Expression.Timed l && l.form() == TimerForm.ON_DELAY) {
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
