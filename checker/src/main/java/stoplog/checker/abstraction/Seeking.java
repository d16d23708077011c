package stoplog.checker.abstraction;

import java.util.ArrayList;
import java.util.HashMap;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.TreeSet;
import stoplog.checker.reference.Evaluation;
import stoplog.model.Assignment;
import stoplog.model.Expr;
import stoplog.model.FieldChange;
import stoplog.model.Model;
import stoplog.model.Role;

/**
 * What could be given to a plant now to bring it nearer to a claim's condition: it asks what the
 * condition still lacks, what assigns that, what this in turn lacks, and so on to what the operator or
 * the process may change at will. A guess: what it finds may help or not, and in another order.
 *
 * <p>Of things that have to hold together it asks for all at once, or one after the other. A sequence
 * wants the latter: what its third step waits for may be just what undoes its first.
 */
final class Seeking {
  private static final long FALSE = 1;
  private static final long TRUE = 2;

  /** Variables one behind the other beyond which it looks no further. */
  private static final int MOST_DEPTH = 100;

  private final Reads reads;
  private final Model model;
  private final Expr goal;
  private final int[] values;
  private final boolean inTurn;
  private final boolean nearestFirst;
  private final Evaluation evaluation;
  private final Set<Integer> sought = new TreeSet<>();
  private Set<FieldChange> helpful = new LinkedHashSet<>();

  /** What has become of each wish of this question; false as long as it is open. */
  private Map<Wish, Boolean> wishes = new HashMap<>();

  /** The variable whose assignment is looked at. */
  private int self = -1;

  private int depth;

  private record Wish(int variable, long values) {}

  /**
   * @param goal what is to hold
   * @param values of the variables of the model, before each question
   * @param inTurn whether of things that have to hold together only the first that lacks is asked for
   * @param nearestFirst whether what can be given at once goes before what first needs something else
   */
  Seeking(Reads reads, Expr goal, int[] values, boolean inTurn, boolean nearestFirst) {
    this.reads = reads;
    this.model = reads.model();
    this.goal = goal;
    this.values = values;
    this.inTurn = inTurn;
    this.nearestFirst = nearestFirst;
    this.evaluation = new Evaluation(model);
  }

  /** All variables that had to be brought to some value, over all questions, ascending. */
  List<Integer> sought() {
    return List.copyOf(sought);
  }

  /** Whether the goal holds. */
  boolean isThere() {
    return has(goal, TRUE);
  }

  List<FieldChange> helpful() {
    helpful = new LinkedHashSet<>();
    wishes = new HashMap<>();
    seek(goal, TRUE);
    return new ArrayList<>(helpful);
  }

  private boolean has(Expr e, long wanted) {
    return (bit(e) & wanted) != 0;
  }

  /**
   * The value of an expression now, as a bit; none where it has no value, as what counts down has none at
   * 0: then it is not in use.
   */
  private long bit(Expr e) {
    try {
      return 1L << evaluation.value(e, values);
    } catch (IllegalStateException _) {
      return 0;
    }
  }

  /** Whether something helps the expression to have one of these values, or waiting may. */
  private boolean seek(Expr e, long wanted) {
    if (has(e, wanted)) {
      return true;
    }
    return switch (e) {
      case Expr.Constant c -> false;
      case Expr.Read r -> seekVariable(r.variable(), wanted);
      case Expr.Use u -> seek(model.definitions().get(u.definition()).value(), wanted);
      case Expr.Not n -> seek(n.operand(), (wanted & TRUE) >> 1 | (wanted & FALSE) << 1);
      case Expr.All a -> (wanted & TRUE) != 0 ? every(a.operands(), TRUE) : some(a.operands(), FALSE);
      case Expr.Any a -> (wanted & TRUE) != 0 ? some(a.operands(), TRUE) : every(a.operands(), FALSE);
      case Expr.In i -> seek(i.operand(), (wanted & TRUE) != 0 ? i.values() : ~i.values());
      case Expr.Same s -> {
        boolean same = (wanted & TRUE) != 0;
        long left = bit(s.left());
        long right = bit(s.right());
        yield seek(s.left(), same ? right : ~right) || seek(s.right(), same ? left : ~left);
      }
      case Expr.Choose c -> choose(c, wanted);
      case Expr.Shift s -> seek(s.operand(), s.by() >= 0 ? wanted >>> s.by() : wanted << -s.by());
    };
  }

