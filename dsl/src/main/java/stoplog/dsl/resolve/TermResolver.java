package stoplog.dsl.resolve;

import java.util.ArrayList;
import java.util.List;
import org.jspecify.annotations.Nullable;
import stoplog.diag.Code;
import stoplog.diag.Diagnostic;
import stoplog.dsl.kinds.Kind;
import stoplog.dsl.tree.Expression;
import stoplog.dsl.tree.Expression.Compared;
import stoplog.dsl.tree.Expression.Is;
import stoplog.dsl.tree.Quantity;
import stoplog.dsl.tree.TimerForm;
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

  private final PipeResolver pipes;

  TermResolver(Scope scope, Quantities quantities, List<Diagnostic> diagnostics) {
    this.pipes = new PipeResolver(scope, diagnostics);
    this.scope = scope;
    this.quantities = quantities;
    this.diagnostics = diagnostics;
    this.kept = new KeptTerms(this, scope, quantities, diagnostics);
  }

  PipeResolver pipes() {
    return pipes;
  }

  Term resolve(Expression e, View view) {
    return switch (e) {
      case Expression.Named n -> named(n.name(), view);
      case Is i -> is(i, view);
      case Compared c -> compared(c, view);
      case Expression.Tripped t -> tripped(t, view);
      case Expression.Blocked b -> blocked(b, view);
      case Expression.HowMany h -> howMany(h, view);
      case Expression.Path p -> pipes.path(p, view);
      case Expression.Not n -> new Term.Not(resolve(n.operand(), view), n.span());
      case Expression.And a -> new Term.All(all(a.operands(), view), a.span());
      case Expression.Or o -> new Term.Any(all(o.operands(), view), o.span());
      case Expression.Timed l -> timed(l, view);
      case Expression.Edge g -> edge(g, view);
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

  private Term is(Is i, View view) {
    Symbol symbol = scope.find(i.subject());
    Term term =
        switch (symbol) {
          case null -> new Term.Broken(i.span());
          case Symbol.Equipment e -> state(e, i, view);
          case Symbol.Selector s -> position(s, i, view);
          case Symbol s when QualityResolver.hasQuality(s) -> quality(s, i, view);
          case Symbol.Kept k -> kept.is(k, i, view);
          case Symbol.Sequence s -> step(s, i, view);
          case Symbol.Claim c -> wrongUse(i.span(), c, "a claim is decided, not read", "");
          case Symbol.Scenario c -> wrongUse(i.span(), c, "a scenario is decided, not read", "");
          case Symbol other ->
              wrongUse(
                  i.span(),
                  other,
                  "it has no states to name behind `is`",
                  other instanceof Symbol.Level
                      ? "`" + other.name() + " < ...`"
                      : "`" + other.name() + "` or `not " + other.name() + "`");
        };
    return i.negated() && !(term instanceof Term.Broken) ? new Term.Not(term, i.span()) : term;
  }

  private Term step(Symbol.Sequence s, Is i, View view) {
    List<Integer> steps = s.states().get(i.state().text());
    return steps == null || i.aspect() != Expression.Aspect.ACTUAL
        ? unknownState(i, s.name().text(), s.states().keySet())
        : field(new Term.InStep(s, steps, i.span()), view, s);
  }

  private Term quality(Symbol s, Is i, View view) {
    String word = i.state().text();
    List<String> words = QualityResolver.words(s);
    if (i.aspect() != Expression.Aspect.ACTUAL || !words.contains(word)) {
      Term unknown = unknownState(i, s.name().text(), words);
      String plain = QualityResolver.plainly(s, word);
      if (plain != null) {
        diagnostics.add(diagnostics.removeLast().withFix(plain));
      }
      return unknown;
    }
    if (view == View.LOGIC && !QualityResolver.isVisible(s, word)) {
      return readsTruth(
          i.span(),
          "logic cannot see whether " + s.name() + " is " + word,
          QualityResolver.visibleInstead(s));
    }
    return field(QualityResolver.term(s, word, i.span()), view, s);
  }

  private Term position(Symbol.Selector s, Is i, View view) {
    int position = s.positions().indexOf(i.state().text());
    if (position < 0 || i.aspect() != Expression.Aspect.ACTUAL) {
      return unknownState(i, s.name().text(), s.positions());
    }
    return field(new Term.Selected(s, position, i.span()), view, s);
  }

  private Term state(Symbol.Equipment e, Is i, View view) {
    String state = i.state().text();
    return switch (i.aspect()) {
      case ACTUAL -> {
        if (state.equals("duty")) {
          yield kept.duty(e, i, view);
        }
        Kind.Said said = e.kind().predicates().get(state);
        if (said == null && pipes.asks(e, state)) {
          yield pipes.state(e, state, view, i.span());
        } else if (said == null) {
          yield unknownState(i, e.name().text(), e.kind().sayable());
        }
        if (view == View.LOGIC) {
          yield readsTruth(
              i.span(),
              "logic cannot see whether " + e.name() + " is " + state,
              Remedies.seeing(e, state));
        }
        yield said(e, said, state, i.span());
      }
      case COMMANDED -> {
        List<Integer> called = e.kind().commandsCalled(state);
        if (called.isEmpty()) {
          yield e.kind().commands().isEmpty()
              ? wrongUse(i.span(), e, "it takes no command: the process moves it", "")
              : unknownState(i, "the command of " + e.name(), e.kind().commandWords());
        }
        if (e.byHand() && view == View.LOGIC) {
          yield readsTruth(
              i.span(),
              "logic cannot see how " + e.name() + " was set by hand",
              Remedies.seeing(e, state));
        }
        yield field(commanded(e, called, state, i.span()), view, e);
      }
      case PROVEN -> {
        Word tag = e.feedbacks().get(state);
        if (!e.kind().feedbacks().containsKey(state)) {
          yield unknownState(i, "a feedback of " + e.name(), e.kind().feedbacks().keySet());
        } else if (tag == null) {
          diagnostics.add(
              Diagnostic.of(
                      Code.NOT_PROVEN,
                      i.span(),
                      "no feedback proves that " + e.name() + " is " + state)
                  .withRelated(e.name().span(), "declared here")
                  .withFix(
                      "add `proves "
                          + state
                          + " "
                          + Remedies.tagFor(e, state)
                          + "` to "
                          + e.name()));
          yield new Term.Broken(i.span());
        }
        Symbol feedback = scope.peek(tag.text());
        yield feedback == null
            ? new Term.Broken(i.span())
            : field(new Term.Holds(feedback, i.span()), view, feedback);
      }
    };
  }

  private static Term said(Symbol.Equipment e, Kind.Said said, String state, Span span) {
    Term positioned = new Term.Positioned(e, said.positions(), state, span);
    if (said.faults() == 0) {
      return positioned;
    }
    var names = new ArrayList<String>();
    for (int f = 0; f < e.kind().faults().size(); f++) {
      if ((said.faults() >>> f & 1) != 0) {
        names.add(e.kind().faults().get(f).name());
      }
    }
    Term faulty = new Term.Faulty(e, names, span);
    return said.positions() == 0 ? faulty : new Term.Any(List.of(positioned, faulty), span);
  }

  /** A word that several commands share says that each of them is at 0. */
  private static Term commanded(
      Symbol.Equipment e, List<Integer> called, String word, Span span) {
    var terms = new ArrayList<Term>();
    for (int c : called) {
      int value = e.kind().commands().get(c).words().indexOf(word);
      terms.add(new Term.Commanded(e, c, value, span));
    }
    return terms.size() == 1 ? terms.getFirst() : new Term.All(terms, span);
  }

  Term unknownState(Is i, String of, java.util.Collection<String> known) {
    String close = Closest.to(i.state().text(), known);
    Diagnostic d =
        Diagnostic.of(Code.UNKNOWN_STATE, i.state().span(), of + " is never `" + i.state() + "`")
            .withLabel("can be " + String.join(", ", known));
    diagnostics.add(close == null ? d : d.withFix("did you mean `" + close + "`?"));
    return new Term.Broken(i.span());
  }

  private Term compared(Compared c, View view) {
    Symbol symbol = scope.find(c.subject());
    if (symbol == null) {
      return new Term.Broken(c.span());
    }
    if (symbol instanceof Symbol.Kept k) {
      return kept.compared(k, c, view);
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
      return counted instanceof Term.Broken ? counted : truth(counted, view, symbol);
    }
    if (unit == null) {
      return wrongUse(c.span(), symbol, "only levels, analysers, transmitters and counts have values to compare", "");
    }
    Term term =
        c.setpoint() == null
            ? besideValue(c, symbol, unit)
            : besideSetpoint(c, symbol, unit, c.setpoint());
    if (term instanceof Term.Broken) {
      return term;
    }
    return symbol instanceof Symbol.Level ? truth(term, view, symbol) : field(term, view, symbol);
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
      return wrongUse(name.span(), other, "a value is compared with a number or a setpoint", "");
    }
    if (gauge instanceof Symbol.Level) {
      return wrongUse(
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

  private Term edge(Expression.Edge e, View view) {
    Term operand = resolve(e.operand(), view);
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

  private Term timed(Expression.Timed l, View view) {
    Term operand = resolve(l.operand(), view);
    if (view == View.LOGIC) {
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
              s.low().floor().longValueExact(), s.high().ceiling().longValueExact(), s.window());
      case Symbol.Setpoint s -> {
        diagnostics.add(
            Diagnostic.of(Code.NO_TIME, name.span(), "this delay must be longer than nothing")
                .withRelated(s.window(), "never more than this"));
        yield null;
      }
      case Symbol other -> {
        wrongUse(name.span(), other, "a delay is a time or a setpoint", "");
        yield null;
      }
    };
  }

  // ---- who may read what

  private Term truth(Term term, View view, Symbol symbol) {
    return view == View.LOGIC
        ? readsTruth(
            term.span(), "logic cannot see " + symbol.name(), Remedies.instrumentFor(symbol))
        : term;
  }

  private Term readsTruth(Span span, String message, String fix) {
    diagnostics.add(
        Diagnostic.of(Code.READS_TRUTH, span, message)
            .withLabel("is the truth, not what an instrument shows")
            .withWhy(
                "the controller sees instruments, feedbacks, the panel and its own memory only")
            .withFix(fix));
    return new Term.Broken(span);
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
