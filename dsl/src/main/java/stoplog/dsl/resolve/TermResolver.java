package stoplog.dsl.resolve;

import java.util.ArrayList;
import java.util.List;
import stoplog.diag.Closest;
import stoplog.diag.Code;
import stoplog.diag.Diagnostic;
import stoplog.dsl.tree.Expression;
import stoplog.dsl.tree.Expression.Compared;
import stoplog.dsl.tree.Expression.Is;
import stoplog.dsl.tree.Word;
import stoplog.source.Span;

/**
 * Looks up the names of expressions and keeps each reader to what it may read. An error is told
 * once and leaves a {@link Term.Broken}, which no later check looks at.
 */
final class TermResolver {
  /** So many conditions can be counted with a value of 64 numbers, 0 being one of them. */
  private static final int MAX_COUNTED = stoplog.model.Variable.MAX_VALUES - 1;

  private final Scope scope;
  private final Quantities quantities;
  private final List<Diagnostic> diagnostics;
  private final KeptTerms kept;
  private final StateTerms states;
  private final ComparedTerms comparisons;
  private final TimeTerms times;
  private final PipeResolver pipes;

  TermResolver(Scope scope, Quantities quantities, List<Diagnostic> diagnostics) {
    this.pipes = new PipeResolver(scope, diagnostics);
    this.scope = scope;
    this.quantities = quantities;
    this.diagnostics = diagnostics;
    this.kept = new KeptTerms(this, scope, quantities, diagnostics);
    this.states = new StateTerms(this, scope, diagnostics);
    this.comparisons = new ComparedTerms(this, scope, quantities, diagnostics);
    this.times = new TimeTerms(this, scope, quantities, diagnostics);
  }

  PipeResolver pipes() {
    return pipes;
  }

  KeptTerms kept() {
    return kept;
  }

  TimeTerms times() {
    return times;
  }

  Term resolve(Expression e, View view) {
    return switch (e) {
      case Expression.Named n -> named(n.name(), view);
      case Is i -> states.is(i, view);
      case Compared c -> comparisons.compared(c, view);
      case Expression.Tripped t -> tripped(t, view);
      case Expression.Blocked b -> blocked(b, view);
      case Expression.HowMany h -> howMany(h, view);
      case Expression.Path p -> pipes.path(p, view);
      case Expression.Not n -> new Term.Not(resolve(n.operand(), view), n.span());
      case Expression.And a -> new Term.All(all(a.operands(), view), a.span());
      case Expression.Or o -> new Term.Any(all(o.operands(), view), o.span());
      case Expression.Timed l -> times.timed(l, view);
      case Expression.Edge g -> times.edge(g, view);
    };
  }

  private List<Term> all(List<Expression> operands, View view) {
    var terms = new ArrayList<Term>(operands.size());
    for (Expression e : operands) {
      terms.add(resolve(e, view));
    }
    return terms;
  }

  private Term named(Word name, View view) {
    Symbol symbol = scope.find(name);
    Span span = name.span();
    return switch (symbol) {
      case null -> new Term.Broken(span);
      case Symbol.Condition c -> truth(new Term.Holds(c, span), view, c);
      case Symbol.Switch s -> field(new Term.Holds(s, span), view, s);
      case Symbol.Feedback f -> field(new Term.Holds(f, span), view, f);
      case Symbol.Button b -> field(new Term.Holds(b, span), view, b);
      case Symbol.Latch l -> field(new Term.Holds(l, span), view, l);
      case Symbol.Signal s -> field(new Term.Holds(s, span), view, s);
      case Symbol.Key k -> field(new Term.Holds(k, span), view, k);
      case Symbol.Kept k -> kept.named(k, span, view);
      case Symbol.Sequence s ->
          wrongUse(
              span,
              s,
              "say which step is meant",
              s.states().isEmpty()
                  ? ""
                  : "`" + name + " is " + s.states().keySet().iterator().next() + "`");
      case Symbol.Equipment q ->
          wrongUse(
              span,
              q,
              "say which state is meant",
              "`" + name + " is " + q.kind().predicates().keySet().iterator().next() + "`");
      case Symbol.Selector s ->
          wrongUse(
              span,
              s,
              "say which position is meant",
              "`" + name + " is " + s.positions().getFirst() + "`");
      case Symbol.Level l ->
          wrongUse(span, l, "compare it with a value", "`" + name + " < 20 " + l.unit() + "`");
      case Symbol.Analyser a ->
          wrongUse(span, a, "compare it with a value", "`" + name + " > 20 " + a.unit() + "`");
      case Symbol.Transmitter t ->
          wrongUse(span, t, "compare it with a value", "`" + name + " > 20 " + t.unit() + "`");
      case Symbol.Count c ->
          wrongUse(span, c, "compare it with a number", "`" + name + " >= " + c.high() + "`");
      case Symbol.Setpoint s -> wrongUse(span, s, "a setpoint is neither true nor false", "");
      case Symbol.Claim c -> wrongUse(span, c, "a claim is decided, not read", "");
      case Symbol.Scenario c -> wrongUse(span, c, "a scenario is decided, not read", "");
    };
  }

