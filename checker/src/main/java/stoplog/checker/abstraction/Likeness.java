package stoplog.checker.abstraction;

import java.util.ArrayDeque;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.BitSet;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import org.jspecify.annotations.Nullable;
import stoplog.model.Assignment;
import stoplog.model.Claim;
import stoplog.model.Clock;
import stoplog.model.Expr;
import stoplog.model.FieldChange;
import stoplog.model.Model;
import stoplog.model.Trace;
import stoplog.model.Variable;

/**
 * What takes the place of what, from one claim of a model to another about like things: P-201 and its
 * valve for P-101 and its valve, the power supply for itself. Found by going through both claims side by
 * side, and on through what assigns the variables they name.
 *
 * <p>It is a guess: it looks for no second way where the first leads nowhere, and says nothing of what it
 * has not come by. Whoever uses it compares the {@link QuestionText}s, or replays the run. Every variable
 * and every clock takes the place of one at most.
 */
final class Likeness {
  /** Pairs of expressions looked at before it counts as not found. */
  private static final int PATIENCE = 30_000;

  private final Reads reads;
  private final Model model;
  private final Kept there;

  private final Pairs variables = new Pairs();
  private final Pairs clocks = new Pairs();
  private final Pairs changes = new Pairs();
  private final Pairs definitions = new Pairs();
  private final ArrayDeque<Runnable> undoing = new ArrayDeque<>();
  private final ArrayDeque<Integer> met = new ArrayDeque<>();
  private int patience = PATIENCE;
  private boolean strangeTold;

  /** What stands for what, both ways. */
  private static final class Pairs {
    private final Map<Integer, Integer> to = new HashMap<>();
    private final Map<Integer, Integer> from = new HashMap<>();

    boolean has(int a, int b) {
      return to.getOrDefault(a, -1) == b;
    }

    boolean isFree(int a, int b) {
      return !to.containsKey(a) && !from.containsKey(b);
    }

    void put(int a, int b) {
      to.put(a, b);
      from.put(b, a);
    }

    void remove(int a, int b) {
      to.remove(a, b);
      from.remove(b, a);
    }
  }

  private Likeness(Reads reads, Kept there) {
    this.reads = reads;
    this.model = reads.model();
    this.there = there;
  }

  /**
   * From one claim to another; null if none is found.
   *
   * @param there what a search for the first claim keeps: all of it has to be found again
   */
  static @Nullable Likeness of(Reads reads, Claim from, Claim to, Kept there) {
    var likeness = new Likeness(reads, there);
    return likeness.claims(from, to) && likeness.goesOn(there.followed()) ? likeness : null;
  }

  private boolean claims(Claim from, Claim to) {
    Expr powered = model.controller().powered();
    return alike(from.condition(), to.condition())
        && alike(from.onlyWhile(), to.onlyWhile())
        && from.monitors().size() == to.monitors().size()
        && each(from.monitors(), to.monitors(), this::assignments)
        && alike(powered, powered);
  }

  /**
   * Goes through what moves the wanted variables, as they are met, until all of them are paired. What stands
   * for itself comes last: it tends to have to do with all like things, and says little of which is which.
   */
  private boolean goesOn(BitSet wanted) {
    var left = new ArrayDeque<Integer>();
    var selves = new ArrayDeque<Integer>();
    while (!met.isEmpty() || !selves.isEmpty()) {
      boolean others = !met.isEmpty();
      int variable = others ? met.poll() : selves.poll();
      if (!wanted.get(variable)) {
        left.add(variable);
      } else if (others && variables.has(variable, variable)) {
        selves.add(variable);
      } else if (!moversOf(variable)) {
        return false;
      }
    }
    met.addAll(left);
    return wanted.stream().allMatch(variables.to::containsKey);
  }

  private boolean moversOf(int variable) {
    int other = variables.to.getOrDefault(variable, -1);
    return assigned(reads.program(), variable, reads.program(), other)
        && assigned(reads.start(), variable, reads.start(), other)
        && assigned(reads.reactions(), variable, reads.reactions(), other)
        && inAnyOrder(
            reads.changesOf(variable), reads.changesOf(other),
            (a, b) -> changes(a, b) && assigned(reads.effects(a), variable, reads.effects(b), other))
        && inAnyOrder(
            reads.clocksReading(variable), reads.clocksReading(other), this::clocksOrUnknown);
  }

