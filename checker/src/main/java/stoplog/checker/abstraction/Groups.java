package stoplog.checker.abstraction;

import java.util.ArrayList;
import java.util.BitSet;
import java.util.Collection;
import java.util.HashMap;
import java.util.LinkedHashMap;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Set;
import org.jspecify.annotations.Nullable;
import stoplog.model.Assignment;
import stoplog.model.Claim;
import stoplog.model.Definition;
import stoplog.model.Expr;
import stoplog.model.FieldChange;
import stoplog.model.Model;

/**
 * Recognises expressions that ask about a {@link Group} and nothing else: disjunctions, conjunctions
 * and counts of single variables' values, directly or through definitions, negated or not.
 */
final class Groups {
  /** A single member tells no more than its variable. */
  private static final int FEWEST_MEMBERS = 2;

  /**
   * Members from which on a search begins with a group rather than with them, and one is offered. Fewer are
   * as well kept one by one: with groups of three or four offered, two claims of a shipped plant were no
   * longer decided.
   */
  static final int MANY_MEMBERS = 5;

  private final Model model;

  /** The groups that each definition asks about. */
  private final Map<Integer, Set<Group>> ofDefinition = new HashMap<>();

  Groups(Model model) {
    this.model = model;
  }

  /** All groups that the steps and the clocks of the model, or what the claim asks, are about. */
  Set<Group> all(Claim claim) {
    var found = new LinkedHashSet<Group>();
    for (Definition d : model.definitions()) {
      found.addAll(in(new Expr.Use(d.id())));
    }
    addAll(model.controller().program(), found);
    addAll(model.reactions(), found);
    for (FieldChange c : model.changes()) {
      found.addAll(in(c.guard()));
      addAll(c.effects(), found);
    }
    model.clocks().forEach(c -> found.addAll(in(c.running())));
    found.addAll(in(claim.condition()));
    addAll(claim.monitors(), found);
    return found;
  }

  private void addAll(List<Assignment> assignments, Set<Group> found) {
    assignments.forEach(a -> found.addAll(in(a.value())));
  }

  /** The groups that an expression asks about. */
  Set<Group> in(Expr e) {
    var found = new LinkedHashSet<Group>();
    collect(e, found);
    return found;
  }

  private void collect(Expr e, Set<Group> found) {
    switch (e) {
      case Expr.Constant c -> {}
      case Expr.Read r -> {}
      case Expr.Use u -> {
        Set<Group> known = ofDefinition.get(u.definition());
        if (known == null) {
          known = in(model.definitions().get(u.definition()).value());
          ofDefinition.put(u.definition(), known);
        }
        found.addAll(known);
      }
      case Expr.Not n -> collect(n.operand(), found);
      case Expr.All a -> collect(e, a.operands(), found);
      case Expr.Any a -> collect(e, a.operands(), found);
      case Expr.In i -> {
        Collection<Group> counted = counted(i);
        if (counted == null) {
          collect(i.operand(), found);
        } else {
          found.addAll(counted);
        }
      }
      case Expr.Same s -> {
        collect(s.left(), found);
        collect(s.right(), found);
      }
      case Expr.Choose c -> {
        collect(c.condition(), found);
        collect(c.then(), found);
        collect(c.otherwise(), found);
      }
      case Expr.Shift s -> collect(s.operand(), found);
    }
  }

  private void collect(Expr e, List<Expr> operands, Set<Group> found) {
    Parted parted = parted(e);
    if (parted.group() != null) {
      found.add(parted.group());
    }
    operands.forEach(o -> collect(o, found));
  }

  /** What an expression reads, apart from what the groups given tell. A fresh set. */
  BitSet readsBeside(Expr e, Collection<Group> kept) {
    BitSet read = new BitSet();
    beside(e, kept, read, new BitSet());
    return read;
  }

  private void beside(Expr e, Collection<Group> kept, BitSet read, BitSet used) {
    switch (e) {
      case Expr.Constant c -> {}
      case Expr.Read r -> read.set(r.variable());
      case Expr.Use u -> {
        if (!used.get(u.definition())) {
          used.set(u.definition());
          beside(model.definitions().get(u.definition()).value(), kept, read, used);
        }
      }
      case Expr.Not n -> beside(n.operand(), kept, read, used);
      case Expr.All a -> beside(e, a.operands(), kept, read, used);
      case Expr.Any a -> beside(e, a.operands(), kept, read, used);
      case Expr.In i -> {
        Collection<Group> counted = counted(i);
        if (counted == null || counted.isEmpty() || !kept.containsAll(counted)) {
          beside(i.operand(), kept, read, used);
        }
      }
      case Expr.Same s -> {
        beside(s.left(), kept, read, used);
        beside(s.right(), kept, read, used);
      }
      case Expr.Choose c -> {
        beside(c.condition(), kept, read, used);
        beside(c.then(), kept, read, used);
        beside(c.otherwise(), kept, read, used);
      }
      case Expr.Shift s -> beside(s.operand(), kept, read, used);
    }
  }

