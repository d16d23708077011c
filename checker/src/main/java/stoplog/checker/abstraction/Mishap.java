package stoplog.checker.abstraction;

import java.util.ArrayList;
import java.util.BitSet;
import java.util.List;
import org.jspecify.annotations.Nullable;
import stoplog.model.Assignment;
import stoplog.model.Claim;
import stoplog.model.Expr;
import stoplog.model.FieldChange;
import stoplog.model.Model;

/**
 * Looks for a run to what must not be, in plants of many variables: an {@link Errand} into the middle of
 * things, to where part of the claim's condition holds, and there one thing that goes otherwise: the power
 * fails, a selector is turned, a condition comes. From there it goes on to the whole condition. Many
 * mistakes show like this, since what is asked for in a wrong way matters where work is cut short. What
 * it finds, the reference interpreter has replayed; that it finds nothing says nothing.
 */
final class Mishap {
  /** Steps of the plant that all runs from one way may take. */
  private static final int MOST_STEPS = 20_000;

  private final Model model;
  private final Claim claim;

  private Mishap(Model model, Claim claim) {
    this.model = model;
    this.claim = claim;
  }

  /** A run to the claim's condition, or null. */
  static Errand.@Nullable Run of(Reads reads, Claim claim, Searches searches) {
    Model model = reads.model();
    BitSet bearing = Distance.bearing(reads, claim);
    var goals = new ArrayList<Expr>(new Mishap(model, claim).parts(claim.condition(), true));
    goals.add(claim.condition());
    for (Expr goal : goals) {
      for (boolean inTurn : new boolean[] {true, false}) {
        Errand way = Errand.towards(goal, inTurn, reads, claim, searches);
        Errand.Run straight = way.run();
        Errand.Run run = straight == null ? disturbed(way, bearing, reads, searches) : straight;
        if (run != null) {
          return run;
        }
      }
    }
    return null;
  }

  /** Tries each mishap at each state of a way in which something could come between. */
  private static Errand.@Nullable Run disturbed(
      Errand way, BitSet bearing, Reads reads, Searches searches) {
    int left = MOST_STEPS;
    for (FieldChange mishap : mishaps(reads.model(), way.sought(), bearing)) {
      for (Errand.Rest rest : way.rests()) {
        if (left <= 0 || searches.over()) {
          return null;
        }
        if (way.allows(rest, mishap)) {
          Errand after = way.disturbed(reads, rest, mishap);
          Errand.Run run = after.run();
          if (run != null) {
            return run;
          }
          left -= after.steps() - rest.steps();
        }
      }
    }
    return null;
  }

  /**
   * What may happen at will: first of all that the power fails, then what the way has to do with, then all
   * else that bears on the claim.
   */
  private static List<FieldChange> mishaps(Model model, List<Integer> sought, BitSet bearing) {
    var power = new ArrayList<FieldChange>();
    var near = new ArrayList<FieldChange>();
    var far = new ArrayList<FieldChange>();
    for (FieldChange c : model.changes()) {
      if (c.timing() != null) {
        continue;
      }
      switch (c.cause()) {
        case POWER -> power.add(c);
        case OPERATOR, PROCESS -> {
          boolean isNear = c.effects().stream().anyMatch(a -> sought.contains(a.variable()));
          boolean bears = c.effects().stream().anyMatch(a -> bearing.get(a.variable()));
          if (isNear || bears) {
            (isNear ? near : far).add(c);
          }
        }
        case FAULT, EQUIPMENT, INSTRUMENT, TIMER -> {}
      }
    }
    power.addAll(near);
    power.addAll(far);
    return power;
  }

  /** What has to be so, at some time, where this expression is true, or false. */
  private List<Expr> parts(Expr e, boolean wanted) {
    return switch (e) {
      case Expr.All a when wanted -> a.operands().stream().flatMap(o -> parts(o, true).stream()).toList();
      case Expr.Any a when !wanted -> a.operands().stream().flatMap(o -> parts(o, false).stream()).toList();
      case Expr.Not n -> parts(n.operand(), !wanted);
      case Expr.Use u -> parts(model.definitions().get(u.definition()).value(), wanted);
      case Expr.In(Expr.Read r, long values) when wanted && remembered(r) instanceof Expr.Choose c -> chosen(c, values);
      default -> List.of(wanted ? e : new Expr.Not(e));
    };
  }

  /** What the claim lets a variable of its own become at each step, if it is one. */
  private @Nullable Expr remembered(Expr.Read read) {
    return claim.monitors().stream()
        .filter(m -> m.variable() == read.variable())
        .map(Assignment::value)
        .findFirst()
        .orElse(null);
  }

  /** What has to be so for a choice to come out with one of these values. */
  private List<Expr> chosen(Expr.Choose c, long values) {
    var parts = new ArrayList<Expr>();
    boolean then = c.then() instanceof Expr.Constant k && (values >>> k.value() & 1) == 1;
    parts.addAll(parts(c.condition(), then));
    if (!then && c.otherwise() instanceof Expr.Choose next) {
      parts.addAll(chosen(next, values));
    }
    return parts;
  }
}
