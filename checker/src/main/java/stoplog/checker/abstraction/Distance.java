package stoplog.checker.abstraction;

import java.util.ArrayDeque;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.BitSet;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.function.Predicate;
import stoplog.model.Assignment;
import stoplog.model.Claim;
import stoplog.model.Expr;
import stoplog.model.FieldChange;
import stoplog.model.Model;

/**
 * An estimate of how many steps a claim's condition is away from a state: what it would take if nothing
 * that has once been so ever ceased to be, and if things that must be so together were brought about one
 * after the other (the additive heuristic of B. Bonet and H. Geffner, "Planning as heuristic search",
 * 2001). It only says where to look first: it may be too large and too small, except that {@link
 * #NEVER} is sure.
 *
 * <p>Every expression is a row of costs, one for each value it may have; costs only fall, and what
 * reads a row is gone through again when one of its costs has fallen. Only what the claim depends on is
 * looked at. For one thread.
 */
final class Distance {
  /** The condition can never be met again. */
  static final int NEVER = 1 << 24;

  private static final int SCAN_COST = 1;
  private static final int STEP_COST = 2;

  private final Model model;
  private final List<Row> rows = new ArrayList<>();
  private final Row[] ofVariable;
  private final Map<Integer, Row> ofDefinition = new HashMap<>();
  private final List<Rule> rules = new ArrayList<>();
  private final Row goal;
  private final BitSet dirtyRows = new BitSet();
  private final BitSet dirtyRules = new BitSet();

  /** How an expression comes by its costs. */
  private interface Reckoning {
    int of(int value);
  }

  private static final class Row {
    private final int number;
    private final int[] costs;
    private final Reckoning reckoning;
    private final List<Row> readBy = new ArrayList<>();
    private final List<Rule> usedBy = new ArrayList<>();

    Row(int number, int size, Reckoning reckoning) {
      this.number = number;
      this.costs = new int[size];
      this.reckoning = reckoning;
    }

    int cost(int value) {
      return value >= 0 && value < costs.length ? costs[value] : NEVER;
    }

    int isSo() {
      return cost(1);
    }

    int isNot() {
      return cost(0);
    }
  }

  /** A variable takes the value of an expression, at a price, if all of these hold. */
  private record Rule(int number, List<Row> when, int price, Row target, Row value) {}

  /**
   * @param condition the claim's, or a part of it
   * @param happening the changes that may happen at all
   */
  Distance(Reads reads, Claim claim, Expr condition, Predicate<FieldChange> happening) {
    this.model = reads.model();
    this.ofVariable = new Row[model.variables().size()];
    BitSet bearing = bearing(reads, claim);
    for (FieldChange c : model.changes()) {
      if (c.effects().stream().anyMatch(e -> bearing.get(e.variable())) && claim.admits(c)
          && happening.test(c)) {
        var when = new ArrayList<Row>(List.of(row(c.guard())));
        FieldChange.Timing timing = c.timing();
        if (timing != null) {
          when.add(row(model.clocks().get(timing.clock()).running()));
        }
        c.effects().forEach(e -> rule(when, STEP_COST, e, bearing));
      }
    }
    List<Row> powered = List.of(row(model.controller().powered()));
    model.controller().program().forEach(a -> rule(powered, SCAN_COST, a, bearing));
    model.reactions().forEach(a -> rule(List.of(), 0, a, bearing));
    claim.monitors().forEach(a -> rule(List.of(), 0, a, bearing));
    this.goal = row(condition);
  }

  /** Variables on which the claim's condition depends, however far back. In time linear in the model. */
  static BitSet bearing(Reads reads, Claim claim) {
    Model model = reads.model();
    var assigning = new HashMap<Integer, List<Assignment>>();
    model.controller().program().forEach(a -> listOf(assigning, a.variable()).add(a));
    model.reactions().forEach(a -> listOf(assigning, a.variable()).add(a));
    claim.monitors().forEach(a -> listOf(assigning, a.variable()).add(a));
    BitSet found = reads.of(claim.condition());
    found.or(reads.of(model.controller().powered()));
    var open = new ArrayDeque<Integer>();
    found.stream().forEach(open::add);
    while (!open.isEmpty()) {
      int v = open.remove();
      BitSet read = new BitSet();
      listOf(assigning, v).forEach(a -> read.or(reads.of(a.value())));
      for (FieldChange c : reads.changesOf(v)) {
        reads.ofChange(c.id(), read);
        FieldChange.Timing timing = c.timing();
        if (timing != null) {
          read.or(reads.ofClock(timing.clock()));
        }
      }
      read.andNot(found);
      read.stream().forEach(open::add);
      found.or(read);
    }
    return found;
  }

  private static List<Assignment> listOf(Map<Integer, List<Assignment>> lists, int variable) {
    return lists.computeIfAbsent(variable, v -> new ArrayList<>());
  }

  private void rule(List<Row> when, int price, Assignment a, BitSet bearing) {
    if (!bearing.get(a.variable())) {
      return;
    }
    var rule = new Rule(rules.size(), when, price, variable(a.variable()), row(a.value()));
    rules.add(rule);
    when.forEach(w -> w.usedBy.add(rule));
    rule.value().usedBy.add(rule);
  }