  private boolean assigned(Assignments in, int variable, Assignments otherIn, int other) {
    int[] places = in.placesOf(variable);
    int[] others = otherIn.placesOf(other);
    boolean alike = places.length == others.length;
    for (int i = 0; alike && i < places.length; i++) {
      alike = alike(in.at(places[i]).value(), otherIn.at(others[i]).value());
    }
    return alike;
  }

  private boolean assignments(Assignment a, Assignment b) {
    return variables(a.variable(), b.variable()) && alike(a.value(), b.value());
  }

  private boolean changes(FieldChange a, FieldChange b) {
    if (changes.has(a.id(), b.id())) {
      return true;
    }
    FieldChange.Timing s = a.timing();
    FieldChange.Timing t = b.timing();
    boolean timed =
        s == null || t == null
            ? s == t
            : s.earliest().equals(t.earliest())
                && Objects.equals(s.latest(), t.latest())
                && clocks(s.clock(), t.clock());
    return timed && a.cause() == b.cause() && paired(changes, a.id(), b.id()) && alike(a.guard(), b.guard());
  }

  /** A clock that depends on more than is paired may be no concern of the search. */
  private boolean clocksOrUnknown(int a, int b) {
    return tried(a, b, this::clocks) || !KeptClocks.keeps(reads, a, there, new BitSet());
  }

  private boolean clocks(int a, int b) {
    if (clocks.has(a, b)) {
      return true;
    }
    Clock s = model.clocks().get(a);
    Clock t = model.clocks().get(b);
    return Objects.equals(s.limit(), t.limit())
        && paired(clocks, a, b)
        && alike(s.running(), t.running());
  }

  private boolean variables(int a, int b) {
    if (variables.has(a, b)) {
      return true;
    }
    Variable s = model.variable(a);
    Variable t = model.variable(b);
    if (s.size() != t.size() || s.initial() != t.initial() || s.role() != t.role() || !paired(variables, a, b)) {
      return false;
    }
    met.add(a);
    undoing.push(() -> met.removeLastOccurrence(a));
    return true;
  }

  private boolean paired(Pairs pairs, int a, int b) {
    if (!pairs.isFree(a, b)) {
      return false;
    }
    pairs.put(a, b);
    undoing.push(() -> pairs.remove(a, b));
    return true;
  }

  private boolean alike(Expr a, Expr b) {
    if (--patience < 0) {
      return false;
    }
    if (a instanceof Expr.Use u && b instanceof Expr.Use v) {
      return definitions.has(u.definition(), v.definition())
          || alike(meaning(u), meaning(v)) && paired(definitions, u.definition(), v.definition());
    }
    if (b instanceof Expr.Use v && !(a instanceof Expr.Use)) {
      return alike(a, meaning(v));
    }
    return switch (a) {
      case Expr.Constant c -> b instanceof Expr.Constant d && c.value() == d.value();
      case Expr.Read r -> b instanceof Expr.Read s && variables(r.variable(), s.variable());
      case Expr.Use u -> alike(meaning(u), b);
      case Expr.Not n -> b instanceof Expr.Not m && alike(n.operand(), m.operand());
      case Expr.All x -> b instanceof Expr.All y && inAnyOrder(x.operands(), y.operands(), this::alike);
      case Expr.Any x -> b instanceof Expr.Any y && inAnyOrder(x.operands(), y.operands(), this::alike);
      case Expr.In i -> b instanceof Expr.In j && i.values() == j.values() && alike(i.operand(), j.operand());
      case Expr.Same s ->
          b instanceof Expr.Same t && alike(s.left(), t.left()) && alike(s.right(), t.right());
      case Expr.Choose c ->
          b instanceof Expr.Choose d
              && alike(c.condition(), d.condition())
              && alike(c.then(), d.then())
              && alike(c.otherwise(), d.otherwise());
      case Expr.Shift s -> b instanceof Expr.Shift t && s.by() == t.by() && alike(s.operand(), t.operand());
    };
  }

  private Expr meaning(Expr.Use use) {
    return model.definitions().get(use.definition()).value();
  }

  private interface Test<T> {
    boolean holds(T a, T b);
  }

