package stoplog.dsl.resolve;

import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import org.jspecify.annotations.Nullable;
import stoplog.dsl.tree.Expression.Relation;
import stoplog.dsl.tree.TimerForm;

/**
 * Which transitions of a sequence may be cleared together although they leave one step: those whose
 * conditions do not exclude each other in so many words.
 */
public final class Exclusion {
  private Exclusion() {}

  /** Two transitions that leave one step and may be cleared together. */
  public record Conflict(int step, Chart.Transition first, Chart.Transition second) {}

  /** Each such pair, once. Quadratic in the number of transitions that leave one step. */
  public static List<Conflict> conflicts(Chart chart) {
    Map<Integer, List<Chart.Transition>> leaving = new HashMap<>();
    var found = new ArrayList<Conflict>();
    for (Chart.Transition t : chart.transitions()) {
      boolean conflict = false;
      for (int step : t.from()) {
        List<Chart.Transition> others = leaving.computeIfAbsent(step, s -> new ArrayList<>());
        for (Chart.Transition other : others) {
          if (!conflict && !excludes(other.when(), t.when())) {
            conflict = true;
            found.add(new Conflict(step, other, t));
          }
        }
      }
      for (int step : t.from()) {
        List<Chart.Transition> others = leaving.get(step);
        if (others != null) {
          others.add(t);
        }
      }
    }
    return found;
  }

  /** Whether the two cannot hold at the same place of the same scan. */
  static boolean excludes(@Nullable Term a, @Nullable Term b) {
    if (a == null || b == null) {
      return false;
    }
    for (Term x : conjuncts(a)) {
      for (Term y : conjuncts(b)) {
        if (contradicts(x, y)) {
          return true;
        }
      }
    }
    return false;
  }

  /** What all holds where a term does: a time is over, or something rises, only where it is so. */
  private static List<Term> conjuncts(Term t) {
    return switch (t) {
      case Term.All all -> {
        var parts = new ArrayList<Term>();
        all.operands().forEach(o -> parts.addAll(conjuncts(o)));
        yield parts;
      }
      case Term.Timed l when l.form() == TimerForm.ON_DELAY -> conjuncts(l.operand());
      case Term.Edge e when e.rising() -> conjuncts(e.operand());
      case Term.Edge e -> List.of(new Term.Not(e.operand(), e.span()));
      default -> List.of(t);
    };
  }

  private static boolean contradicts(Term a, Term b) {
    if (a instanceof Term.Not n) {
      return implies(b, n.operand());
    }
    if (b instanceof Term.Not n) {
      return implies(a, n.operand());
    }
    return switch (a) {
      case Term.Selected s ->
          b instanceof Term.Selected t
              && same(s.selector(), t.selector())
              && s.position() != t.position();
      case Term.Valued v ->
          b instanceof Term.Valued w
              && v.variable().equals(w.variable())
              && (v.values() & w.values()) == 0;
      case Term.Beside x ->
          b instanceof Term.Beside y
              && same(x.gauge(), y.gauge())
              && apart(x.relation(), y.relation(), x.value().compareTo(y.value()));
      case Term.BesideSetpoint x ->
          b instanceof Term.BesideSetpoint y
              && same(x.gauge(), y.gauge())
              && same(x.setpoint(), y.setpoint())
              && apart(x.relation(), y.relation(), 0);
      case Term.Commanded c ->
          b instanceof Term.Commanded d
              && same(c.equipment(), d.equipment())
              && c.command() == d.command()
              && c.value() != d.value();
      default -> false;
    };
  }

  /**
   * Whether no value stands in both relations, each to a limit of its own.
   *
   * @param order how the first limit compares with the second
   */
  private static boolean apart(Relation first, Relation second, int order) {
    if (isUpper(first) == isUpper(second)) {
      return false;
    }
    int below = isUpper(first) ? order : -order;
    boolean touching = first == Relation.AT_MOST || first == Relation.AT_LEAST;
    touching &= second == Relation.AT_MOST || second == Relation.AT_LEAST;
    return below < 0 || (below == 0 && !touching);
  }

  private static boolean isUpper(Relation relation) {
    return relation == Relation.BELOW || relation == Relation.AT_MOST;
  }

  /** Whether {@code a} says in so many words that {@code b} holds. */
  private static boolean implies(Term a, Term b) {
    String key = key(a);
    if (key != null && key.equals(key(b))) {
      return true;
    }
    // not (A or B) contradicts A; not (A and B) contradicts nothing less than both.
    return b instanceof Term.Any any && any.operands().stream().anyMatch(o -> implies(a, o));
  }

  private static boolean same(Symbol a, Symbol b) {
    return a.name().text().equals(b.name().text());
  }

  /**
   * What a term says, the same for two that always agree; {@code null} where that cannot be told. A
   * timer has none: two that are written alike still elapse each for itself.
   */
  private static @Nullable String key(Term t) {
    return switch (t) {
      case Term.Holds h -> h.symbol().name().text();
      case Term.Selected s -> s.selector().name() + " is " + s.position();
      case Term.Commanded c ->
          c.equipment().name() + " command " + c.command() + " " + c.value();
      case Term.Tripped r -> "tripped " + r.equipment().name();
      case Term.Blocked b -> "blocked " + b.equipment().name();
      case Term.Valued v -> v.variable() + " in " + v.values();
      case Term.InStep s -> s.sequence().name() + " in " + s.steps();
      case Term.Beside b -> b.gauge().name() + b.relation().sign() + b.value();
      case Term.BesideSetpoint b ->
          b.gauge().name() + b.relation().sign() + b.setpoint().name();
      case Term.Not n -> {
        String inner = key(n.operand());
        yield inner == null ? null : "not (" + inner + ")";
      }
      case Term.All a -> joined(a.operands(), " and ");
      case Term.Any a -> joined(a.operands(), " or ");
      default -> null;
    };
  }

  private static @Nullable String joined(List<Term> operands, String word) {
    var keys = new ArrayList<String>();
    for (Term o : operands) {
      String key = key(o);
      if (key == null) {
        return null;
      }
      keys.add(key);
    }
    return "(" + String.join(word, keys) + ")";
  }
}
