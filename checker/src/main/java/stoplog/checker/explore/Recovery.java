package stoplog.checker.explore;

import java.util.ArrayDeque;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import org.jspecify.annotations.Nullable;
import stoplog.checker.zone.Federation;
import stoplog.checker.zone.Zones;
import stoplog.model.Bound;
import stoplog.model.FieldChange;

/**
 * From which of the states that a search has reached the goal can still be reached: backwards from the
 * goal, over the steps the search has found, until nothing more is added.
 *
 * <p>For each discrete state it keeps a union of zones, the readings from which the goal can be
 * reached. A state whose every reached reading is among them is <em>done</em>: nothing further is
 * added to it, and a step into it, from a reached reading, needs only its window. So what is kept is
 * meaningful for reached readings only.
 *
 * <p><b>Why it ends.</b> Windows, deadlines, starts at 0 and the passing of time lead from unions of
 * clock regions (with each clock's largest constant) to such unions, and there are finitely many.
 *
 * <p><b>Why the readings reached may be extrapolated.</b> {@link Search.Zoning#FOR_ALL_FUTURES} adds
 * only readings with the same futures as ones really reached.
 */
public final class Recovery {
  /** What may be counted on for getting to the goal. */
  public interface Hopes {
    /** Whether the goal is met if time can pass in this state. */
    boolean goal(long[] state);

    /** Whether time may be waited for in this state, as far as deadlines let it pass. */
    boolean time(long[] state);

    /** Whether this step may be counted on in this state. */
    boolean step(long[] state, int step);
  }

  private static final int CHECK_EVERY = 256;

  private final TimedSystem system;
  private final Search search;
  private final Budget budget;
  private final long deadlineNanos;
  private final Progress progress;

  private final Federation[] recovering;
  private final boolean[] waits;
  private final boolean[] done;
  private final List<List<int[]>> fresh = new ArrayList<>();
  private final ArrayDeque<Integer> open = new ArrayDeque<>();
  private final boolean[] isOpen;

  // Steps that count, linked by their targets.
  private final int[] firstInto;
  private int edges;
  private int[] edgeFrom = new int[64];
  private int[] edgeStep = new int[64];
  private int[] edgeNext = new int[64];

  private long zones;
  private int sinceCheck;
  private @Nullable String stop;

  /** @param search exhausted, with {@link Search.Zoning#FOR_ALL_FUTURES} */
  public Recovery(
      TimedSystem system, Search search, Budget budget, long deadlineNanos, Progress progress) {
    this.system = system;
    this.search = search;
    this.budget = budget;
    this.deadlineNanos = deadlineNanos;
    this.progress = progress;
    int count = search.stateCount();
    this.recovering = new Federation[count];
    this.waits = new boolean[count];
    this.done = new boolean[count];
    this.isOpen = new boolean[count];
    this.firstInto = new int[count];
  }

  /**
   * Runs to the end. May be called once.
   *
   * @return why it was stopped, or null if it was not
   */
  public @Nullable String run(Hopes hopes) {
    Arrays.fill(firstInto, -1);
    long[] state = new long[system.words()];
    for (int id = 0; id < recovering.length; id++) {
      recovering[id] = new Federation(search.running(id).length + 1);
      fresh.add(new ArrayList<>());
      search.state(id, state);
      waits[id] = hopes.time(state) && !system.urgent(state);
      if (search.zonesOf(id).isEmpty()) {
        // Known as a target, never reached.
        done[id] = true;
        continue;
      }
      int[] steps = search.edgesFrom(id);
      for (int i = 0; i < steps.length; i += 2) {
        if (hopes.step(state, steps[i])) {
          addEdge(id, steps[i], steps[i + 1]);
        }
      }
    }
    for (int id = 0; id < recovering.length; id++) {
      search.state(id, state);
      if (!done[id] && waits[id] && hopes.goal(state)) {
        addGoal(id);
      }
    }
    while (!open.isEmpty() && stop == null) {
      int id = open.removeFirst();
      isOpen[id] = false;
      spread(id);
    }
    return stop;
  }

  /**
   * A part of a node's zone from which the goal cannot be reached, or null.
   *
   * @throws Federation.TooHard if that is too hard to see
   */
  public int @Nullable [] lockOut(int node) {
    int id = search.stateOf(node);
    return done[id] ? null : recovering[id].uncovered(search.zoneOf(node));
  }

  /** Whether the goal can be reached from any reading at all of a reached state, be it reached or not. */
  public boolean hasHope(int id) {
    return done[id] || recovering[id].size() > 0;
  }

