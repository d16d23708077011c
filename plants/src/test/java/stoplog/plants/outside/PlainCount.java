package stoplog.plants.outside;

import java.util.ArrayList;
import java.util.HashMap;
import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.Set;
import stoplog.checker.reference.Interpreter;
import stoplog.checker.reference.State;
import stoplog.model.Claim;
import stoplog.model.Expr;
import stoplog.model.FieldChange;
import stoplog.model.Model;
import stoplog.source.Span;

/**
 * The states of an untimed model without logic, counted move by move with the reference interpreter: a
 * second judge, slow and plain, over the same model. Levels are distances from the start in steps;
 * edges are distinct ordered pairs of different states; stuck states have no step to another.
 */
record PlainCount(long states, long edges, int depth, List<Long> perLevel, long stuck) {
  PlainCount {
    perLevel = List.copyOf(perLevel);
  }

  /** No state fulfils the condition. */
  static final int UNREACHABLE = -1;

  /** More states than were to be looked at. */
  static final int TOO_MANY = -2;

  /** The least number of steps from the start to where the claim's condition holds. */
  static int leastSteps(Model model, Claim claim, int mostStates) {
    refuseTime(model);
    var interpreter = new Interpreter(model, claim, 1);
    Set<State> seen = new HashSet<>();
    interpreter.startValues().forEachRemaining(values -> seen.add(interpreter.start(values)));
    int steps = 0;
    for (Set<State> now = Set.copyOf(seen); !now.isEmpty(); steps++) {
      Set<State> next = new HashSet<>();
      for (State state : now) {
        if (state.conditionTicks() != State.NOT_RUNNING) {
          return steps;
        }
        for (FieldChange change : interpreter.enabled(state)) {
          State after = interpreter.apply(state, change);
          if (seen.add(after)) {
            next.add(after);
          }
        }
      }
      if (seen.size() > mostStates) {
        return TOO_MANY;
      }
      now = next;
    }
    return UNREACHABLE;
  }

  private static void refuseTime(Model model) {
    if (!model.clocks().isEmpty() || !model.controller().program().isEmpty()) {
      throw new IllegalArgumentException(model.name() + " has clocks or logic");
    }
  }

  static PlainCount of(Model model) {
    refuseTime(model);
    var nothing =
        new Claim("none", "", Claim.Kind.HAZARD, Expr.FALSE, 0, List.of(), 0, Span.NONE);
    var interpreter = new Interpreter(model, nothing, 1);
    Map<State, Integer> seen = new HashMap<>();
    List<State> level = new ArrayList<>();
    interpreter
        .startValues()
        .forEachRemaining(
            values -> {
              State start = interpreter.start(values);
              if (seen.put(start, 0) == null) {
                level.add(start);
              }
            });
    List<Long> perLevel = new ArrayList<>();
    long edges = 0;
    long stuck = 0;
    for (List<State> now = level; !now.isEmpty(); ) {
      perLevel.add((long) now.size());
      List<State> next = new ArrayList<>();
      for (State state : now) {
        Set<State> successors = new HashSet<>();
        for (FieldChange change : interpreter.enabled(state)) {
          successors.add(interpreter.apply(state, change));
        }
        successors.remove(state);
        stuck += successors.isEmpty() ? 1 : 0;
        edges += successors.size();
        for (State successor : successors) {
          if (seen.putIfAbsent(successor, perLevel.size()) == null) {
            next.add(successor);
          }
        }
      }
      now = next;
    }
    return new PlainCount(seen.size(), edges, perLevel.size() - 1, perLevel, stuck);
  }
}
