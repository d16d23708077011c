package stoplog.dsl.resolve;

import java.util.ArrayList;
import java.util.HashMap;
import java.util.IdentityHashMap;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import org.jspecify.annotations.Nullable;
import stoplog.diag.Code;
import stoplog.diag.Diagnostic;
import stoplog.dsl.resolve.ChartExpander.Doing;
import stoplog.dsl.resolve.ChartExpander.Ending;
import stoplog.dsl.resolve.ChartExpander.Expanded;
import stoplog.dsl.resolve.ChartExpander.Joint;
import stoplog.dsl.resolve.Statement.Drive;
import stoplog.dsl.tree.ChartItem;
import stoplog.dsl.tree.Expression;
import stoplog.dsl.tree.LogicItem;

/** Sequences: their steps, what they read and what they ask for. */
final class ChartResolver {
  private final Scope scope;
  private final TermResolver terms;
  private final LogicResolver logic;
  private final List<Diagnostic> diagnostics;

  // What stands in a macro is looked up once, however often the macro is used.
  private final Map<Expression, Term> conditions = new IdentityHashMap<>();
  private final Map<ChartItem.Action, Chart.Action> actions = new IdentityHashMap<>();
  private final Map<Expression.Delay, TimeWindow> delays = new IdentityHashMap<>();

  ChartResolver(
      Scope scope, TermResolver terms, LogicResolver logic, List<Diagnostic> diagnostics) {
    this.scope = scope;
    this.terms = terms;
    this.logic = logic;
    this.diagnostics = diagnostics;
  }

  /** The first pass: its name, and the steps that others may ask for. */
  static void declare(LogicItem.Sequence s, Scope scope) {
    // What is wrong with it is told when it is resolved.
    Expanded expanded = ChartExpander.expand(s, new ArrayList<>());
    scope.add(
        new Symbol.Sequence(
            s.name(), s.text(), expanded.steps().size(), expanded.states()));
  }

  /** {@code null} if another thing has the name, which was told. */
  @Nullable Chart resolve(LogicItem.Sequence s) {
    Expanded expanded = ChartExpander.expand(s, diagnostics);
    var holds = new ArrayList<Term>();
    expanded.holds().forEach(h -> holds.add(condition(h.when())));
    var aborts = new ArrayList<Chart.Abort>();
    for (Ending e : expanded.endings()) {
      aborts.add(new Chart.Abort(e.to(), condition(e.written().when())));
    }
    var transitions = new ArrayList<Chart.Transition>();
    for (Joint j : expanded.joints()) {
      transitions.add(transition(j));
    }
    var resolved = new ArrayList<Chart.Action>();
    for (Doing d : expanded.doings()) {
      Chart.Action action = action(d);
      if (action != null) {
        resolved.add(action);
      }
    }
    if (!(scope.declaredAt(s.name()) instanceof Symbol.Sequence symbol)) {
      return null;
    }
    return new Chart(
        symbol,
        expanded.steps(),
        transitions,
        holds,
        aborts,
        resolved,
        expanded.whole(),
        s.span());
  }

  private Term condition(Expression e) {
    Term known = conditions.get(e);
    if (known == null) {
      known = terms.resolve(e, View.LOGIC);
      conditions.put(e, known);
    }
    return known;
  }

  private Chart.Transition transition(Joint j) {
    ChartItem.Transition written = j.written();
    Term when = written.when() == null ? null : condition(written.when());
    Expression.Delay delay = written.after();
    TimeWindow after = null;
    if (delay != null) {
      after = delays.get(delay);
      if (after == null) {
        TimeWindow found = terms.times().delay(delay);
        after = found == null ? TimeWindow.broken(delay.span()) : found;
        delays.put(delay, after);
      }
    }
    return new Chart.Transition(j.from(), j.to(), when, after, written.span());
  }

