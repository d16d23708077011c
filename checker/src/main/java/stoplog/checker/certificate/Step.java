package stoplog.checker.certificate;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.HashMap;
import java.util.HashSet;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Set;
import stoplog.model.Assignment;
import stoplog.model.Expr;

/**
 * What one step of the plant makes of what a certificate keeps, whatever the rest is.
 *
 * <p>A variable that is not kept may have any value before the step, as long as the groups it is a
 * member of are as the state tells; one that is assigned and not exact may have any value from then
 * on. Such values are chosen when something needs them. A choice that is read at one place only need
 * not be made: the values of the expression around it are known without. After each result, choices
 * that nothing reads any more are forgotten, and what has been gone through from there on is not gone
 * through again.
 */
final class Step {
  /**
   * What has to be found out next: a condition if {@code slot} is -1, else a value to be known from then
   * on.
   *
   * @param allowed the values with which the step goes on
   * @param group the group whose value before the step it has to have instead, or -1
   * @param slots how many values are known by then
   * @param reads how often each choice is read from here on
   */
  private record Result(Term term, long allowed, int group, int slot, int slots, int[] reads) {}

  private final Known known;
  private final Map<Integer, Term> now = new HashMap<>();
  private final Map<Integer, Integer> keptSlots = new HashMap<>();
  private final List<Result> results = new ArrayList<>();
  private final List<Long> domains = new ArrayList<>();
  private final List<Integer> told = new ArrayList<>();
  private final List<Long> choices = new ArrayList<>();
  private boolean starting;
  private long turns;
  private Map<Integer, Term> definitions = new HashMap<>();

  private Step(Known known) {
    this.known = known;
  }

  /** A step of a running plant. */
  static Step of(Known known) {
    var step = new Step(known);
    for (int v : known.kept) {
      step.become(v, step.domains.size());
      step.domains.add(known.model.variable(v).domain());
    }
    for (int g = 0; g < known.groups.size(); g++) {
      step.find(step.group(known.groups.get(g)), 0, g, -1);
    }
    return step;
  }

  /** The start: each variable has one of its initial values. */
  static Step start(Known known) {
    var step = new Step(known);
    step.starting = true;
    known.kept.forEach(v -> step.decide(v, step.read(v), known.model.variable(v).initial()));
    return step;
  }

  /** Goes on only where this may hold. */
  Step when(Expr condition) {
    if (!condition.equals(Expr.TRUE)) {
      find(fresh(condition), 2, -1, -1);
    }
    return this;
  }

  Step assign(List<Assignment> assignments) {
    for (Assignment a : assignments) {
      int target = a.variable();
      long domain = known.model.variable(target).domain();
      if (!known.exact.get(target)) {
        now.put(target, choice(domain));
        continue;
      }
      Term value = fresh(a.value());
      if (keptSlots.containsKey(target)) {
        decide(target, value, domain);
        continue;
      }
      // Choices that no state of the plant has may lead outside the domain: no run there.
      if ((value.range(domains.stream().mapToLong(d -> d).toArray()) & ~domain) != 0) {
        find(new Term(Term.Kind.IN, 0, domain, List.of(value)), 2, -1, -1);
      }
      now.put(target, value);
    }
    return this;
  }

  /** The outcome is what a state of the certificate tells. */
  Step toState() {
    known.kept.forEach(v -> told.add(keptSlots.get(v)));
    known.groups.forEach(g -> tell(group(g)));
    return done();
  }

  /** The outcome is the value of one expression. */
  Step toValueOf(Expr e) {
    tell(fresh(e));
    return done();
  }

  private Step done() {
    var reads = new int[choices.size()];
    for (int i = results.size() - 1; i >= 0; i--) {
      Result r = results.get(i);
      r.term().count(reads, results.size() - i);
      results.set(
          i, new Result(r.term(), r.allowed(), r.group(), r.slot(), r.slots(), reads.clone()));
    }
    return this;
  }

  private void find(Term term, long allowed, int group, int slot) {
    results.add(new Result(term, allowed, group, slot, domains.size(), new int[0]));
  }

  private Term choice(long from) {
    choices.add(from);
    return new Term(Term.Kind.FREE, choices.size() - 1, from, List.of());
  }

  private void tell(Term value) {
    told.add(domains.size());
    find(value, -1, -1, domains.size());
    domains.add(-1L);
  }

  private void decide(int variable, Term value, long allowed) {
    find(value, allowed, -1, domains.size());
    become(variable, domains.size());
    domains.add(allowed);
  }

  private void become(int variable, int slot) {
    keptSlots.put(variable, slot);
    now.put(variable, new Term(Term.Kind.KNOWN, slot, 0, List.of()));
  }

  // Terms

  private Term fresh(Expr e) {
    definitions = new HashMap<>();
    return term(e);
  }

