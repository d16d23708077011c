package stoplog.checker.reference;

import java.util.ArrayDeque;
import java.util.ArrayList;
import java.util.Collections;
import java.util.Iterator;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import org.jspecify.annotations.Nullable;
import stoplog.model.Claim;
import stoplog.model.FieldChange;
import stoplog.model.Model;
import stoplog.model.Trace;

/**
 * Decides about a small plant whether its condition can always be reached ({@link
 * Claim.Kind#ALWAYS_CAN}): writes down every state the plant can get into with every move between
 * them, marks the states in which time can pass while the condition holds, and then, until nothing
 * more gets a mark, every state with a move other than a fault to a marked one. A state without a mark
 * is a lock-out.
 *
 * <p>Time passes one tick at a time and readings are spread as {@link Readings} says, always: whole
 * quanta, which are fine enough to find out what can be reached, are not fine enough here. (A plant
 * may be locked out exactly where x is more than 2 above y and y more than 2 above z. With x at most 5
 * above z there is such a place, but none at whole numbers.) States with equal readings in this sense
 * have the same futures, so each state here stands for all that are like it.
 *
 * <p>How long the condition has held so far has no bearing on any future, and is not kept.
 */
public final class LockOutJudge {
  /** What the judge says. */
  public sealed interface Answer {}

  /**
   * From everywhere the plant can get to, it can get to the condition.
   *
   * @param states how many states there were, clock readings included
   */
  public record Always(long states) implements Answer {}

  /**
   * It can get into this state and from there never to the condition.
   *
   * @param state counted in the judge's own ticks
   * @param start values to start with
   * @param steps the steps of a run into the state, as few as any run into a lock-out has; written as
   *     {@link Trace.Step} does
   */
  public record LockOut(State state, List<Integer> start, List<Integer> steps) implements Answer {
    public LockOut {
      start = List.copyOf(start);
      steps = List.copyOf(steps);
    }
  }

  /** There were more states than allowed. */
  public record TooBig() implements Answer {}

  /** A move that is no step. */
  private static final int TIME = -2;

  private final Model model;
  private final long maxStates;
  private final Interpreter interpreter;
  private final Readings readings;
  private final Map<State, Place> places = new LinkedHashMap<>();
  private final ArrayDeque<Way> open = new ArrayDeque<>();

  /** A way to a state; starts have no way before them. */
  private record Way(State state, @Nullable Way before, int move, int steps, List<Integer> start) {}

  /** A state that has been reached. */
  private static final class Place {
    private Way shortest;
    private boolean recovers;

    /** Places with a move to here that is not a fault. */
    private final List<Place> before = new ArrayList<>();

    Place(Way shortest) {
      this.shortest = shortest;
    }
  }

  private LockOutJudge(Model model, Claim claim, long maxStates) {
    this.model = model;
    this.maxStates = maxStates;
    // More than there are readings: the clocks and the scan that is due.
    int ticksPerQuantum = model.clocks().size() + 2;
    this.interpreter = new Interpreter(model, claim, ticksPerQuantum);
    this.readings = new Readings(model, ticksPerQuantum, true);
  }

  /**
   * The exact answer for dense time.
   *
   * @param maxStates gives up beyond this; a state takes some 400 bytes
   */
  public static Answer judge(Model model, Claim claim, long maxStates) {
    var judge = new LockOutJudge(model, claim, maxStates);
    for (Iterator<List<Integer>> starts = judge.interpreter.startValues(); starts.hasNext(); ) {
      List<Integer> start = starts.next();
      State state = judge.interpreter.start(start);
      judge.offer(null, new Way(judge.tidy(state), null, TIME, 0, start), false);
      if (judge.places.size() > maxStates) {
        return new TooBig();
      }
    }
    return judge.answer();
  }

