package stoplog.checker.abstraction;

import java.util.ArrayList;
import java.util.BitSet;
import java.util.HashMap;
import java.util.IdentityHashMap;
import java.util.List;
import java.util.Map;
import org.jspecify.annotations.Nullable;
import stoplog.model.Assignment;
import stoplog.model.Expr;
import stoplog.model.Model;

/**
 * Makes the operations of one step ready for one search.
 *
 * <p>Within a step a hidden variable has one unknown value until the step assigns it, and another,
 * independent one afterwards: each such stretch is a slot. All reads of one slot see the same value. A
 * slot read at exactly one place is <em>private</em>: nothing can tell its value from another, so the
 * set of values of the expression around it is exact without choosing one.
 *
 * <p>Hidden members of kept {@link Group groups} are no slots: from any values that agree with the
 * groups they are read and assigned like kept variables. A group is numbered like a variable after all
 * those of the model, in the order kept. A group none of whose members the step assigns or, hidden, reads
 * is left out of it, which forgets nothing: the step cannot change it.
 */
final class StepCompiler {
  private final Model model;
  private final Kept kept;
  private final BitSet constants;

  /** Hidden members of kept groups: followed through the step from any value they may have. */
  private final BitSet free;

  /** These and the kept variables. */
  private final BitSet followed;

  private final BitSet touched = new BitSet();
  private final BitSet assigned = new BitSet();
  private boolean atStart;
  private boolean entangled;
  private final List<StepProgram.Operation> operations = new ArrayList<>();
  private final Map<Long, Integer> slots = new HashMap<>();
  private final List<Long> domains = new ArrayList<>();
  private final List<Assignments> carriedOut = new ArrayList<>();
  private @Nullable Assignments underWay;
  private int place;
  private Map<Integer, Node> definitions = new HashMap<>();
  private final List<Integer> slotReads = new ArrayList<>();
  private int defined;

  StepCompiler(Model model, Kept kept) {
    this(model, kept, new BitSet());
  }

  /**
   * @param constants variables that always have their initial value: no need to keep them to know it
   */
  StepCompiler(Model model, Kept kept, BitSet constants) {
    this.model = model;
    this.kept = kept;
    this.constants = constants;
    this.free = kept.members();
    free.andNot(constants);
    this.followed = (BitSet) free.clone();
    followed.or(kept.variables());
  }

  /** Makes this what follows the choice of initial values, before which no group is known. */
  StepCompiler atStart() {
    atStart = true;
    return this;
  }

  StepCompiler guard(Expr guard) {
    operations.add(new StepProgram.Operation(-1, 0, compile(guard)));
    return this;
  }

  /** A guard that all runs keep to and that hidden variables may share with much of what follows. */
  StepCompiler known(Expr guard) {
    entangled = true;
    return guard(guard);
  }

  StepCompiler assign(List<Assignment> assignments) {
    return assign(new Assignments(assignments));
  }

  /** In time that depends on what is kept and what is assigned to it. */
  StepCompiler assign(Assignments assignments) {
    underWay = assignments;
    for (int at : assignments.placesOf(followed)) {
      place = at;
      Assignment a = assignments.at(at);
      if (free.get(a.variable())) {
        touched.set(a.variable());
        assigned.set(a.variable());
      }
      long domain = model.variable(a.variable()).domain();
      operations.add(new StepProgram.Operation(a.variable(), domain, compile(a.value())));
    }
    underWay = null;
    carriedOut.add(assignments);
    return this;
  }

  /** How often the step has assigned the variable when it comes to what is compiled now. */
  private int epoch(int variable) {
    int epoch = underWay == null ? 0 : underWay.timesBefore(variable, place);
    for (Assignments a : carriedOut) {
      epoch += a.times(variable);
    }
    return epoch;
  }

  StepProgram done() {
    int assumptions = groups();
    boolean[] shared = new boolean[domains.size()];
    for (int i = 0; i < shared.length; i++) {
      shared[i] = slotReads.get(i) > 1;
    }
    return new StepProgram(
        operations.toArray(StepProgram.Operation[]::new),
        domains.stream().mapToLong(Long::longValue).toArray(),
        shared,
        defined,
        entangled,
        assumptions,
        touched.stream().toArray(),
        touched.stream()
            .mapToObj(model::variable)
            .mapToLong(v -> atStart ? v.initial() : v.domain())
            .toArray());
  }

  /**
   * Puts before everything else what the groups tell of the variables met with, and after it what the
   * groups then are. Returns how many operations come before.
   */
  private int groups() {
    var before = new ArrayList<StepProgram.Operation>();
    for (int i = 0; i < kept.groups().size(); i++) {
      Group group = kept.groups().get(i);
      BitSet variables = group.variables();
      boolean moves = atStart || variables.intersects(assigned) || assignsKept(variables);
      if (!moves && !variables.intersects(touched)) {
        continue;
      }
      int told = model.variables().size() + i;
      if (!atStart) {
        Node known = new Node.Same(told(group), new Node.KeptRead(told));
        before.add(new StepProgram.Operation(-1, 0, known));
      }
      if (moves) {
        operations.add(new StepProgram.Operation(told, 3, told(group)));
      }
    }
    operations.addAll(0, before);
    return before.size() + (entangled ? 1 : 0);
  }

