package stoplog.dsl.lower;

import java.util.ArrayList;
import java.util.BitSet;
import java.util.HashSet;
import java.util.List;
import stoplog.dsl.resolve.ResolvedPlant;
import stoplog.dsl.resolve.Scenario;
import stoplog.dsl.resolve.Scenario.Entry;
import stoplog.model.Assignment;
import stoplog.model.Expr;
import stoplog.model.Variable;

/** Where the runs of a scenario start. */
final class ScenarioStart {
  private final Parts parts;
  private final Meanings meanings;
  private final Scenario scenario;

  ScenarioStart(Parts parts, Meanings meanings, Scenario scenario) {
    this.parts = parts;
    this.meanings = meanings;
    this.scenario = scenario;
  }

  /**
   * Conditions that are not spoken of are absent; starts that are not as given take no course.
   *
   * @param stage the variable that tells how far a run has come
   */
  void lower(ResolvedPlant plant, int stage) {
    var given = new ArrayList<Expr>();
    for (Entry e : scenario.entries()) {
      if (e instanceof Scenario.Given g) {
        given.add(meanings.of(g.condition()));
      }
    }
    Expr asGiven = Expr.all(given);
    BitSet spokenOf = Expr.variables(asGiven, parts.definitions);
    var free = new HashSet<String>();
    plant.free().forEach(c -> free.add(c.name().text()));
    for (Variable v : List.copyOf(parts.variables)) {
      if (free.contains(v.name()) && !spokenOf.get(v.id())) {
        begins(v, 1);
      }
    }
    List<Expr> parted = asGiven instanceof Expr.All a ? a.operands() : List.of(asGiven);
    parted.forEach(this::narrow);
    if (!asGiven.equals(Expr.TRUE)) {
      Expr value =
          new Expr.Choose(
              asGiven,
              new Expr.Constant(ScenarioCourse.FIRST),
              new Expr.Constant(ScenarioCourse.NEVER));
      parts.start.add(new Assignment(stage, value, scenario.span()));
    }
  }

  /** Fewer starts to look at; those left out would take no course. */
  private void narrow(Expr given) {
    switch (given) {
      case Expr.In(Expr.Read r, long values) -> begins(parts.variables.get(r.variable()), values);
      case Expr.Not(Expr.In(Expr.Read r, long values)) ->
          begins(parts.variables.get(r.variable()), ~values);
      default -> {}
    }
  }

  private void begins(Variable v, long among) {
    boolean assigned = parts.start.stream().anyMatch(a -> a.variable() == v.id());
    if (!assigned && (v.initial() & among) != 0) {
      parts.variables.set(
          v.id(),
          new Variable(
              v.id(), v.name(), v.role(), v.values(), v.initial() & among, v.text(), v.origin()));
    }
  }
}