  private Term read(int variable) {
    Term term = now.get(variable);
    if (term == null) {
      var v = known.model.variable(variable);
      term =
          known.constants.get(variable)
              ? Term.fixed(v.initial())
              : choice(starting ? v.initial() : v.domain());
      now.put(variable, term);
    }
    return term;
  }

  private Term group(Known.Group group) {
    var members = new ArrayList<Term>();
    for (Known.Member m : group.members()) {
      members.add(new Term(Term.Kind.IN, 0, m.values(), List.of(read(m.variable()))));
    }
    return new Term(Term.Kind.AT_LEAST, group.atLeast(), 0, members);
  }

  private Term term(Expr e) {
    return switch (e) {
      case Expr.Constant c -> Term.fixed(1L << c.value());
      case Expr.Read r -> read(r.variable());
      case Expr.Use u -> {
        Term made = definitions.get(u.definition());
        if (made == null) {
          made = term(known.model.definitions().get(u.definition()).value());
          definitions.put(u.definition(), made);
        }
        yield made;
      }
      case Expr.Not n -> over(Term.Kind.NOT, 0, 0, n.operand());
      case Expr.All a -> over(Term.Kind.ALL, 0, 0, a.operands().toArray(Expr[]::new));
      case Expr.Any a -> over(Term.Kind.ANY, 0, 0, a.operands().toArray(Expr[]::new));
      case Expr.In i -> over(Term.Kind.IN, 0, i.values(), i.operand());
      case Expr.Same s -> over(Term.Kind.SAME, 0, 0, s.left(), s.right());
      case Expr.Choose c ->
          over(Term.Kind.CHOOSE, 0, 0, c.condition(), c.then(), c.otherwise());
      case Expr.Shift s -> over(Term.Kind.SHIFT, s.by(), 0, s.operand());
    };
  }

  private Term over(Term.Kind kind, int number, long set, Expr... operands) {
    return new Term(kind, number, set, Arrays.stream(operands).map(this::term).toList());
  }

  // Carrying it out

  /**
   * All outcomes.
   *
   * @param before what a state of the certificate tells; nothing for the start
   * @param pressing asked again and again; throws if there is no time left
   */
  Set<List<Integer>> from(List<Integer> before, Runnable pressing) {
    var run = new Run(before, pressing);
    run.on(0, false);
    return run.outcomes;
  }

  private final class Run {
    final Set<List<Integer>> outcomes = new LinkedHashSet<>();
    private final List<Integer> before;
    private final Runnable pressing;
    private final Term.Values values = new Term.Values(domains.size(), choices.size());
    private final Set<List<Integer>> seen = new HashSet<>();

    Run(List<Integer> before, Runnable pressing) {
      this.before = before;
      this.pressing = pressing;
      Arrays.fill(values.chosen, -1);
      for (int i = 0; i < known.kept.size() && !before.isEmpty(); i++) {
        values.known[i] = before.get(i);
      }
    }

    void on(int at, boolean branched) {
      pressing.run();
      if (at == results.size()) {
        outcomes.add(told.stream().map(slot -> values.known[slot]).toList());
        return;
      }
      Result r = results.get(at);
      if (branched && !seen.add(bearing(at, r))) {
        return;
      }
      long allowed = r.group() < 0 ? r.allowed() : 1L << before.get(known.kept.size() + r.group());
      decided(at, r, allowed, branched);
    }

    private void decided(int at, Result r, long allowed, boolean branched) {
      values.turn = ++turns;
      long possible = r.term().possible(values);
      if ((possible & allowed) == 0) {
        return;
      }
      int choice = r.term().undecided(values, r.reads());
      if (choice >= 0) {
        for (long rest = choices.get(choice); rest != 0; rest &= rest - 1) {
          values.chosen[choice] = Long.numberOfTrailingZeros(rest);
          decided(at, r, allowed, true);
        }
        values.chosen[choice] = -1;
      } else if (r.slot() < 0) {
        on(at + 1, branched);
      } else {
        long rest = possible & allowed;
        boolean several = branched || Long.bitCount(rest) > 1;
        for (; rest != 0; rest &= rest - 1) {
          values.known[r.slot()] = Long.numberOfTrailingZeros(rest);
          on(at + 1, several);
        }
      }
    }

    /** All that bears on what follows: the values known so far, and the choices read from here on. */
    private List<Integer> bearing(int at, Result r) {
      var bearing = new ArrayList<Integer>();
      bearing.add(at);
      for (int slot = before.isEmpty() ? 0 : known.kept.size(); slot < r.slots(); slot++) {
        bearing.add(values.known[slot]);
      }
      for (int choice = 0; choice < r.reads().length; choice++) {
        if (r.reads()[choice] > 0) {
          bearing.add(values.chosen[choice]);
        }
      }
      return bearing;
    }
  }
}
