package stoplog.checker.abstraction;

import java.util.ArrayList;
import java.util.BitSet;
import java.util.Collections;
import java.util.List;
import java.util.Random;
import stoplog.model.Assignment;
import stoplog.model.Claim;
import stoplog.model.Clock;
import stoplog.model.Controller;
import stoplog.model.Definition;
import stoplog.model.Expr;
import stoplog.model.FieldChange;
import stoplog.model.Model;
import stoplog.model.Role;
import stoplog.model.Variable;

/** A model with some of its variables, and all that bears on them, there twice; and its claim too. */
final class Twins {
  private final Model m;
  private final Random random;
  private final int[] other;
  private final int[] otherClock;
  private final List<Variable> variables;
  private final List<Definition> definitions;
  private final List<Clock> clocks;
  private final List<FieldChange> changes;

  private Twins(Model m, Random random) {
    this.m = m;
    this.random = random;
    this.variables = new ArrayList<>(m.variables());
    this.definitions = new ArrayList<>(m.definitions());
    this.clocks = new ArrayList<>(m.clocks());
    this.changes = new ArrayList<>(m.changes());
    this.other = new int[m.variables().size()];
    this.otherClock = new int[m.clocks().size()];
  }

  /** Of a model with one claim. */
  static Model of(Model m, Random random) {
    return new Twins(m, random).model();
  }

  private Model model() {
    BitSet power = new BitSet();
    new Reads(m).of(m.controller().powered()).stream().forEach(power::set);
    for (Variable v : m.variables()) {
      boolean twice = v.role() == Role.MONITOR || (!power.get(v.id()) && random.nextInt(5) > 0);
      other[v.id()] = twice ? variables.size() : v.id();
      if (twice) {
        variables.add(
            new Variable(
                variables.size(), v.name() + "'", v.role(), v.values(), v.initial(), v.text(), v.origin()));
      }
    }
    for (Definition d : m.definitions()) {
      definitions.add(
          new Definition(definitions.size(), d.name() + "'", other(d.value()), d.text(), d.origin()));
    }
    for (Clock c : m.clocks()) {
      otherClock[c.id()] = clocks.size();
      clocks.add(new Clock(clocks.size(), c.name() + "'", other(c.running()), c.limit(), c.origin()));
    }
    for (FieldChange c : m.changes()) {
      List<Assignment> effects = others(c.effects());
      if (!effects.isEmpty()) {
        FieldChange.Timing t = c.timing();
        changes.add(
            new FieldChange(
                changes.size(), c.text() + "'", c.cause(), other(c.guard()),
                t == null ? null : new FieldChange.Timing(otherClock[t.clock()], t.earliest(), t.latest()),
                effects, c.origin()));
      }
    }
    Controller c = m.controller();
    Claim first = m.claims().getFirst();
    var monitors = new ArrayList<Assignment>();
    first.monitors().forEach(a -> monitors.add(new Assignment(other[a.variable()], other(a.value()))));
    var second =
        new Claim(
            first.id() + "'", first.text(), first.kind(), other(first.condition()), first.forQuanta(), monitors,
            other(first.onlyWhile()), first.faultBudget(), List.of(), first.basis(), first.origin());
    return new Model(
        m.name(), m.quantumMicros(), variables, definitions, clocks, changes,
        new Controller(c.reactionQuanta(), c.coincident(), c.powered(), both(c.program())),
        both(m.start()), both(m.reactions()), List.of(without(first), second), List.of(), List.of());
  }

  /** Whose faults count is not what this is about. */
  private static Claim without(Claim c) {
    return new Claim(
        c.id(), c.text(), c.kind(), c.condition(), c.forQuanta(), c.monitors(), c.onlyWhile(),
        c.faultBudget(), List.of(), c.basis(), c.origin());
  }

  private List<Assignment> both(List<Assignment> list) {
    var both = new ArrayList<>(list);
    both.addAll(others(list));
    return both;
  }

  private List<Assignment> others(List<Assignment> list) {
    var others = new ArrayList<Assignment>();
    for (Assignment a : list) {
      if (other[a.variable()] != a.variable()) {
        others.add(new Assignment(other[a.variable()], other(a.value())));
      }
    }
    return others;
  }

  private Expr other(Expr e) {
    return switch (e) {
      case Expr.Constant c -> c;
      case Expr.Read r -> new Expr.Read(other[r.variable()]);
      case Expr.Use u -> new Expr.Use(u.definition() + m.definitions().size());
      case Expr.Not n -> new Expr.Not(other(n.operand()));
      case Expr.All a -> new Expr.All(inAnotherOrder(a.operands()));
      case Expr.Any a -> new Expr.Any(inAnotherOrder(a.operands()));
      case Expr.In i -> new Expr.In(other(i.operand()), i.values());
      case Expr.Same s -> new Expr.Same(other(s.left()), other(s.right()));
      case Expr.Choose c -> new Expr.Choose(other(c.condition()), other(c.then()), other(c.otherwise()));
      case Expr.Shift s -> new Expr.Shift(other(s.operand()), s.by());
    };
  }

  private List<Expr> inAnotherOrder(List<Expr> operands) {
    var others = new ArrayList<Expr>();
    operands.forEach(o -> others.add(other(o)));
    if (random.nextInt(3) == 0) {
      Collections.shuffle(others, random);
    }
    return others;
  }
}
