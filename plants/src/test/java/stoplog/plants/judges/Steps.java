package stoplog.plants.judges;

import java.util.ArrayList;
import java.util.BitSet;
import java.util.IdentityHashMap;
import java.util.List;
import java.util.Map;
import org.jspecify.annotations.Nullable;
import stoplog.model.Assignment;
import stoplog.model.Claim;
import stoplog.model.Expr;
import stoplog.model.FieldChange;
import stoplog.model.Model;

/**
 * The start and the steps of an untimed model as truth functions, written from what the comments of
 * package {@code stoplog.model} say and from nothing else.
 *
 * <p>A state is a row of <em>numbers</em>: one for each variable, one for {@code due}, one for the faults
 * so far. A number is a truth function for each value it may have, exactly one of which is true.
 *
 * @param <B> see {@link Booleans}
 */
final class Steps<B> {
  private final Booleans<B> logic;
  private final Model model;
  private final @Nullable Claim claim;
  private final BitSet visible = new BitSet();
  private final BitSet watched = new BitSet();

  /**
   * @param claim whose condition is watched, whose monitors run and whose faults may strike; {@code
   *     null} for none
   */
  Steps(Booleans<B> logic, Model model, @Nullable Claim claim) {
    if (!model.clocks().isEmpty() || model.controller().reactionQuanta() > 0) {
      throw new IllegalArgumentException(model.name() + " is not untimed");
    }
    this.logic = logic;
    this.model = model;
    this.claim = claim;
    findWatched();
  }

  /**
   * One step: when it may happen, and the state after it.
   */
  record Step<B>(B enabled, List<List<B>> after) {}

  /** How many values each number of a state has. */
  List<Integer> sizes() {
    List<Integer> sizes = new ArrayList<>();
    model.variables().forEach(v -> sizes.add(v.size()));
    sizes.add(model.controller().coincident() + 1);
    sizes.add(budget() + 1);
    return sizes;
  }

  private int dueIndex() {
    return model.variables().size();
  }

  private int faultsIndex() {
    return dueIndex() + 1;
  }

  private int budget() {
    return claim == null ? 0 : claim.faultBudget();
  }

  /** Whether the variables, taken for their initial values, have such values. */
  B isChoice(List<List<B>> state) {
    B all = logic.constant(true);
    for (var v : model.variables()) {
      B one = logic.constant(false);
      for (int value = 0; value < v.size(); value++) {
        if ((v.initial() >>> value & 1) == 1) {
          one = logic.or(one, state.get(v.id()).get(value));
        }
      }
      all = logic.and(all, one);
    }
    return all;
  }

  /** The state in which the plant starts with these initial values. */
  List<List<B>> start(List<List<B>> chosen) {
    var values = new Values(chosen);
    values.assign(model.start());
    values.assign(model.reactions());
    values.assign(monitors());
    B scans = model.controller().program().isEmpty()
        ? logic.constant(false)
        : values.truth(model.controller().powered());
    List<List<B>> start = new ArrayList<>(values.numbers.subList(0, dueIndex()));
    start.add(number(model.controller().coincident() + 1, scans, 1, 0));
    start.add(number(budget() + 1, logic.constant(true), 0, 0));
    return start;
  }

  /** Every step that some state has. */
  List<Step<B>> steps(List<List<B>> state) {
    List<Step<B>> steps = new ArrayList<>();
    for (FieldChange c : model.changes()) {
      boolean fault = c.cause() == FieldChange.Cause.FAULT;
      if (!fault || (claim != null && claim.admits(c))) {
        steps.add(change(state, c));
      }
    }
    if (!model.controller().program().isEmpty()) {
      steps.add(scan(state));
    }
    return steps;
  }

  /** Whether the claim's condition holds and time can pass: no immediate scan is due. */
  B isGoal(List<List<B>> state) {
    Expr condition = claim == null ? Expr.FALSE : claim.condition();
    return logic.and(new Values(state).truth(condition), state.get(dueIndex()).get(0));
  }

