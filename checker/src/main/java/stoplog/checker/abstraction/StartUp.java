package stoplog.checker.abstraction;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import org.jspecify.annotations.Nullable;
import stoplog.checker.reference.Evaluation;
import stoplog.checker.reference.Interpreter;
import stoplog.checker.reference.State;
import stoplog.model.Assignment;
import stoplog.model.Claim;
import stoplog.model.Expr;
import stoplog.model.FieldChange;
import stoplog.model.Model;
import stoplog.model.Trace;
import stoplog.model.Variable;

/**
 * Drives a plant from rest by a list of inputs, one move of the reference interpreter after the other,
 * and sees whether time passes while the claim's condition holds. A drive that gets there is a run of
 * the plant; one that does not says nothing.
 *
 * <p>At rest every clock that runs reads more than all it is ever compared with. What the plant does
 * from there does not depend on how much more.
 */
final class StartUp {
  /** An input, and how long it came after the one before in the run it was taken from. */
  record Move(FieldChange change, long afterQuanta) {}

  private static final int TICKS = ByItself.TICKS;
  private static final int MOST_STEPS = 5_000;

  private final Interpreter interpreter;
  private final ByItself byItself;

  /** For the plant that starts anywhere, of which no other move is made: it lacks what reads at the start. */
  private final Interpreter anywhere;

  private final long longestQuanta;
  /** What may be carried out at any time; empty for a whole plant. */
  private final List<Assignment> unasked = new ArrayList<>();
  private final Evaluation evaluation;
  private final Expr powered;
  private final int variables;

  // One drive.
  private State state;
  private int steps;
  private boolean arrived;
  private boolean lost;
  private boolean eager;

  /**
   * @param longestQuanta more than any clock of the plant is compared with
   * @param part whether the plant is the {@link Cone} of a larger one, whose controller may scan at any time: a
   *     drive in which that would touch the cone does not count, and a scan that is due comes at once
   */
  StartUp(Model plant, Claim claim, long longestQuanta, boolean part) {
    this.longestQuanta = longestQuanta;
    this.evaluation = new Evaluation(plant);
    this.powered = plant.controller().powered();
    this.variables = plant.variables().size();
    if (part) {
      unasked.addAll(plant.controller().program());
      unasked.addAll(plant.reactions());
      unasked.addAll(claim.monitors());
    }
    var anyValue = new ArrayList<Variable>();
    for (Variable v : plant.variables()) {
      anyValue.add(
          new Variable(v.id(), v.name(), v.role(), v.values(), v.domain(), v.text(), v.origin()));
    }
    this.interpreter = new Interpreter(plant, claim, TICKS);
    this.byItself = new ByItself(plant, interpreter, false);
    this.anywhere = new Interpreter(from(plant, anyValue), claim, TICKS);
    this.state = anywhere.start(plant.variables().stream().map(v -> 0).toList());
  }

  /** The plant started with these values and no others. */
  static Model startedWith(Model plant, List<Integer> values) {
    var variables = new ArrayList<Variable>();
    for (Variable v : plant.variables()) {
      variables.add(
          new Variable(
              v.id(), v.name(), v.role(), v.values(), 1L << values.get(v.id()), v.text(), v.origin()));
    }
    return from(plant, variables);
  }

  private static Model from(Model plant, List<Variable> variables) {
    return new Model(
        plant.name(), plant.quantumMicros(), variables, plant.definitions(), plant.clocks(),
        plant.changes(), plant.controller(), List.of(), plant.reactions(), List.of(), List.of(),
        List.of());
  }

  /**
   * The plant at rest with these values, or null if it does not rest there: a scan or a reaction would
   * change something, or a deadline stands in the way.
   */
  @Nullable State atRest(List<Integer> values) {
    State now = anywhere.start(values);
    if (!hasValues(now, values) || !interpreter.isFollowed(now)) {
      return null;
    }
    if (interpreter.mayScan(now)) {
      now = interpreter.scan(now);
      if (!hasValues(now, values) || now.due() > 0) {
        return null;
      }
    }
    long ticks = Math.multiplyExact(longestQuanta, TICKS);
    return interpreter.whyNotPass(now, ticks) == null ? interpreter.pass(now, ticks) : null;
  }

  private static boolean hasValues(State state, List<Integer> values) {
    for (int v = 0; v < values.size(); v++) {
      if (state.value(v) != values.get(v)) {
        return false;
      }
    }
    return true;
  }

  /** Whether the drive gets to the condition, equipment being quick or, failing that, slow. */
  boolean reaches(State rest, List<Move> moves) {
    return drive(rest, moves, true) || drive(rest, moves, false);
  }

  private boolean drive(State rest, List<Move> moves, boolean quick) {
    state = rest;
    steps = 0;
    arrived = false;
    lost = false;
    eager = quick;
    for (Move m : moves) {
      pass(m.afterQuanta() * TICKS, null);
      pass(longestQuanta * TICKS, m.change());
      if (arrived || lost) {
        return arrived;
      }
      if (interpreter.whyNotApply(state, m.change()) == null) {
        step(interpreter.apply(state, m.change()));
      }
    }
    pass(4 * longestQuanta * TICKS, null);
    return arrived;
  }

  /** Lets so much time pass, or as much as it takes until the change can come. */
  private void pass(long ticks, @Nullable FieldChange until) {
    long left = ticks;
    while (!arrived && !lost) {
      boolean scans = interpreter.mayScan(state);
      boolean atOnce = scans && !unasked.isEmpty();
      if (!atOnce && !staysAsItIs()) {
        lost = true;
        return;
      }
      if (!atOnce && until != null && interpreter.whyNotApply(state, until) == null) {
        return;
      }
      if (scans) {
        step(interpreter.scan(state));
        continue;
      }
      FieldChange due = byItself.due(state, eager);
      if (due != null) {
        step(interpreter.apply(state, due));
        continue;
      }
      if (left == 0) {
        return;
      }
      long wait = Math.min(left, Math.min(interpreter.mayPass(state), byItself.untilNext(state)));
      if (wait <= 0) {
        lost = true;
        return;
      }
      state = interpreter.pass(state, wait);
      left -= wait;
      arrived = interpreter.violated(state);
      lost = ++steps > MOST_STEPS;
    }
  }

  /** Whether nothing that is carried out unasked would change anything. */
  private boolean staysAsItIs() {
    int[] values = new int[variables];
    Arrays.setAll(values, state::value);
    if (unasked.isEmpty() || !evaluation.holds(powered, values)) {
      return true;
    }
    unasked.forEach(a -> values[a.variable()] = evaluation.value(a.value(), values));
    return hasValues(state, Arrays.stream(values).boxed().toList());
  }

  private void step(State next) {
    state = next;
    lost |= ++steps > MOST_STEPS || !interpreter.isFollowed(next);
  }

  /** What a run of the plant from rest had given it. */
  static List<Move> moves(Model plant, Trace trace) {
    var moves = new ArrayList<Move>();
    long last = 0;
    for (Trace.Step s : trace.steps()) {
      if (!s.isScan()) {
        FieldChange c = plant.changes().get(s.change());
        boolean byItself =
            c.timing() != null
                && switch (c.cause()) {
                  case EQUIPMENT, INSTRUMENT, TIMER -> true;
                  case OPERATOR, PROCESS, FAULT, POWER -> false;
                };
        if (!byItself) {
          moves.add(new Move(c, (s.tick() - last) / trace.ticksPerQuantum()));
          last = s.tick();
        }
      }
    }
    return moves;
  }
}