  private static <T> boolean each(List<T> as, List<T> bs, Test<T> test) {
    for (int i = 0; i < as.size(); i++) {
      if (!test.holds(as.get(i), bs.get(i))) {
        return false;
      }
    }
    return true;
  }

  /** Each with the first that will do, that in the same place before all others. */
  private <T> boolean inAnyOrder(List<T> as, List<T> bs, Test<T> test) {
    if (as.size() != bs.size()) {
      return false;
    }
    boolean[] used = new boolean[bs.size()];
    for (int i = 0; i < as.size(); i++) {
      int found = -1;
      for (int turn = 0; turn <= bs.size() && found < 0; turn++) {
        int j = turn == 0 ? i : turn - 1;
        if (!used[j] && tried(as.get(i), bs.get(j), test)) {
          found = j;
        }
      }
      if (found < 0) {
        return false;
      }
      used[found] = true;
    }
    return true;
  }

  /** Leaves nothing paired where it fails. */
  private <T> boolean tried(T a, T b, Test<T> test) {
    int before = undoing.size();
    boolean holds = test.holds(a, b);
    while (!holds && undoing.size() > before) {
      undoing.pop().run();
    }
    return holds;
  }

  /** What a search for the other claim keeps. */
  Kept kept() {
    BitSet variablesHere = new BitSet();
    there.variables().stream().forEach(v -> variablesHere.set(here(v)));
    List<Group> groups =
        there.groups().stream()
            .map(g -> new Group(g.atLeast(), g.members().stream().map(m -> new Group.Member(here(m.variable()), m.values())).toList()))
            .toList();
    return new Kept(variablesHere, there.due(), groups);
  }

  private int here(int variable) {
    return variables.to.getOrDefault(variable, variable);
  }

  /**
   * The question about the other claim in the names of the first claim's things; null if it is about
   * something that takes no one's place.
   */
  @Nullable String question(Claim other) {
    strangeTold = false;
    String text =
        QuestionText.of(
            reads, other, kept(),
            new QuestionText.Names(
                v -> model.variable(first(variables, v)).name(),
                c -> model.clocks().get(first(clocks, c)).name()));
    return strangeTold ? null : text;
  }

  private int first(Pairs pairs, int other) {
    Integer from = pairs.from.get(other);
    strangeTold |= from == null;
    return from == null ? other : from;
  }

  /** The names of the other claim's things for those of the first. */
  List<String> of(List<String> names) {
    Map<String, Integer> indices = reads.indices();
    return names.stream().map(n -> model.variable(here(indices.getOrDefault(n, 0))).name()).toList();
  }

  /** The other claim's clock for one of the first, by name; its own name if nothing takes its place. */
  String clock(String name) {
    for (Clock c : model.clocks()) {
      if (c.name().equals(name)) {
        return model.clocks().get(clocks.to.getOrDefault(c.id(), c.id())).name();
      }
    }
    return name;
  }

  /**
   * The run with everything in the other's place, as far as that is known, and all else as it was. Goes on
   * looking for what it moves.
   */
  Trace of(Trace trace) {
    widen(trace);
    Integer[] start = trace.start().toArray(Integer[]::new);
    variables.to.forEach((a, b) -> start[b] = trace.start().get(a));
    variables.to.forEach((a, b) -> {
      if (!variables.from.containsKey(a)) {
        start[a] = trace.start().get(b);
      }
    });
    List<Trace.Step> steps =
        trace.steps().stream()
            .map(s -> s.isScan() ? s : new Trace.Step(s.tick(), changes.to.getOrDefault(s.change(), s.change())))
            .toList();
    return new Trace(trace.ticksPerQuantum(), Arrays.asList(start), steps, trace.endTick());
  }

  /** Goes through what moves the variables that were met, until all that happens in the run is paired. */
  private void widen(Trace trace) {
    BitSet open = new BitSet();
    trace.steps().stream().filter(s -> !s.isScan()).forEach(s -> open.set(s.change()));
    var given = new ArrayList<Integer>();
    while (!met.isEmpty() && patience > 0) {
      open.stream().filter(changes.to::containsKey).boxed().forEach(given::add);
      given.forEach(open::clear);
      given.clear();
      if (open.isEmpty()) {
        return;
      }
      int variable = met.poll();
      tried(variable, variable, (a, b) -> moversOf(a));
    }
  }
}