  private Step<B> change(List<List<B>> state, FieldChange c) {
    var before = new Values(state);
    B enabled = before.truth(c.guard());
    var after = new Values(state);
    after.assign(c.effects());
    after.assign(model.reactions());
    after.assign(monitors());
    B concerned = differs(watched, state, after.numbers);
    B powered = after.truth(model.controller().powered());
    int most = model.controller().coincident();
    List<B> due = state.get(dueIndex());
    B full = due.get(most);
    enabled = logic.and(enabled, logic.not(logic.and(full, logic.and(concerned, powered))));
    List<B> raised = new ArrayList<>();
    for (int d = 0; d <= most; d++) {
      B below = d == 0 ? logic.constant(false) : due.get(d - 1);
      raised.add(logic.choose(concerned, d == most ? logic.or(below, full) : below, due.get(d)));
    }
    List<B> faults = state.get(faultsIndex());
    if (c.cause() == FieldChange.Cause.FAULT) {
      enabled = logic.and(enabled, logic.not(faults.get(budget())));
      List<B> more = new ArrayList<>();
      for (int f = 0; f <= budget(); f++) {
        more.add(f == 0 ? logic.constant(false) : faults.get(f - 1));
      }
      faults = more;
    }
    return new Step<>(enabled, after(before, after, raised, faults));
  }

  private Step<B> scan(List<List<B>> state) {
    var before = new Values(state);
    B due = logic.not(state.get(dueIndex()).get(0));
    B enabled = logic.and(due, before.truth(model.controller().powered()));
    var after = new Values(state);
    after.assign(model.controller().program());
    after.assign(model.reactions());
    after.assign(monitors());
    B another = differs(visible, state, after.numbers);
    List<B> left = number(model.controller().coincident() + 1, another, 1, 0);
    return new Step<>(enabled, after(before, after, left, state.get(faultsIndex())));
  }

  /** Power decides about {@code due}: 0 without it, 1 when it returns. */
  private List<List<B>> after(Values before, Values after, List<B> due, List<B> faults) {
    B on = model.controller().program().isEmpty()
        ? logic.constant(false)
        : after.truth(model.controller().powered());
    B was = before.truth(model.controller().powered());
    List<B> settled = new ArrayList<>();
    for (int d = 0; d < due.size(); d++) {
      B powered = logic.choose(was, due.get(d), logic.constant(d == 1));
      settled.add(logic.choose(on, powered, logic.constant(d == 0)));
    }
    List<List<B>> state = new ArrayList<>(after.numbers.subList(0, dueIndex()));
    state.add(settled);
    state.add(faults);
    return state;
  }

  private List<Assignment> monitors() {
    return claim == null ? List.of() : claim.monitors();
  }

  private B differs(BitSet among, List<List<B>> before, List<List<B>> after) {
    B some = logic.constant(false);
    for (int v : among.stream().toArray()) {
      if (before.get(v) != after.get(v)) {
        some = logic.or(some, logic.not(sameNumber(before.get(v), after.get(v))));
      }
    }
    return some;
  }

  private B sameNumber(List<B> left, List<B> right) {
    B some = logic.constant(false);
    for (int v = 0; v < Math.min(left.size(), right.size()); v++) {
      some = logic.or(some, logic.and(left.get(v), right.get(v)));
    }
    return some;
  }

  private List<B> number(int size, B condition, int then, int otherwise) {
    List<B> number = new ArrayList<>();
    for (int v = 0; v < size; v++) {
      number.add(
          logic.choose(condition, logic.constant(v == then), logic.constant(v == otherwise)));
    }
    return number;
  }

  /** See {@link stoplog.model.Controller}: what the program reads before it has assigned it, and more. */
  private void findWatched() {
    var assigned = new BitSet();
    for (Assignment a : model.controller().program()) {
      BitSet read = reads(a.value());
      read.andNot(assigned);
      visible.or(read);
      assigned.set(a.variable());
    }
    model.start().forEach(a -> watched.or(reads(a.value())));
    model.reactions().forEach(a -> watched.or(reads(a.value())));
    for (FieldChange c : model.changes()) {
      watched.or(reads(c.guard()));
      c.effects().forEach(a -> watched.or(reads(a.value())));
    }
    watched.or(reads(model.controller().powered()));
    if (claim != null) {
      watched.or(reads(claim.condition()));
      claim.monitors().forEach(a -> watched.or(reads(a.value())));
    }
    watched.and(assigned);
    watched.or(visible);
  }

