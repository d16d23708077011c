package stoplog.checker.reference;

import java.util.ArrayDeque;
import java.util.ArrayList;
import java.util.Collections;
import java.util.HashMap;
import java.util.Iterator;
import java.util.List;
import org.jspecify.annotations.Nullable;
import stoplog.model.Bound;
import stoplog.model.Claim;
import stoplog.model.Clock;
import stoplog.model.FieldChange;
import stoplog.model.Model;
import stoplog.model.Trace;

/**
 * Decides a claim about a small plant by trying every move of the interpreter, time passing one tick
 * at a time. Breadth-first by steps, time passing costing none, so that a trace is a shortest one.
 *
 * <p><b>Why it ends.</b> Variables are finite, and so are the readings of clocks as {@link Readings}
 * keeps them. The scan that is due and the claim's condition are held within bounds by the reaction
 * time and by ending the search.
 *
 * <p><b>Why whole quanta are fine enough if all bounds are closed.</b> Take a run to a violation. Its
 * start and the order of its steps fix its discrete states and which step started which clock, so the
 * rules demand of its times only that certain pairs lie at least or at most a whole number of quanta
 * apart. Among all times that meet such demands, the time for which the condition has held at the end
 * is greatest, or can be made as great as one likes, at times that are whole quanta (the demands are
 * those of a shortest-path problem). It exceeds a whole number there if it does anywhere.
 *
 * <p><b>What is done if some bound is open.</b> No fixed tick is fine enough: a plant can force an
 * event to come a little earlier in every cycle than in the one before. {@link Readings} spreads the
 * fractional parts of the readings anew after every move.
 */
public final class TickJudge {
  /** What the judge says. */
  public sealed interface Answer {}

  /** The condition can hold for too long: in this run, which has as few steps as any. */
  public record Yes(Trace trace) implements Answer {}

  /**
   * It cannot.
   *
   * @param states how many states there were, clock readings included
   */
  public record No(long states) implements Answer {}

  /** There were more states than allowed. */
  public record TooBig() implements Answer {}

  /** A move that is no step; steps are written as {@link Trace.Step} does. */
  private static final int TIME = -2;

  private final Model model;
  private final Claim claim;
  private final long maxStates;
  private final int ticksPerQuantum;
  private final boolean spreading;
  private final Interpreter interpreter;
  private final Readings readings;
  private final HashMap<State, Node> best = new HashMap<>();
  private final ArrayDeque<Node> open = new ArrayDeque<>();

  /** How a state was reached with the fewest steps so far. Starts have no node before them. */
  private record Node(
      State state, @Nullable Node before, int move, int steps, List<Integer> start) {}

  private TickJudge(
      Model model, Claim claim, long maxStates, int ticksPerQuantum, boolean spreading) {
    if (claim.kind() == Claim.Kind.ALWAYS_CAN) {
      throw new IllegalArgumentException(claim.id() + " is for the lock-out judge");
    }
    this.model = model;
    this.claim = claim;
    this.maxStates = maxStates;
    this.ticksPerQuantum = ticksPerQuantum;
    this.spreading = spreading;
    this.interpreter = new Interpreter(model, claim, ticksPerQuantum);
    this.readings = new Readings(model, ticksPerQuantum, spreading);
  }

  /**
   * The exact answer for dense time.
   *
   * @param claim of any kind but {@link Claim.Kind#ALWAYS_CAN}, which {@link LockOutJudge} judges
   * @param maxStates gives up beyond this; a state takes some 200 bytes
   */
  public static Answer reachable(Model model, Claim claim, long maxStates) {
    boolean closed = allBoundsClosed(model);
    // The clocks, the scan that is due, the claim's condition, and one.
    int ticks = closed ? 1 : model.clocks().size() + 3;
    return new TickJudge(model, claim, maxStates, ticks, !closed).decide();
  }

  /**
   * The answer for a time that exists only at these ticks. Yes is always true; no is exact for dense
   * time if all bounds are closed, whatever the ticks.
   */
  public static Answer reachable(Model model, Claim claim, long maxStates, int ticksPerQuantum) {
    return new TickJudge(model, claim, maxStates, ticksPerQuantum, false).decide();
  }

  /** Whether no window and no limit of the model has an open end. */
  static boolean allBoundsClosed(Model model) {
    for (Clock c : model.clocks()) {
      if (isOpen(c.limit())) {
        return false;
      }
    }
    for (FieldChange c : model.changes()) {
      FieldChange.Timing timing = c.timing();
      if (timing != null && (isOpen(timing.earliest()) || isOpen(timing.latest()))) {
        return false;
      }
    }
    return true;
  }

  private static boolean isOpen(@Nullable Bound bound) {
    return bound != null && !bound.closed();
  }

  private Answer decide() {
    for (Iterator<List<Integer>> starts = interpreter.startValues(); starts.hasNext(); ) {
      List<Integer> start = starts.next();
      State state = readings.tidy(interpreter.start(start));
      offer(new Node(state, null, TIME, 0, start));
      if (best.size() > maxStates) {
        return new TooBig();
      }
    }
    while (!open.isEmpty()) {
      Node node = open.removeFirst();
      if (best.get(node.state()) != node) {
        continue;
      }
      State state = node.state();
      if (interpreter.mayPass(state) > 0) {
        State later = interpreter.pass(state, 1);
        if (interpreter.violated(later)) {
          return new Yes(trace(node));
        }
        offer(new Node(readings.tidy(later), node, TIME, node.steps(), node.start()));
      }
      for (FieldChange c : interpreter.enabled(state)) {
        step(node, c.id(), interpreter.apply(state, c));
      }
      if (interpreter.mayScan(state)) {
        step(node, Trace.Step.SCAN, interpreter.scan(state));
      }
      if (best.size() > maxStates) {
        return new TooBig();
      }
    }
    return new No(best.size());
  }

  private void step(Node before, int step, State after) {
    offer(new Node(readings.tidy(after), before, step, before.steps() + 1, before.start()));
  }

  /** Keeps a way to a state if it has fewer steps than the one known. */
  private void offer(Node node) {
    Node known = best.get(node.state());
    if (known != null && known.steps() <= node.steps()) {
      return;
    }
    best.put(node.state(), node);
    if (node.move() == TIME) {
      open.addFirst(node);
    } else {
      open.addLast(node);
    }
  }

  private Trace trace(Node last) {
    var steps = new ArrayList<Integer>();
    for (Node n = last; n != null; n = n.before()) {
      if (n.move() != TIME) {
        steps.add(n.move());
      }
    }
    Collections.reverse(steps);
    Trace trace =
        spreading
            ? EarliestTimes.of(model, claim, last.start(), steps)
            : EarliestTimes.of(model, claim, last.start(), steps, ticksPerQuantum);
    if (trace == null) {
      throw new IllegalStateException("no times for a run that was found: " + steps);
    }
    if (Replay.run(model, claim, trace) instanceof Replayed.Invalid invalid) {
      throw new IllegalStateException("a run that was found is none: " + invalid + " in " + trace);
    }
    return trace;
  }
}