  private Term tripped(Expression.Tripped t, View view) {
    Symbol symbol = scope.find(t.equipment());
    return switch (symbol) {
      case null -> new Term.Broken(t.span());
      case Symbol.Equipment e -> field(new Term.Tripped(e, t.span()), view, e);
      case Symbol other -> wrongUse(t.span(), other, "only commanded equipment trips", "");
    };
  }

  private Term blocked(Expression.Blocked b, View view) {
    Symbol symbol = scope.find(b.equipment());
    return switch (symbol) {
      case null -> new Term.Broken(b.span());
      case Symbol.Equipment e -> field(new Term.Blocked(e, b.span()), view, e);
      case Symbol other -> wrongUse(b.span(), other, "only commanded equipment is blocked", "");
    };
  }

  private Term howMany(Expression.HowMany h, View view) {
    List<Term> operands = all(h.operands(), view);
    int size = operands.size();
    int errors = diagnostics.size();
    int least = quantities.count(h.least(), 0, size, "conditions asked for");
    int most = quantities.count(h.most(), 0, size, "conditions asked for");
    if (diagnostics.size() > errors) {
      return new Term.Broken(h.span());
    }
    boolean counted = (least > 1 && least < size) || (most > 0 && most < size);
    if (least == 0 && most == size) {
      diagnostics.add(
          Diagnostic.of(
              Code.NOT_A_COUNT, h.span(), "this always holds: any number of these would do"));
    } else if (counted && size > MAX_COUNTED) {
      diagnostics.add(
          Diagnostic.of(
              Code.NOT_A_COUNT, h.span(), "at most " + MAX_COUNTED + " conditions are counted"));
    }
    return new Term.HowMany(least, most, operands, h.span());
  }

  Term unknownState(Is i, String of, java.util.Collection<String> known) {
    return unknownState(i, of, known, "");
  }

  /** @param instead what else may be meant, if no known state is close to what is written */
  Term unknownState(Is i, String of, java.util.Collection<String> known, String instead) {
    Diagnostic d =
        Diagnostic.of(Code.UNKNOWN_STATE, i.state().span(), of + " is never `" + i.state() + "`")
            .withLabel("can be " + String.join(", ", known));
    diagnostics.add(Closest.suggested(d.withFix(instead), i.state().text(), known));
    return new Term.Broken(i.span());
  }

  // ---- who may read what

  Term truth(Term term, View view, Symbol symbol) {
    return view == View.LOGIC
        ? readsTruth(
            term.span(), "logic cannot see " + symbol.name(), Remedies.instrumentFor(symbol))
        : term;
  }

  Term readsTruth(Span span, String message, String fix) {
    diagnostics.add(readingTruth(span, message, fix));
    return new Term.Broken(span);
  }

  /** That logic reads what no instrument shows it. */
  static Diagnostic readingTruth(Span span, String message, String fix) {
    return Diagnostic.of(Code.READS_TRUTH, span, message)
        .withLabel("is the truth, not what an instrument shows")
        .withWhy("the controller sees instruments, feedbacks, the panel and its own memory only")
        .withFix(fix);
  }

  Term field(Term term, View view, Symbol symbol) {
    if (view != View.PROCESS) {
      return term;
    }
    diagnostics.add(
        Diagnostic.of(
                Code.READS_FIELD,
                term.span(),
                "the process cannot depend on " + describe(term, symbol))
            .withLabel("is known to the controller only")
            .withWhy("physics follows positions, motion, conditions and levels")
            .withFix(Remedies.truthBehind(symbol)));
    return new Term.Broken(term.span());
  }

  private static String describe(Term term, Symbol symbol) {
    return switch (term) {
      case Term.Commanded c -> "the command of " + symbol.name();
      case Term.All a -> "the commands of " + symbol.name();
      case Term.Tripped t -> "the trips of " + symbol.name();
      case Term.Blocked b -> "the interlocks of " + symbol.name();
      default -> symbol.what() + ", `" + symbol.name() + "`";
    };
  }

  Term wrongUse(Span span, Symbol symbol, String why, String fix) {
    diagnostics.add(
        Diagnostic.of(
                Code.WRONG_USE,
                span,
                "`" + symbol.name() + "` is " + symbol.what() + " and cannot stand here")
            .withRelated(symbol.name().span(), "declared here")
            .withWhy(why)
            .withFix(fix));
    return new Term.Broken(span);
  }
}
