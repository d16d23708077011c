package stoplog.checker.explore;

import org.jspecify.annotations.Nullable;
import stoplog.checker.store.Column;
import stoplog.checker.zone.Zones;
import stoplog.model.Bound;

/**
 * Breadth-first search of a timed system for its goal.
 *
 * <p>A node is a discrete state with a zone over the clocks that run there, time passage included. A
 * node whose zone lies within that of another node of the same state is not kept. Nodes are visited
 * in the order found, so the first goal is one with the fewest steps; a node that a later, deeper node
 * swallows is visited all the same, since a way through it may be shorter.
 *
 * <p>Time and memory are proportional to nodes times steps; each zone operation is quadratic in the
 * clocks running, extrapolation cubic.
 *
 * <p>Where a level is wide and threads have nothing else to do, the steps from its states are worked
 * out by several of them; see {@link Ahead}. Nodes are added by one thread and in the same order for
 * any number of threads.
 */
public final class Search extends Explored {
  /** How a search ended. */
  public sealed interface Outcome {
    /** Everything reachable was visited and the goal is not there. */
    record Exhausted() implements Outcome {}

    /** A shortest way to the goal. */
    record Found(Path path) implements Outcome {}

    /** The budget ran out; no goal within fewer than {@code level} steps. */
    record Stopped(String reason, int level) implements Outcome {}
  }

  /** How often a zone may grow before it is taken to be all it can be: growth may creep by quanta. */
  private static final int MOST_MERGES = 24;

  /** How much a search may forget of the zones it finds. */
  public enum Zoning {
    /**
     * One zone for each discrete state, the smallest that holds all those found. That only adds
     * behaviour: an exhausted search is exhausted all the same, and no goal lies nearer than the one
     * found, but the way to it may not exist.
     */
    MERGED,
    /** What no way to the goal can tell apart. */
    FOR_REACHING,
    /**
     * What no future at all can tell apart: every point of a zone kept has, for each clock, the reading
     * of some point that is really reached, or both read more than the clock is ever compared with.
     * No construct compares two clocks, so two such points can take the same steps, now and after any
     * time, to such points again: they are bisimilar, and what the one can never get to the other
     * cannot either.
     *
     * <p>It is the same extrapolation with the larger of a clock's two constants for both. It keeps a
     * zone within what is simulated by its points (Behrmann and others, see {@link Zones}); the
     * simulation says that a reading may be replaced by a smaller one if the smaller is beyond the
     * lower constant, and by a larger one if the original is beyond the upper. With equal constants
     * both readings are beyond it in either case, and the simulation goes both ways.
     */
    FOR_ALL_FUTURES
  }

  /** Words of targets that are noted before they are taken in: what the cache holds well. */
  private static final int NOTED_WORDS = 1 << 9;

  /** After how many nodes it is looked at what is left of the budget. */
  private static final int CHECK_EVERY = 256;

  /** What part of the memory the steps from one state may take before they are taken in. */
  private static final int SHARE_NOTED = 4;

  /** Steps from one state after which it is looked at what is left of the budget. */
  private static final int MANY_EDGES = 1 << 14;

  private final Zoning zoning;
  private final Budget budget;
  private final long deadlineNanos;
  private boolean late;
  private int started;
  private final Progress progress;
  private final String claim;
  private final int keptCount;
  private final Ahead ahead;
  private final Moves moves;
  private final boolean goalCountsEverywhere;
  private final Column mergesOf = new Column(MOST_MERGES + 1);
  private int goalNode = -1;

  public Search(
      TimedSystem system,
      Zoning zoning,
      Budget budget,
      long deadlineNanos,
      Progress progress,
      String claim,
      int kept) {
    super(system, zoning == Zoning.FOR_ALL_FUTURES, budget.bytes() / SHARE_NOTED);
    this.zoning = zoning;
    this.budget = budget;
    this.deadlineNanos = deadlineNanos;
    this.progress = progress;
    this.claim = claim;
    this.keptCount = kept;
    this.moves = new Moves(system);
    this.goalCountsEverywhere = system.goalCountsEverywhere();
    this.ahead = new Ahead(this, progress);
  }

  /** Runs the search to its end. May be called once. */
  public Outcome run() {
    try {
      return searched();
    } catch (CutShort e) {
      return new Outcome.Stopped(e.reason(), depth());
    }
  }

  private Outcome searched() {
    long[] state = new long[system.words()];
    system.starts((step, s) -> start(s));
    int visited = 0;
    int level = -1;
    int end = 0;
    while (visited < nodes.size() && goalNode < 0) {
      if (visited == end) {
        level++;
        end = nodes.size();
      }
      if (late || (visited & CHECK_EVERY - 1) == 0) {
        String stop = overBudget();
        if (stop != null) {
          return new Outcome.Stopped(stop, level + 1);
        }
        if ((visited & 4095) == 0) {
          progress.at(claim, level, states.size(), keptCount);
        }
      }
      if (plain) {
        int check = (visited | CHECK_EVERY - 1) + 1;
        Successors noted = noted(visited, end, Math.min(end, check));
        int to = Math.min(check, noted.end());
        takeIn(noted, visited, to, level + 1);
        visited = to;
        asleep.forgetBefore(visited);
        SleepSets sets = asleep.hasBegun() ? null : system.sleepSets();
        if (sets != null) {
          asleep.begin(sets, nodes.size());
        }
      } else {
        int node = visited++;
        if (!nodes.dead(node)) {
          expand(node, level, end, state);
        }
      }
    }
    return goalNode >= 0 ? new Outcome.Found(pathTo(goalNode)) : new Outcome.Exhausted();
  }