  private void beside(
      Expr e, List<Expr> operands, Collection<Group> kept, BitSet read, BitSet used) {
    Parted parted = parted(e);
    List<Expr> rest =
        parted.group() != null && kept.contains(parted.group()) ? parted.others() : operands;
    rest.forEach(o -> beside(o, kept, read, used));
  }

  /**
   * A disjunction (or the denial of a conjunction) as a group and other disjuncts, of which it is enough
   * to know whether they hold; no group if too few of them ask for one variable's value.
   */
  private record Parted(@Nullable Group group, List<Expr> others) {}

  private Parted parted(Expr e) {
    var members = new LinkedHashMap<Integer, Long>();
    var others = new ArrayList<Expr>();
    part(e, e instanceof Expr.Any, members, others, new BitSet());
    if (members.size() < FEWEST_MEMBERS) {
      return new Parted(null, others);
    }
    var list = new ArrayList<Group.Member>();
    members.forEach((v, values) -> list.add(new Group.Member(v, values)));
    return new Parted(new Group(1, list), others);
  }

  /** Adds what the expression, taken as it is or denied, is a disjunction of. */
  private void part(
      Expr e, boolean asIs, Map<Integer, Long> members, List<Expr> others, BitSet used) {
    Group.Member member = member(e, asIs);
    if (member != null) {
      members.merge(member.variable(), member.values(), (a, b) -> a | b);
      return;
    }
    switch (e) {
      case Expr.Any a when asIs -> a.operands().forEach(o -> part(o, true, members, others, used));
      case Expr.All a when !asIs -> a.operands().forEach(o -> part(o, false, members, others, used));
      case Expr.Not n -> part(n.operand(), !asIs, members, others, used);
      case Expr.Use u -> {
        Expr value = model.definitions().get(u.definition()).value();
        if (joins(value, asIs)) {
          // Once is enough, whichever way it is denied on the way there: a definition of its kind joins
          // in one way only.
          if (!used.get(u.definition())) {
            used.set(u.definition());
            part(value, asIs, members, others, used);
          }
        } else {
          others.add(e);
        }
      }
      default -> others.add(e);
    }
  }

  private static boolean joins(Expr e, boolean asIs) {
    return asIs ? e instanceof Expr.Any : e instanceof Expr.All;
  }

  /** The expression, taken as it is or denied, if it asks for one variable's value; else null. */
  private Group.@Nullable Member member(Expr e, boolean asIs) {
    return switch (e) {
      case Expr.Read r -> new Group.Member(r.variable(), asIs ? 2 : 1);
      case Expr.In(Expr.Read(int v), long values) -> {
        long domain = model.variable(v).domain();
        yield new Group.Member(v, asIs ? values & domain : domain & ~values);
      }
      case Expr.Not n -> member(n.operand(), !asIs);
      case Expr.Use u -> member(model.definitions().get(u.definition()).value(), asIs);
      default -> null;
    };
  }

  /**
   * If this asks how many of several variables have certain values, the groups that tell: one for each
   * number at which the answer turns over. Otherwise null.
   */
  private @Nullable Collection<Group> counted(Expr.In in) {
    var members = new LinkedHashMap<Integer, Long>();
    Expr sum = in.operand();
    while (true) {
      while (sum instanceof Expr.Use u) {
        sum = model.definitions().get(u.definition()).value();
      }
      if (sum instanceof Expr.Constant(int value) && value == 0) {
        break;
      }
      if (!(sum instanceof Expr.Choose(Expr one, Expr.Shift(Expr more, int by), Expr before))
          || by != 1
          || !more.equals(before)) {
        return null;
      }
      Group.Member m = member(one, true);
      if (m == null || members.put(m.variable(), m.values()) != null) {
        return null;
      }
      sum = before;
    }
    if (members.size() < FEWEST_MEMBERS) {
      return null;
    }
    var list = new ArrayList<Group.Member>();
    members.forEach((v, values) -> list.add(new Group.Member(v, values)));
    var groups = new ArrayList<Group>();
    for (int n = 1; n <= members.size(); n++) {
      if ((in.values() >>> n & 1) != (in.values() >>> n - 1 & 1)) {
        groups.add(new Group(n, list));
      }
    }
    return groups;
  }
}
