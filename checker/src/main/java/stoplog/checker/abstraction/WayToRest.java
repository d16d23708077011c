package stoplog.checker.abstraction;

import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import org.jspecify.annotations.Nullable;
import stoplog.model.Assignment;
import stoplog.model.Expr;
import stoplog.model.FieldChange;
import stoplog.model.Model;
import stoplog.model.Role;
import stoplog.model.Variable;

/**
 * Looks for inputs that bring a plant to rest, whatever it was doing ({@link ComingToRest}): the power, what is
 * worked by hand and what the process gives, each set to some value and left there. To begin with the process
 * is as it was when the condition held, and all else as at the start. Where the plant does not come to rest
 * like this, one input after the other is given otherwise, and stays so if less moves on for it: a plant that is
 * switched on, or has water to clean, may go on in circles for ever.
 *
 * <p>Which inputs are given is a guess that costs nothing but time: that the plant comes to rest is shown for
 * those that are.
 */
final class WayToRest {
  /** Ways to give the inputs that are tried. */
  private static final int MOST_TRIED = 400;

  private final Reads reads;
  private final Model model;
  private final Searches searches;
  private final int most;
  private final List<Integer> goal;
  private final ComingToRest anything;
  private int tried;

  /** The values that are given, each to its variable. */
  private record Tried(Map<Integer, Integer> given, ComingToRest rest, int moving) {}

  /**
   * @param anything the plant before anything is given to it
   * @param goal values when the condition held
   * @param most beyond so many states at rest the answer is none
   */
  WayToRest(
      Reads reads, Searches searches, ComingToRest anything, List<Integer> goal, int most) {
    this.reads = reads;
    this.model = reads.model();
    this.searches = searches;
    this.goal = goal;
    this.most = most;
    this.anything = anything;
  }

  /** Every state in which the plant may come to rest, some that it cannot among them; null if none is seen. */
  @Nullable List<List<Integer>> rests() {
    Tried best = tried(usual());
    List<List<Integer>> rests = best == null ? null : rests(best.rest());
    while (best != null && rests == null) {
      Tried better = better(best);
      if (better == null) {
        return null;
      }
      best = better;
      rests = rests(best.rest());
    }
    return rests;
  }

  private @Nullable List<List<Integer>> rests(ComingToRest rest) {
    List<ComingToRest> cases = rest.cases(most);
    if (cases == null) {
      return null;
    }
    var all = new ArrayList<List<Integer>>();
    for (ComingToRest c : cases) {
      List<List<Integer>> more = c.combinations(most - all.size());
      if (more == null) {
        return null;
      }
      all.addAll(more);
    }
    return all;
  }

  /** One input given otherwise so that less moves on; null if there is none. */
  private @Nullable Tried better(Tried than) {
    for (int v : than.given().keySet().stream().sorted().toList()) {
      for (int value = 0; value < model.variable(v).size(); value++) {
        if (tried++ == MOST_TRIED || searches.over()) {
          return null;
        }
        if (value != than.given().get(v)) {
          var given = new HashMap<>(than.given());
          given.put(v, value);
          Tried other = tried(given);
          if (other != null && other.moving() < than.moving()) {
            return other;
          }
        }
      }
    }
    return null;
  }

  /** Null if what the claim takes for granted may not hold all the while. */
  private @Nullable Tried tried(Map<Integer, Integer> given) {
    var rest = new ComingToRest(anything);
    for (List<ComingToRest.Input> inputs : inputs(given)) {
      if (!rest.give(inputs)) {
        return null;
      }
      // What is taken for granted goes on to hold: the wait only takes values away.
      rest.settle();
    }
    return new Tried(given, rest, rest.moving().cardinality());
  }

  // ---- the inputs

  private Map<Integer, Integer> usual() {
    var given = new HashMap<Integer, Integer>();
    for (FieldChange c : model.changes()) {
      if (isInput(c)) {
        Variable v = model.variable(c.effects().getFirst().variable());
        boolean ofProcess = v.role() == Role.PROCESS || v.role() == Role.INSTRUMENT;
        given.put(v.id(), ofProcess ? goal.get(v.id()) : Long.numberOfTrailingZeros(v.initial()));
      }
    }
    return given;
  }

  private boolean isInput(FieldChange c) {
    if (c.timing() != null || c.effects().isEmpty() || c.cause() == FieldChange.Cause.FAULT) {
      return false;
    }
    int v = c.effects().getFirst().variable();
    return !reads.programmed().get(v)
        && model.reactions().stream().noneMatch(a -> a.variable() == v);
  }

  /** First what acts on others, then, after a wait, what follows others. */
  private List<List<ComingToRest.Input>> inputs(Map<Integer, Integer> given) {
    var groups = new ArrayList<List<ComingToRest.Input>>();
    for (List<FieldChange.Cause> causes :
        List.of(
            List.of(
                FieldChange.Cause.POWER, FieldChange.Cause.OPERATOR, FieldChange.Cause.PROCESS),
            List.of(
                FieldChange.Cause.EQUIPMENT, FieldChange.Cause.INSTRUMENT,
                FieldChange.Cause.OPERATOR))) {
      var inputs = new ArrayList<ComingToRest.Input>();
      for (FieldChange.Cause cause : causes) {
        for (FieldChange c : model.changes()) {
          if (c.cause() == cause && isInput(c)) {
            if (c.effects().size() > 1) {
              away(inputs, c, given);
            }
            add(inputs, c, given.get(c.effects().getFirst().variable()));
          }
        }
      }
      groups.add(inputs);
    }
    return groups;
  }

  /**
   * Before a change that assigns several variables: away from where it leads, if some change does that,
   * so that it comes for certain and all that it assigns is known.
   */
  private void away(
      List<ComingToRest.Input> inputs, FieldChange c, Map<Integer, Integer> given) {
    int v = c.effects().getFirst().variable();
    int wanted = given.get(v);
    if (inputs.stream().anyMatch(i -> i.variable() == v)) {
      return;
    }
    for (FieldChange other : reads.changesOf(v)) {
      Assignment first = other.effects().getFirst();
      if (other.timing() == null
          && other.cause() == c.cause()
          && first.variable() == v
          && first.value() instanceof Expr.Constant(int value)
          && value != wanted) {
        inputs.add(new ComingToRest.Input(other, v, 1L << wanted));
        return;
      }
    }
  }

  private void add(List<ComingToRest.Input> inputs, FieldChange c, int wanted) {
    Assignment first = c.effects().getFirst();
    Variable v = model.variable(first.variable());
    switch (first.value()) {
      case Expr.Constant(int value) when value == wanted ->
          inputs.add(new ComingToRest.Input(c, v.id(), v.domain() & ~(1L << wanted)));
      case Expr.Shift(Expr.Read(int read), int by) when read == v.id() -> {
        long below = (1L << wanted) - 1;
        long needed = by > 0 ? below : v.domain() & ~below & ~(1L << wanted);
        for (int i = 1; i < v.size(); i++) {
          inputs.add(new ComingToRest.Input(c, v.id(), needed));
        }
      }
      default -> {}
    }
  }
}