  /**
   * Whether the condition can never be reached from this state.
   *
   * @param ticksPerQuantum what the state's readings are counted in
   * @return {@code null} if there are too many states to tell
   */
  public static @Nullable Boolean isLockOut(
      Model model, Claim claim, State state, int ticksPerQuantum, long maxStates) {
    var judge = new LockOutJudge(model, claim, maxStates);
    State own = judge.readings.tidy(judge.readings.converted(state, ticksPerQuantum));
    judge.offer(null, new Way(own, null, TIME, 0, List.of()), false);
    if (!judge.everything()) {
      return null;
    }
    judge.markRecovering();
    Place place = judge.places.get(own);
    return place != null && !place.recovers;
  }

  private Answer answer() {
    if (!everything()) {
      return new TooBig();
    }
    markRecovering();
    Way shortest = null;
    for (Place p : places.values()) {
      if (!p.recovers && (shortest == null || p.shortest.steps() < shortest.steps())) {
        shortest = p.shortest;
      }
    }
    return shortest == null ? new Always(places.size()) : lockOut(shortest);
  }

  private static LockOut lockOut(Way into) {
    var steps = new ArrayList<Integer>();
    for (Way w = into; w != null; w = w.before()) {
      if (w.move() != TIME) {
        steps.add(w.move());
      }
    }
    Collections.reverse(steps);
    return new LockOut(into.state(), into.start(), steps);
  }

  /** Makes every move from every state reached; false if there are too many. */
  private boolean everything() {
    while (!open.isEmpty()) {
      Way way = open.removeFirst();
      State state = way.state();
      Place place = place(state);
      if (place.shortest != way) {
        continue;
      }
      if (interpreter.mayPass(state) > 0) {
        State later = tidy(interpreter.pass(state, 1));
        offer(place, new Way(later, way, TIME, way.steps(), way.start()), false);
      }
      for (FieldChange c : interpreter.enabled(state)) {
        boolean fault = c.cause() == FieldChange.Cause.FAULT;
        State after = tidy(interpreter.apply(state, c));
        offer(place, new Way(after, way, c.id(), way.steps() + 1, way.start()), fault);
      }
      if (interpreter.mayScan(state)) {
        State after = tidy(interpreter.scan(state));
        offer(place, new Way(after, way, Trace.Step.SCAN, way.steps() + 1, way.start()), false);
      }
      if (places.size() > maxStates) {
        return false;
      }
    }
    return true;
  }

  private Place place(State state) {
    Place place = places.get(state);
    if (place == null) {
      throw new IllegalStateException("a state without a place: " + state);
    }
    return place;
  }

  private State tidy(State state) {
    long[] clocks = new long[model.clocks().size()];
    for (int c = 0; c < clocks.length; c++) {
      clocks[c] = state.clockTicks(c);
    }
    return readings.tidy(state.withTicks(clocks, state.dueTicks(), State.NOT_RUNNING));
  }

  /**
   * Notes a move, and keeps the way if it has fewer steps than the one known. Nothing is noted of where
   * the claim follows no run.
   */
  private void offer(@Nullable Place from, Way way, boolean fault) {
    if (!interpreter.isFollowed(way.state())) {
      return;
    }
    Place known = places.get(way.state());
    Place place = known == null ? new Place(way) : known;
    if (from != null && !fault) {
      place.before.add(from);
    }
    if (known != null && known.shortest.steps() <= way.steps()) {
      return;
    }
    place.shortest = way;
    places.put(way.state(), place);
    if (way.move() == TIME) {
      open.addFirst(way);
    } else {
      open.addLast(way);
    }
  }

  private void markRecovering() {
    var fresh = new ArrayDeque<Place>();
    for (Place p : places.values()) {
      if (interpreter.isGoal(p.shortest.state())) {
        p.recovers = true;
        fresh.add(p);
      }
    }
    while (!fresh.isEmpty()) {
      for (Place before : fresh.removeFirst().before) {
        if (!before.recovers) {
          before.recovers = true;
          fresh.add(before);
        }
      }
    }
  }
}