  private boolean assignsKept(BitSet variables) {
    return operations.stream().anyMatch(o -> o.target() >= 0 && variables.get(o.target()));
  }

  /** Whether the group is so, where this comes in the step. */
  private Node told(Group group) {
    List<Group.Member> members = group.members();
    int size = members.size();
    Node[] holds = new Node[size];
    for (int i = 0; i < size; i++) {
      int v = members.get(i).variable();
      if (free.get(v)) {
        touched.set(v);
      }
      holds[i] = new Node.In(read(v), members.get(i).values());
    }
    // enough[k]: whether at least k of the members from here on are so.
    Node[] enough = new Node[group.atLeast() + 1];
    for (int k = 0; k < enough.length; k++) {
      enough[k] = new Node.Fixed(k == 0 ? 2 : 1);
    }
    for (int i = size - 1; i >= 0; i--) {
      for (int k = group.atLeast(); k > 0; k--) {
        Node counted = new Node.Choose(holds[i], enough[k - 1], enough[k]);
        enough[k] = new Node.Defined(defined++, counted);
      }
    }
    return enough[group.atLeast()];
  }

  private Node compile(Expr e) {
    definitions = new HashMap<>();
    Node node = node(e);
    count(node, new IdentityHashMap<>());
    return node;
  }

  private Node node(Expr e) {
    return switch (e) {
      case Expr.Constant c -> new Node.Fixed(1L << c.value());
      case Expr.Read r -> read(r.variable());
      case Expr.Use u -> {
        Node known = definitions.get(u.definition());
        if (known == null) {
          Node value = node(model.definitions().get(u.definition()).value());
          known = isPlain(value) ? value : new Node.Defined(defined++, value);
          definitions.put(u.definition(), known);
        }
        yield known;
      }
      case Expr.Not n -> new Node.Not(node(n.operand()));
      case Expr.All a -> new Node.All(nodes(a.operands()));
      case Expr.Any a -> new Node.Any(nodes(a.operands()));
      case Expr.In i -> new Node.In(node(i.operand()), i.values());
      case Expr.Same s -> new Node.Same(node(s.left()), node(s.right()));
      case Expr.Choose c -> new Node.Choose(node(c.condition()), node(c.then()), node(c.otherwise()));
      case Expr.Shift s -> new Node.Shift(node(s.operand()), s.by());
    };
  }

  /** Whether it is as quickly evaluated again as looked up. */
  private static boolean isPlain(Node value) {
    return switch (value) {
      case Node.In i -> isPlain(i.operand());
      case Node.Not n -> isPlain(n.operand());
      case Node.Fixed f -> true;
      case Node.KeptRead r -> true;
      case Node.HiddenRead r -> true;
      case Node.Defined d -> true;
      case Node.All a -> false;
      case Node.Any a -> false;
      case Node.Same s -> false;
      case Node.Choose c -> false;
      case Node.Shift s -> false;
    };
  }

  private Node[] nodes(List<Expr> operands) {
    Node[] result = new Node[operands.size()];
    for (int i = 0; i < result.length; i++) {
      result[i] = node(operands.get(i));
    }
    return result;
  }

  private Node read(int variable) {
    if (free.get(variable)) {
      touched.set(variable);
    }
    if (kept.has(variable) || free.get(variable)) {
      return new Node.KeptRead(variable);
    }
    if (constants.get(variable)) {
      return new Node.Fixed(model.variable(variable).initial());
    }
    long key = (long) variable << 32 | epoch(variable);
    Integer slot = slots.get(key);
    long domain = model.variable(variable).domain();
    if (slot == null) {
      slot = domains.size();
      slots.put(key, slot);
      domains.add(domain);
      slotReads.add(0);
    }
    return new Node.HiddenRead(slot, variable, domain);
  }

  /** Counts the places a slot is read at; a definition used twice is read at two places. */
  private void count(Node node, IdentityHashMap<Node, Integer> seen) {
    if (node instanceof Node.Defined && seen.merge(node, 1, Integer::sum) > 2) {
      return;
    }
    switch (node) {
      case Node.Fixed f -> {}
      case Node.KeptRead r -> {}
      case Node.HiddenRead r -> slotReads.set(r.slot(), slotReads.get(r.slot()) + 1);
      case Node.Defined d -> count(d.value(), seen);
      case Node.Not n -> count(n.operand(), seen);
      case Node.All a -> {
        for (Node o : a.operands()) {
          count(o, seen);
        }
      }
      case Node.Any a -> {
        for (Node o : a.operands()) {
          count(o, seen);
        }
      }
      case Node.In i -> count(i.operand(), seen);
      case Node.Same s -> {
        count(s.left(), seen);
        count(s.right(), seen);
      }
      case Node.Choose c -> {
        count(c.condition(), seen);
        count(c.then(), seen);
        count(c.otherwise(), seen);
      }
      case Node.Shift s -> count(s.operand(), seen);
    }
  }
}