  private Chart.@Nullable Action action(Doing d) {
    Chart.Action known = actions.get(d.written());
    if (known == null) {
      known = resolved(d);
      if (known != null) {
        actions.put(d.written(), known);
      }
      return known;
    }
    return switch (known) {
      case Chart.Continuous c ->
          new Chart.Continuous(d.steps(), c.equipment(), c.verb(), c.tag(), c.value(), c.span());
      case Chart.Stored s -> new Chart.Stored(d.steps(), s.onEntry(), s.assign(), s.span());
      case Chart.StoredLatch l ->
          new Chart.StoredLatch(d.steps(), l.onEntry(), l.set(), l.latch(), l.span());
    };
  }

  private Chart.@Nullable Action resolved(Doing d) {
    return switch (d.written()) {
      case ChartItem.Continuous c -> continuous(d, c);
      case ChartItem.Stored s -> {
        Keeping.Assign assign = logic.assign(s.assignment());
        yield assign == null ? null : new Chart.Stored(d.steps(), s.onEntry(), assign, s.span());
      }
      case ChartItem.StoredLatch l -> {
        Symbol found = scope.find(l.latch());
        if (found instanceof Symbol.Latch latch) {
          yield new Chart.StoredLatch(d.steps(), l.onEntry(), l.set(), latch, l.span());
        }
        if (found != null) {
          diagnostics.add(
              Diagnostic.of(
                      Code.WRONG_USE,
                      l.latch().span(),
                      "`"
                          + l.latch()
                          + "` is "
                          + found.what()
                          + " and is neither set nor cleared by a step")
                  .withRelated(found.name().span(), "declared here")
                  .withWhy("only a latch is; a memory is given values with `:=`"));
        }
        yield null;
      }
    };
  }

  private Chart.@Nullable Action continuous(Doing d, ChartItem.Continuous c) {
    Symbol found = scope.find(c.tag());
    if (found == null) {
      return null;
    }
    if (!(found instanceof Symbol.Equipment e)) {
      diagnostics.add(
          Diagnostic.of(
                  Code.WRONG_USE,
                  c.tag().span(),
                  "`" + c.tag() + "` is " + found.what() + " and takes no command")
              .withRelated(found.name().span(), "declared here"));
      return null;
    }
    Integer value = null;
    List<String> words = e.kind().words(c.verb().text());
    // A command that its kind does not have is told by a rule.
    if (c.at() != null && !words.isEmpty()) {
      int at = logic.atValue(c.at(), c.tag(), words);
      value = at > 0 ? at : null;
    }
    return new Chart.Continuous(d.steps(), e, c.verb(), c.tag(), value, c.span());
  }

  /**
   * The program with a command for each piece of equipment that steps call for and that has none of
   * its own: right after the last sequence that calls for it, so that all of them count in the same
   * scan.
   */
  static List<Statement> withCommands(List<Statement> program) {
    var own = new HashMap<String, Boolean>();
    Map<String, Integer> last = new LinkedHashMap<>();
    Map<String, Chart.Continuous> first = new HashMap<>();
    for (int i = 0; i < program.size(); i++) {
      if (program.get(i) instanceof Drive d) {
        own.put(key(d.equipment(), d.verb().text()), true);
      } else if (program.get(i) instanceof Chart chart) {
        for (Chart.Action a : chart.actions()) {
          if (a instanceof Chart.Continuous c) {
            String key = key(c.equipment(), c.verb().text());
            last.put(key, i);
            first.putIfAbsent(key, c);
          }
        }
      }
    }
    var all = new ArrayList<Statement>();
    for (int i = 0; i < program.size(); i++) {
      all.add(program.get(i));
      if (program.get(i) instanceof Chart chart) {
        for (Chart.Action a : chart.actions()) {
          if (a instanceof Chart.Continuous c) {
            String key = key(c.equipment(), c.verb().text());
            if (Integer.valueOf(i).equals(last.get(key)) && own.putIfAbsent(key, true) == null) {
              Chart.Continuous called = java.util.Objects.requireNonNull(first.get(key));
              all.add(command(called));
            }
          }
        }
      }
    }
    return all;
  }

  private static Drive command(Chart.Continuous c) {
    return new Drive(
        c.equipment(), c.verb(), c.tag().span(), null, List.of(), List.of(), c.span());
  }

  private static String key(Symbol.Equipment e, String verb) {
    return verb + " " + e.name();
  }
}