  private void addEdge(int from, int step, int to) {
    if (edges == edgeFrom.length) {
      edgeFrom = Arrays.copyOf(edgeFrom, edges * 2);
      edgeStep = Arrays.copyOf(edgeStep, edges * 2);
      edgeNext = Arrays.copyOf(edgeNext, edges * 2);
    }
    edgeFrom[edges] = from;
    edgeStep[edges] = step;
    edgeNext[edges] = firstInto[to];
    firstInto[to] = edges++;
  }

  /** Where time can pass: every deadline lies ahead. */
  private void addGoal(int id) {
    int[] running = search.running(id);
    int dimension = running.length + 1;
    int[] zone = new int[dimension * dimension];
    Zones.fill(zone, dimension);
    for (int i = 0; i < running.length; i++) {
      Bound limit = system.limit(running[i]);
      if (limit != null
          && !Zones.constrain(zone, dimension, i + 1, 0, Zones.bound(limit.quanta(), false))) {
        return;
      }
    }
    add(id, zone);
  }

  private void add(int id, int[] zone) {
    if (!recovering[id].add(zone)) {
      return;
    }
    zones++;
    fresh.get(id).add(zone);
    if (!isOpen[id]) {
      isOpen[id] = true;
      open.addLast(id);
    }
  }

  /** Takes what is new in a state back over every step into it. */
  private void spread(int id) {
    List<int[]> news = fresh.get(id);
    fresh.set(id, new ArrayList<>());
    boolean all = !done[id] && isDone(id);
    for (int e = firstInto[id]; e >= 0 && stop == null; e = edgeNext[e]) {
      int from = edgeFrom[e];
      if (done[from]) {
        continue;
      }
      if (all) {
        back(from, edgeStep[e], id, null);
      } else {
        for (int[] zone : news) {
          back(from, edgeStep[e], id, zone);
        }
      }
    }
  }

  private boolean isDone(int id) {
    for (int[] zone : search.zonesOf(id)) {
      if (done[id]) {
        break;
      }
      if (!recovering[id].covers(zone)) {
        return false;
      }
    }
    done[id] = true;
    return true;
  }

  /**
   * Adds the readings from which this step leads into the zone, at once or after a wait.
   *
   * @param zone null for whatever readings may be reached there
   */
  private void back(int from, int step, int to, int @Nullable [] zone) {
    check();
    int[] before = search.running(from);
    int dimension = before.length + 1;
    int[] origin;
    if (zone == null) {
      origin = new int[dimension * dimension];
      Zones.fill(origin, dimension);
    } else {
      int[] after = search.running(to);
      int restarted = system.restarts(step);
      int[] continued = new int[after.length];
      for (int i = 0; i < after.length; i++) {
        continued[i] =
            after[i] == restarted ? -1 : Math.max(-1, Arrays.binarySearch(before, after[i]));
      }
      origin = Zones.unarranged(zone, after.length + 1, continued, dimension);
    }
    if (origin == null || !allowed(origin, before, step)) {
      return;
    }
    if (waits[from]) {
      Zones.past(origin, dimension);
    }
    add(from, origin);
  }

  /** Cuts a zone down to what deadlines and the step's window allow. */
  private boolean allowed(int[] zone, int[] running, int step) {
    int dimension = running.length + 1;
    for (int i = 0; i < running.length; i++) {
      if (!atMost(zone, dimension, i, system.limit(running[i]))) {
        return false;
      }
    }
    FieldChange.Timing timing = system.timing(step);
    if (timing == null) {
      return true;
    }
    int k = Arrays.binarySearch(running, timing.clock());
    Bound e = timing.earliest();
    return k >= 0
        && Zones.constrain(zone, dimension, 0, k + 1, Zones.bound(-e.quanta(), e.closed()))
        && atMost(zone, dimension, k, timing.latest());
  }

  private static boolean atMost(int[] zone, int dimension, int clock, @Nullable Bound bound) {
    return bound == null
        || Zones.constrain(
            zone, dimension, clock + 1, 0, Zones.bound(bound.quanta(), bound.closed()));
  }

  private void check() {
    if (++sinceCheck < CHECK_EVERY) {
      return;
    }
    sinceCheck = 0;
    if (progress.stopped()) {
      stop = "interrupted";
    } else if (System.nanoTime() - deadlineNanos > 0) {
      stop = "the time budget of " + budget.time().toSeconds() + " s is used up";
    } else if (zones > budget.states()) {
      stop = "the budget of " + budget.states() + " states is used up";
    } else if (search.bytes() + bytes() > budget.bytes()) {
      stop = "the memory budget of " + (budget.bytes() >> 20) + " MiB is used up";
    }
  }

  private long bytes() {
    long perZone = 16 + 4L * (system.clocks() + 1) * (system.clocks() + 1);
    return 12L * edgeFrom.length + zones * perZone;
  }
}