  private Row variable(int v) {
    Row row = ofVariable[v];
    if (row == null) {
      row = added(model.variable(v).size(), value -> NEVER);
      ofVariable[v] = row;
    }
    return row;
  }

  private Row added(int size, Reckoning reckoning, Row... read) {
    var row = new Row(rows.size(), size, reckoning);
    rows.add(row);
    for (Row r : read) {
      r.readBy.add(row);
    }
    return row;
  }

  private Row row(Expr e) {
    return switch (e) {
      case Expr.Constant c -> added(c.value() + 1, v -> v == c.value() ? 0 : NEVER);
      case Expr.Read r -> variable(r.variable());
      case Expr.Use u -> {
        Row known = ofDefinition.get(u.definition());
        if (known == null) {
          known = row(model.definitions().get(u.definition()).value());
          ofDefinition.put(u.definition(), known);
        }
        yield known;
      }
      case Expr.Not n -> {
        Row o = row(n.operand());
        yield added(2, v -> o.cost(1 - v), o);
      }
      case Expr.All a -> {
        Row[] all = a.operands().stream().map(this::row).toArray(Row[]::new);
        yield added(2, v -> v == 1 ? sum(all, 1) : least(all, 0), all);
      }
      case Expr.Any a -> {
        Row[] all = a.operands().stream().map(this::row).toArray(Row[]::new);
        yield added(2, v -> v == 1 ? least(all, 1) : sum(all, 0), all);
      }
      case Expr.In i -> {
        Row o = row(i.operand());
        yield added(2, v -> least(o, v == 1 ? i.values() : ~i.values()), o);
      }
      case Expr.Same s -> {
        Row l = row(s.left());
        Row r = row(s.right());
        yield added(2, v -> compared(l, r, v == 1), l, r);
      }
      case Expr.Choose c -> {
        Row when = row(c.condition());
        Row then = row(c.then());
        Row otherwise = row(c.otherwise());
        yield added(
            Math.max(then.costs.length, otherwise.costs.length),
            v ->
                Math.min(
                    plus(when.isSo(), then.cost(v)), plus(when.isNot(), otherwise.cost(v))),
            when,
            then,
            otherwise);
      }
      case Expr.Shift s -> {
        Row o = row(s.operand());
        yield added(Math.max(2, o.costs.length + s.by()), v -> o.cost(v - s.by()), o);
      }
    };
  }

  private static int plus(int a, int b) {
    return Math.min(NEVER, a + b);
  }

  private static int sum(Row[] rows, int value) {
    int sum = 0;
    for (Row r : rows) {
      sum = plus(sum, r.cost(value));
    }
    return sum;
  }

  private static int least(Row[] rows, int value) {
    int least = NEVER;
    for (Row r : rows) {
      least = Math.min(least, r.cost(value));
    }
    return least;
  }

  private static int least(Row row, long values) {
    int least = NEVER;
    for (int v = 0; v < row.costs.length; v++) {
      if ((values >>> v & 1) == 1) {
        least = Math.min(least, row.costs[v]);
      }
    }
    return least;
  }

  private static int compared(Row left, Row right, boolean same) {
    int least = NEVER;
    for (int l = 0; l < left.costs.length; l++) {
      for (int r = 0; r < right.costs.length; r++) {
        if ((l == r) == same) {
          least = Math.min(least, plus(left.costs[l], right.costs[r]));
        }
      }
    }
    return least;
  }

  /** Gives a state's values to the rows. */
  interface Values {
    /** The value a variable has, or -1 if it has none between steps. */
    int of(int variable);
  }

  /** How far away the condition is; 0 where it holds. */
  int from(Values state) {
    for (Row r : rows) {
      Arrays.fill(r.costs, NEVER);
    }
    for (int v = 0; v < ofVariable.length; v++) {
      int value = ofVariable[v] == null ? -1 : state.of(v);
      if (value >= 0) {
        ofVariable[v].costs[value] = 0;
      }
    }
    dirtyRows.set(0, rows.size());
    dirtyRules.set(0, rules.size());
    while (!dirtyRows.isEmpty()) {
      // Rows stand before the rows that read them.
      for (int r = dirtyRows.nextSetBit(0); r >= 0; r = dirtyRows.nextSetBit(r + 1)) {
        dirtyRows.clear(r);
        reckon(rows.get(r));
      }
      for (int r = dirtyRules.nextSetBit(0); r >= 0; r = dirtyRules.nextSetBit(r + 1)) {
        dirtyRules.clear(r);
        apply(rules.get(r));
      }
    }
    return goal.isSo();
  }

  private void reckon(Row row) {
    for (int v = 0; v < row.costs.length; v++) {
      lower(row, v, row.reckoning.of(v));
    }
  }

  private void lower(Row row, int value, int cost) {
    if (cost < row.costs[value]) {
      row.costs[value] = cost;
      row.readBy.forEach(r -> dirtyRows.set(r.number));
      row.usedBy.forEach(r -> dirtyRules.set(r.number()));
    }
  }

  private void apply(Rule rule) {
    int price = rule.price();
    for (Row w : rule.when()) {
      price = plus(price, w.isSo());
    }
    int values = Math.min(rule.value().costs.length, rule.target().costs.length);
    for (int v = 0; price < NEVER && v < values; v++) {
      lower(rule.target(), v, plus(price, rule.value().costs[v]));
    }
  }
}
