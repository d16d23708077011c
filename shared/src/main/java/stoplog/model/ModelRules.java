package stoplog.model;

import java.util.HashSet;
import java.util.List;
import org.jspecify.annotations.Nullable;

/** What must be true of the parts of a model for its meaning to be defined. Package-private: run by {@link Model}. */
record ModelRules(
    List<Variable> variables,
    List<Definition> definitions,
    List<Clock> clocks,
    List<FieldChange> changes,
    Controller controller,
    List<Assignment> start,
    List<Assignment> reactions,
    List<Claim> claims) {

  void check() {
    var names = new HashSet<String>();
    for (int i = 0; i < variables.size(); i++) {
      require(variables.get(i).id() == i, "index of variable " + variables.get(i).name());
      require(names.add(variables.get(i).name()), "second variable " + variables.get(i).name());
    }
    for (int i = 0; i < definitions.size(); i++) {
      require(definitions.get(i).id() == i, "index of definition " + definitions.get(i).name());
      expression(definitions.get(i).value(), i);
    }
    for (int i = 0; i < clocks.size(); i++) {
      require(clocks.get(i).id() == i, "index of clock " + clocks.get(i).name());
      expression(clocks.get(i).running());
    }
    for (int i = 0; i < changes.size(); i++) {
      FieldChange c = changes.get(i);
      require(c.id() == i, "index of change " + c.text());
      expression(c.guard());
      timing(c.timing());
      c.effects().forEach(a -> assignment(a, false));
    }
    expression(controller.powered());
    controller.program().forEach(a -> assignment(a, false));
    start.forEach(a -> assignment(a, false));
    reactions.forEach(a -> assignment(a, false));
    var labels = new HashSet<String>();
    for (Claim c : claims) {
      require(labels.add(c.id()), "second claim " + c.id());
      expression(c.condition());
      expression(c.onlyWhile());
      c.faultsOf().forEach(v -> require(v >= 0 && v < variables.size(), "variable " + v));
      c.monitors().forEach(a -> assignment(a, true));
    }
  }

  private void timing(FieldChange.@Nullable Timing timing) {
    if (timing != null) {
      require(timing.clock() >= 0 && timing.clock() < clocks.size(), "clock " + timing.clock());
      Bound latest = timing.latest();
      require(latest == null || latest.quanta() >= timing.earliest().quanta(), "window upside down");
    }
  }

  private void assignment(Assignment a, boolean monitor) {
    require(a.variable() >= 0 && a.variable() < variables.size(), "variable " + a.variable());
    Variable target = variables.get(a.variable());
    require(
        (target.role() == Role.MONITOR) == monitor,
        "monitors, and only monitors, are assigned by claims: " + target.name());
    expression(a.value());
  }

  private void expression(Expr e) {
    expression(e, definitions.size());
  }

  private void expression(Expr e, int definitionLimit) {
    switch (e) {
      case Expr.Constant c ->
          require(c.value() >= 0 && c.value() < Variable.MAX_VALUES, "constant " + c.value());
      case Expr.Read r ->
          require(r.variable() >= 0 && r.variable() < variables.size(), "variable " + r.variable());
      case Expr.Use u ->
          require(u.definition() >= 0 && u.definition() < definitionLimit, "definition " + u.definition());
      case Expr.Not n -> expression(n.operand(), definitionLimit);
      case Expr.All a -> a.operands().forEach(o -> expression(o, definitionLimit));
      case Expr.Any a -> a.operands().forEach(o -> expression(o, definitionLimit));
      case Expr.In i -> expression(i.operand(), definitionLimit);
      case Expr.Same s -> {
        expression(s.left(), definitionLimit);
        expression(s.right(), definitionLimit);
      }
      case Expr.Choose c -> {
        expression(c.condition(), definitionLimit);
        expression(c.then(), definitionLimit);
        expression(c.otherwise(), definitionLimit);
      }
      case Expr.Shift s -> expression(s.operand(), definitionLimit);
    }
  }

  private static void require(boolean holds, String what) {
    if (!holds) {
      throw new IllegalArgumentException("malformed model: " + what);
    }
  }
}
