package stoplog.dsl.resolve;

import java.util.ArrayList;
import java.util.List;
import stoplog.diag.Code;
import stoplog.diag.Diagnostic;
import stoplog.dsl.kinds.Kind;
import stoplog.dsl.tree.Expression;
import stoplog.dsl.tree.Expression.Is;
import stoplog.dsl.tree.Word;
import stoplog.source.Span;

/** Looks up what stands behind {@code is}: states, positions, steps and qualities. */
final class StateTerms {
  private final TermResolver terms;
  private final Scope scope;
  private final List<Diagnostic> diagnostics;

  StateTerms(TermResolver terms, Scope scope, List<Diagnostic> diagnostics) {
    this.terms = terms;
    this.scope = scope;
    this.diagnostics = diagnostics;
  }

  Term is(Is i, View view) {
    Symbol symbol = scope.find(i.subject());
    Term term =
        switch (symbol) {
          case null -> new Term.Broken(i.span());
          case Symbol.Equipment e -> state(e, i, view);
          case Symbol.Selector s -> position(s, i, view);
          case Symbol s when QualityResolver.hasQuality(s) -> quality(s, i, view);
          case Symbol.Kept k -> terms.kept().is(k, i, view);
          case Symbol.Sequence s -> step(s, i, view);
          case Symbol.Claim c -> terms.wrongUse(i.span(), c, "a claim is decided, not read", "");
          case Symbol.Scenario c -> terms.wrongUse(i.span(), c, "a scenario is decided, not read", "");
          case Symbol other ->
              terms.wrongUse(
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
        ? terms.unknownState(i, s.name().text(), s.states().keySet())
        : terms.field(new Term.InStep(s, steps, i.span()), view, s);
  }

  private Term quality(Symbol s, Is i, View view) {
    String word = i.state().text();
    List<String> words = QualityResolver.words(s);
    if (i.aspect() != Expression.Aspect.ACTUAL || !words.contains(word)) {
      Term unknown = terms.unknownState(i, s.name().text(), words);
      String plain = QualityResolver.plainly(s, word);
      if (plain != null) {
        diagnostics.add(diagnostics.removeLast().withFix(plain));
      }
      return unknown;
    }
    if (view == View.LOGIC && !QualityResolver.isVisible(s, word)) {
      return terms.readsTruth(
          i.span(),
          "logic cannot see whether " + s.name() + " is " + word,
          QualityResolver.visibleInstead(s));
    }
    return terms.field(QualityResolver.term(s, word, i.span()), view, s);
  }

  private Term position(Symbol.Selector s, Is i, View view) {
    int position = s.positions().indexOf(i.state().text());
    if (position < 0 || i.aspect() != Expression.Aspect.ACTUAL) {
      return terms.unknownState(i, s.name().text(), s.positions());
    }
    return terms.field(new Term.Selected(s, position, i.span()), view, s);
  }

  /** The word of a command stands for what the controller wants; how it is has other words. */
  private Term commandForState(Is i, Symbol.Equipment e, String state) {
    return terms.unknownState(
        i,
        e.name().text(),
        e.kind().sayable(),
        "`" + e.name() + " is commanded " + state + "` asks for its command");
  }

  private Term state(Symbol.Equipment e, Is i, View view) {
    String state = i.state().text();
    return switch (i.aspect()) {
      case ACTUAL -> {
        if (state.equals("duty")) {
          yield terms.kept().duty(e, i, view);
        }
        Kind.Said said = e.kind().predicates().get(state);
        if (said == null && terms.pipes().asks(e, state)) {
          yield terms.pipes().state(e, state, view, i.span());
        } else if (said == null) {
          yield e.kind().commandsCalled(state).isEmpty()
              ? terms.unknownState(i, e.name().text(), e.kind().sayable())
              : commandForState(i, e, state);
        }
        if (view == View.LOGIC) {
          yield terms.readsTruth(
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
              ? terms.wrongUse(i.span(), e, "it takes no command: the process moves it", "")
              : terms.unknownState(i, "the command of " + e.name(), e.kind().commandWords());
        }
        if (e.byHand() && view == View.LOGIC) {
          yield terms.readsTruth(
              i.span(),
              "logic cannot see how " + e.name() + " was set by hand",
              Remedies.seeing(e, state));
        }
        yield terms.field(commanded(e, called, state, i.span()), view, e);
      }
      case PROVEN -> {
        Word tag = e.feedbacks().get(state);
        if (!e.kind().feedbacks().containsKey(state)) {
          yield terms.unknownState(i, "a feedback of " + e.name(), e.kind().feedbacks().keySet());
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
            : terms.field(new Term.Holds(feedback, i.span()), view, feedback);
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
}
