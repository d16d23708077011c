package stoplog.checker.abstraction;

import java.util.ArrayList;
import java.util.Collections;
import java.util.List;
import java.util.Random;
import stoplog.model.Assignment;
import stoplog.model.Bound;
import stoplog.model.Claim;
import stoplog.model.Clock;
import stoplog.model.Controller;
import stoplog.model.Expr;
import stoplog.model.FieldChange;
import stoplog.model.Model;
import stoplog.model.Role;
import stoplog.model.Variable;

/** One or more changes of a model. */
final class Edit {
  private final Model m;
  private final Random random;
  private final List<Variable> variables;
  private final List<Clock> clocks;
  private final List<FieldChange> changes;
  private Controller controller;
  private final List<Assignment> start;
  private final List<Assignment> reactions;
  private Claim claim;
  String done = "";

  Edit(Model m, Random random) {
    this.m = m;
    this.random = random;
    variables = new ArrayList<>(m.variables());
    clocks = new ArrayList<>(m.clocks());
    changes = new ArrayList<>(m.changes());
    controller = m.controller();
    start = new ArrayList<>(m.start());
    reactions = new ArrayList<>(m.reactions());
    claim = m.claims().getFirst();
  }

  Model model() {
    return new Model(
        m.name(), m.quantumMicros(), variables, m.definitions(), clocks, changes, controller, start,
        reactions, claims(), m.inhibits(), m.indications());
  }

  /** All but the first are left as they are. */
  private List<Claim> claims() {
    var claims = new ArrayList<>(m.claims());
    claims.set(0, claim);
    return claims;
  }

  void any() {
    int kind = changes.isEmpty() ? 11 : random.nextInt(12);
    done += kind + " ";
    switch (kind) {
      case 0 -> initial();
      case 1 -> window();
      case 2 -> changes.set(pick(changes), withEffects(changes.get(picked), assignments(changes.get(picked).effects())));
      case 3 -> guard();
      case 4 -> cause();
      case 5 -> program(assignments(controller.program()));
      case 6 -> replace(reactions);
      case 7 -> replace(start);
      case 8 -> swapped();
      case 9 -> limit();
      case 10 -> names();
      default -> added();
    }
  }

  private int picked;

  private int pick(List<?> of) {
    picked = random.nextInt(of.size());
    return picked;
  }

  private void replace(List<Assignment> list) {
    List<Assignment> with = assignments(list);
    list.clear();
    list.addAll(with);
  }

  private void program(List<Assignment> program) {
    controller =
        new Controller(
            controller.reactionQuanta(), controller.coincident(), controller.powered(), program);
  }

  /** Without one, with one more, with one turned, or in another order. */
  private List<Assignment> assignments(List<Assignment> was) {
    var list = new ArrayList<>(was);
    switch (list.isEmpty() ? 0 : random.nextInt(4)) {
      case 0 -> {
        int v = random.nextInt(variables.size());
        if (variables.get(v).role() != Role.MONITOR) {
          list.add(random.nextInt(list.size() + 1), new Assignment(v, value(v)));
        }
      }
      case 1 -> list.remove(pick(list));
      case 2 -> {
        Assignment a = list.get(pick(list));
        list.set(picked, new Assignment(a.variable(), value(a.variable())));
      }
      default -> Collections.shuffle(list, random);
    }
    return list;
  }

  private Expr value(int target) {
    int read = random.nextInt(variables.size());
    int size = variables.get(target).size();
    return variables.get(read).role() == Role.MONITOR || random.nextInt(3) == 0
        ? new Expr.Constant(random.nextInt(size))
        : variables.get(read).size() <= size && random.nextBoolean()
            ? new Expr.Read(read)
            : new Expr.In(new Expr.Read(read), 1L << random.nextInt(variables.get(read).size()));
  }

  private void initial() {
    Variable v = variables.get(pick(variables));
    long initial = 1 + random.nextLong(v.domain());
    variables.set(
        picked,
        new Variable(v.id(), v.name(), v.role(), v.values(), initial, v.text(), v.origin()));
  }

  private void window() {
    FieldChange c = changes.get(pick(changes));
    FieldChange.Timing t = c.timing();
    if (t != null) {
      Bound earliest = Bound.at(random.nextInt((int) t.earliest().quanta() + 1));
      changes.set(picked, new FieldChange(c.id(), c.text(), c.cause(), c.guard(), random.nextInt(3) == 0 ? null : new FieldChange.Timing(t.clock(), earliest, random.nextBoolean() ? null : t.latest()), c.effects(), c.origin()));
    }
  }

  private void guard() {
    FieldChange c = changes.get(pick(changes));
    int v = random.nextInt(variables.size());
    Expr guard = variables.get(v).role() == Role.MONITOR ? Expr.TRUE : Expr.is(v, random.nextInt(variables.get(v).size()));
    changes.set(picked, new FieldChange(c.id(), c.text(), c.cause(), random.nextBoolean() ? Expr.TRUE : Expr.any(guard, c.guard()), c.timing(), c.effects(), c.origin()));
  }

  private void cause() {
    FieldChange c = changes.get(pick(changes));
    var cause = c.cause() == FieldChange.Cause.FAULT ? FieldChange.Cause.PROCESS : FieldChange.Cause.FAULT;
    changes.set(picked, new FieldChange(c.id(), c.text(), cause, c.guard(), c.timing(), c.effects(), c.origin()));
  }

  private static FieldChange withEffects(FieldChange c, List<Assignment> effects) {
    return new FieldChange(c.id(), c.text(), c.cause(), c.guard(), c.timing(), effects, c.origin());
  }

  private void swapped() {
    if (random.nextInt(3) == 0) {
      controller = new Controller(random.nextInt(3), 1 + random.nextInt(3), controller.powered(), controller.program());
    } else if (random.nextBoolean()) {
      claim = new Claim(claim.id(), "", claim.kind(), claim.condition(), claim.forQuanta(), claim.monitors(), random.nextInt(3), List.of(), claim.basis(), claim.origin());
    } else {
      FieldChange c = changes.remove(pick(changes));
      for (int i = picked; i < changes.size(); i++) {
        FieldChange d = changes.get(i);
        changes.set(i, new FieldChange(i, d.text(), d.cause(), d.guard(), d.timing(), d.effects(), d.origin()));
      }
    }
  }

  private void limit() {
    if (!clocks.isEmpty()) {
      Clock c = clocks.get(pick(clocks));
      Bound limit = c.limit();
      clocks.set(picked, new Clock(c.id(), c.name(), c.running(), limit == null || random.nextBoolean() ? null : new Bound(limit.quanta() + 1, limit.closed()), c.origin()));
    }
  }

  private void names() {
    Variable a = variables.get(pick(variables));
    int at = picked;
    Variable b = variables.get(pick(variables));
    if (at != picked) {
      variables.set(at, new Variable(a.id(), b.name(), a.role(), a.values(), a.initial(), a.text(), a.origin()));
      variables.set(picked, new Variable(b.id(), a.name(), b.role(), b.values(), b.initial(), b.text(), b.origin()));
    }
  }

  private void added() {
    changes.add(new FieldChange(changes.size(), "added", random.nextInt(4) == 0 ? FieldChange.Cause.FAULT : FieldChange.Cause.PROCESS, Expr.TRUE, null, assignments(List.of()), m.variables().getFirst().origin()));
  }
}