  private boolean every(List<Expr> operands, long wanted) {
    boolean all = true;
    for (Expr o : operands) {
      boolean lacks = !has(o, wanted);
      all &= seek(o, wanted);
      if (lacks && inTurn) {
        return all;
      }
    }
    return all;
  }

  private boolean some(List<Expr> operands, long wanted) {
    for (Expr o : operands) {
      if (seek(o, wanted)) {
        return true;
      }
    }
    return false;
  }

  private boolean choose(Expr.Choose c, long wanted) {
    boolean now = has(c.condition(), TRUE);
    Expr here = now ? c.then() : c.otherwise();
    Expr there = now ? c.otherwise() : c.then();
    if (mayBecome(here, wanted) && seek(here, wanted)) {
      return true;
    }
    return mayBecome(there, wanted) && seek(c.condition(), now ? FALSE : TRUE) & seek(there, wanted);
  }

  /** Whether it has one of these values for some values of what is not wished for already. */
  private boolean mayBecome(Expr e, long wanted) {
    return switch (e) {
      case Expr.Constant c -> (wanted >>> c.value() & 1) == 1;
      case Expr.Choose c -> mayBecome(c.then(), wanted) || mayBecome(c.otherwise(), wanted);
      case Expr.Read r -> r.variable() != self || has(e, wanted);
      default -> true;
    };
  }

  private boolean seekVariable(int variable, long wanted) {
    var wish = new Wish(variable, wanted & model.variable(variable).domain());
    Boolean known = wishes.putIfAbsent(wish, false);
    if (known != null || depth == MOST_DEPTH) {
      // Where things are asked for in turn, what was asked for already leads no further.
      return known != null && known && !inTurn;
    }
    sought.add(variable);
    depth++;
    boolean found = changed(variable, wanted)
        || assigned(reads.program(), variable, wanted)
        || assigned(reads.reactions(), variable, wanted);
    depth--;
    wishes.put(wish, found);
    return found;
  }

  private boolean changed(int variable, long wanted) {
    return (nearestFirst && changed(variable, wanted, true)) || changed(variable, wanted, false);
  }

  /** @param now whether only changes count that can be made as things stand */
  private boolean changed(int variable, long wanted, boolean now) {
    boolean power = model.variable(variable).role() == Role.POWER;
    for (FieldChange c : reads.changesOf(variable)) {
      boolean serves =
          c.cause() != FieldChange.Cause.FAULT && (power || c.cause() != FieldChange.Cause.POWER);
      boolean counts = !now || (c.timing() == null && has(c.guard(), TRUE));
      if (serves && counts && leadsTo(c, variable, wanted) && seekChange(c)) {
        return true;
      }
    }
    return false;
  }

  private boolean assigned(Assignments assignments, int variable, long wanted) {
    for (int at : assignments.placesOf(variable)) {
      Expr value = assignments.at(at).value();
      int before = self;
      self = variable;
      boolean found = mayBecome(value, wanted) && seek(value, wanted);
      self = before;
      if (found) {
        return true;
      }
    }
    return false;
  }

  private boolean leadsTo(FieldChange c, int variable, long wanted) {
    for (Assignment a : c.effects()) {
      if (a.variable() == variable && has(a.value(), wanted)) {
        return true;
      }
    }
    return false;
  }

  private boolean seekChange(FieldChange c) {
    FieldChange.Timing t = c.timing();
    boolean found = seek(c.guard(), TRUE);
    if (t != null) {
      found &= seek(model.clocks().get(t.clock()).running(), TRUE);
    }
    boolean ready =
        has(c.guard(), TRUE)
            && (t == null || has(model.clocks().get(t.clock()).running(), TRUE));
    boolean atWill =
        t == null || (c.cause() == FieldChange.Cause.PROCESS && model.clocks().get(t.clock()).limit() == null);
    if (ready && atWill) {
      helpful.add(c);
    }
    return found;
  }
}