  private BitSet reads(Expr e) {
    return Expr.variables(e, model.definitions());
  }

  /** Values in the midst of a step, and what expressions make of them. */
  private final class Values {
    private final List<List<B>> numbers;
    private final Map<Expr, List<B>> known = new IdentityHashMap<>();
    private final List<@Nullable List<B>> definitions = new ArrayList<>();

    Values(List<List<B>> numbers) {
      this.numbers = new ArrayList<>(numbers);
      forget();
    }

    private void forget() {
      known.clear();
      definitions.clear();
      model.definitions().forEach(d -> definitions.add(null));
    }

    void assign(List<Assignment> assignments) {
      for (Assignment a : assignments) {
        List<B> value = new ArrayList<>(number(a.value()));
        int size = model.variable(a.variable()).size();
        while (value.size() < size) {
          value.add(logic.constant(false));
        }
        numbers.set(a.variable(), List.copyOf(value.subList(0, size)));
        forget();
      }
    }

    B truth(Expr e) {
      List<B> value = number(e);
      return value.size() > 1 ? value.get(1) : logic.constant(false);
    }

    private List<B> of(B truth) {
      return List.of(logic.not(truth), truth);
    }

    private List<B> number(Expr e) {
      @Nullable List<B> value = known.get(e);
      if (value == null) {
        value = evaluate(e);
        known.put(e, value);
      }
      return value;
    }

    private List<B> evaluate(Expr e) {
      return switch (e) {
        case Expr.Constant c -> constant(c.value());
        case Expr.Read r -> numbers.get(r.variable());
        case Expr.Use u -> definition(u.definition());
        case Expr.Not n -> of(logic.not(truth(n.operand())));
        case Expr.All a -> {
          B all = logic.constant(true);
          for (Expr o : a.operands()) {
            all = logic.and(all, truth(o));
          }
          yield of(all);
        }
        case Expr.Any a -> {
          B any = logic.constant(false);
          for (Expr o : a.operands()) {
            any = logic.or(any, truth(o));
          }
          yield of(any);
        }
        case Expr.In i -> {
          B any = logic.constant(false);
          List<B> operand = number(i.operand());
          for (int v = 0; v < operand.size(); v++) {
            any = (i.values() >>> v & 1) == 1 ? logic.or(any, operand.get(v)) : any;
          }
          yield of(any);
        }
        case Expr.Same s -> of(sameNumber(number(s.left()), number(s.right())));
        case Expr.Choose c -> chosen(truth(c.condition()), number(c.then()), number(c.otherwise()));
        case Expr.Shift s -> shifted(number(s.operand()), s.by());
      };
    }

    private List<B> definition(int id) {
      List<B> value = definitions.get(id);
      if (value == null) {
        value = number(model.definitions().get(id).value());
        definitions.set(id, value);
      }
      return value;
    }

    private List<B> constant(int value) {
      List<B> number = new ArrayList<>();
      for (int v = 0; v <= value; v++) {
        number.add(logic.constant(v == value));
      }
      return number;
    }

    private List<B> chosen(B condition, List<B> then, List<B> otherwise) {
      List<B> number = new ArrayList<>();
      B no = logic.constant(false);
      for (int v = 0; v < Math.max(then.size(), otherwise.size()); v++) {
        number.add(
            logic.choose(
                condition,
                v < then.size() ? then.get(v) : no,
                v < otherwise.size() ? otherwise.get(v) : no));
      }
      return number;
    }

    private List<B> shifted(List<B> operand, int by) {
      List<B> number = new ArrayList<>();
      for (int v = 0; v < Math.min(64, operand.size() + Math.max(0, by)); v++) {
        int from = v - by;
        boolean has = from >= 0 && from < operand.size();
        number.add(has ? operand.get(from) : logic.constant(false));
      }
      return number;
    }
  }
}