  private @Nullable String overBudget() {
    if (progress.stopped()) {
      return "interrupted";
    }
    if (Math.max(states.size(), nodes.size()) > budget.states()) {
      return "the budget of " + budget.states() + " states is used up";
    }
    if (bytes() > budget.bytes() && bytesOfSteps() > 0) {
      forgetSteps();
    }
    if (bytes() > budget.bytes()) {
      return "the memory budget of " + (budget.bytes() >> 20) + " MiB is used up";
    }
    if (System.nanoTime() - deadlineNanos > 0) {
      return "the time budget of " + budget.time().toSeconds() + " s is used up";
    }
    return null;
  }

  @Override
  public long bytes() {
    return super.bytes() + mergesOf.bytes() + (plain ? 0 : moves.bytes());
  }

  private void start(long[] s) {
    if ((++started & CHECK_EVERY - 1) == 0) {
      String stop = overBudget();
      if (stop != null) {
        throw new CutShort(stop);
      }
    }
    int before = states.size();
    int id = stateId(s);
    if (!plain) {
      RunningClocks.Set running = set(id);
      Moves.Result found = moves.start(running, urgent(id));
      if (found != null) {
        arrive(id, found, running, -1, -1, 0, new long[system.words()]);
      }
    } else if (id == before) {
      nodes.add(-1, -1, 0);
      goalNode = plainGoal;
    }
  }

  /**
   * Notes that begin with a node at the latest: those of helpers, or else of some of the next nodes.
   *
   * @param end the first node after its level
   * @param upTo before which the notes end that nobody helped with
   */
  private Successors noted(int node, int end, int upTo) {
    Successors helped = ahead.of(node, end);
    if (helped != null) {
      return helped;
    }
    notes.note(system, this, node, upTo, NOTED_WORDS);
    if (!notes.has(node)) {
      // Fails again, and now for the one who asked.
      notes.note(system, nodes.state(node));
      throw new IllegalStateException("the steps of node " + node + " come and go");
    }
    return notes;
  }

  /** Adds what the steps of these nodes lead to and is new; for states without zones. */
  private void takeIn(Successors noted, int from, int to, int level) {
    for (int node = from; node < to && goalNode < 0; node++) {
      int end = noted.to(node);
      for (int i = noted.from(node); i < end; i++) {
        if (noted.found[i] < 0) {
          int before = states.size();
          if (stateId(noted, i) == before) {
            nodes.add(node, noted.steps[i], level);
            asleep.add(node, noted.steps[i]);
            if (plainGoal >= 0) {
              goalNode = plainGoal;
              return;
            }
          }
        }
      }
    }
  }

  private void expand(int node, int level, int end, long[] scratch) {
    int id = nodes.state(node);
    int[] edges = rememberedFrom(id);
    if (edges == null) {
      edges = edgesFrom(id, noted(node, end, node + 1), node);
      // Working out a state's steps may take long where much is hidden.
      late = System.nanoTime() - deadlineNanos > 0 || edges.length > MANY_EDGES;
    }
    for (int i = 0; i < edges.length && goalNode < 0; i += 2) {
      follow(node, edges[i], edges[i + 1], level + 1, scratch);
    }
  }

  private void follow(int node, int step, int target, int level, long[] scratch) {
    RunningClocks.Set running = set(target);
    Moves.Result found =
        moves.of(
            nodes.zoneNumber(node),
            nodes.zone(node),
            set(nodes.state(node)),
            step,
            running,
            urgent(target));
    if (found != null) {
      arrive(target, found, running, node, step, level, scratch);
    }
  }

  private void arrive(
      int id,
      Moves.Result found,
      RunningClocks.Set running,
      int parent,
      int step,
      int level,
      long[] scratch) {
    boolean mayBeGoal = system.goalClock() >= 0 && isGoal(id, scratch);
    boolean goal = mayBeGoal && found.mayExceedGoal();
    int[] zone = found.zone();
    int[] held = zoning == Zoning.MERGED ? nodes.headZone(id) : null;
    if (held != null && zone != held && !Zones.within(zone, held)) {
      zone = zone.clone();
      merge(id, zone, held, running.clocks());
      int k = mayBeGoal && !goal ? running.place(system.goalClock()) : -1;
      if (k >= 0) {
        // None of the zones put together goes beyond, and so their sum need not.
        int dimension = running.clocks().length + 1;
        Zones.constrain(zone, dimension, k + 1, 0, Zones.bound(system.goalQuanta(), true));
      }
    }
    nodes.offer(id, zone, parent, step, level, goal);
    if (goal) {
      goalNode = nodes.size() - 1;
    }
  }

  private boolean isGoal(int id, long[] scratch) {
    if (goalCountsEverywhere) {
      return true;
    }
    states.get(id, scratch);
    return system.goal(scratch);
  }

  /** Widens the zone to hold the state's present one; after many times to all that deadlines allow. */
  private void merge(int id, int[] zone, int[] held, int[] running) {
    while (mergesOf.size() <= id) {
      mergesOf.add(0);
    }
    int merges = Math.min(mergesOf.get(id) + 1, MOST_MERGES);
    mergesOf.set(id, merges);
    if (merges < MOST_MERGES) {
      Zones.widen(zone, held);
      return;
    }
    int dimension = running.length + 1;
    Zones.fill(zone, dimension);
    for (int i = 0; i < running.length; i++) {
      Bound limit = system.limit(running[i]);
      if (limit != null) {
        Zones.constrain(zone, dimension, i + 1, 0, Zones.bound(limit.quanta(), limit.closed()));
      }
    }
  }
}
