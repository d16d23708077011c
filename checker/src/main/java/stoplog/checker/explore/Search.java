package stoplog.checker.explore;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.Collections;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import org.jspecify.annotations.Nullable;
import stoplog.checker.store.StateTable;
import stoplog.checker.zone.Zones;
import stoplog.model.Bound;
import stoplog.model.FieldChange;

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
 */
public final class Search {
  /** How a search ended. */
  public sealed interface Outcome {
    /** Everything reachable was visited and the goal is not there. */
    record Exhausted() implements Outcome {}

    /** A shortest way to the goal. */
    record Found(Path path) implements Outcome {}

    /** The budget ran out; no goal within fewer than {@code level} steps. */
    record Stopped(String reason, int level) implements Outcome {}
  }

  /** A run: start state, then each step with the state it leads to. */
  public record Path(List<long[]> states, int[] steps) {}

  /** Head of the node list of a state that is known as a target but has no node. */
  private static final int UNREACHED = -2;

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

  private final TimedSystem system;
  private final Zoning zoning;
  private final Budget budget;
  private final long deadlineNanos;
  private final Progress progress;
  private final String claim;
  private final int keptCount;

  private final StateTable states;
  private final int[] lowerMost;
  private final int[] upperMost;
  private int[][] runningOf = new int[64][];
  private int[] headOf = new int[64];
  private byte[] mergesOf = new byte[64];
  private final Map<IntArray, int[]> runningSets = new HashMap<>();

  private int nodes;
  private int[] nodeState = new int[64];
  private int[][] nodeZone = new int[64][];
  private int[] nodeParent = new int[64];
  private int[] nodeStep = new int[64];
  private int[] nodeNext = new int[64];
  private int[] nodeLevel = new int[64];
  private boolean[] nodeDead = new boolean[64];
  private long zoneBytes;
  private long zonesAlive;
  private int goalNode = -1;
  private long statesReached;

  private int edgeCount;
  private int[] edgeSteps = new int[64];
  private int[] edgeTargets = new int[64];
  private final Map<Integer, int[]> edgeCache = new HashMap<>();

  public Search(
      TimedSystem system,
      Zoning zoning,
      Budget budget,
      long deadlineNanos,
      Progress progress,
      String claim,
      int kept) {
    this.system = system;
    this.zoning = zoning;
    this.budget = budget;
    this.deadlineNanos = deadlineNanos;
    this.progress = progress;
    this.claim = claim;
    this.keptCount = kept;
    this.states = new StateTable(system.words());
    this.lowerMost = new int[system.clocks()];
    this.upperMost = new int[system.clocks()];
    constants();
  }

  /** The constants each clock is compared with; clocks of steps are known by asking every step once. */
  private void constants() {
    Arrays.fill(lowerMost, Zones.NEVER);
    Arrays.fill(upperMost, Zones.NEVER);
    for (int c = 0; c < system.clocks(); c++) {
      Bound limit = system.limit(c);
      if (limit != null) {
        upperMost[c] = (int) limit.quanta();
      }
    }
    for (int s = 0; s < steps(); s++) {
      FieldChange.Timing t = system.timing(s);
      if (t != null) {
        lowerMost[t.clock()] = Math.max(lowerMost[t.clock()], (int) t.earliest().quanta());
        Bound latest = t.latest();
        if (latest != null) {
          upperMost[t.clock()] = Math.max(upperMost[t.clock()], (int) latest.quanta());
        }
      }
    }
    int goal = system.goalClock();
    if (goal >= 0) {
      lowerMost[goal] = Math.max(lowerMost[goal], (int) system.goalQuanta());
    }
    for (int c = 0; zoning == Zoning.FOR_ALL_FUTURES && c < system.clocks(); c++) {
      lowerMost[c] = Math.max(lowerMost[c], upperMost[c]);
      upperMost[c] = lowerMost[c];
    }
  }

  /**
   * The largest number a clock is compared with, or {@link Zones#NEVER}; after a search for all
   * futures.
   */
  public int mostOf(int clock) {
    return Math.max(lowerMost[clock], upperMost[clock]);
  }

  private int steps() {
    return system.stepCount();
  }

  /** Runs the search to its end. May be called once. */
  public Outcome run() {
    long[] state = new long[system.words()];
    system.starts((step, s) -> start(s));
    int visited = 0;
    while (visited < nodes && goalNode < 0) {
      if ((visited & 255) == 0) {
        String stop = overBudget();
        if (stop != null) {
          return new Outcome.Stopped(stop, nodeLevel[visited] + 1);
        }
        if ((visited & 4095) == 0) {
          progress.at(claim, nodeLevel[visited], states.size(), keptCount);
        }
      }
      int node = visited++;
      if (nodeDead[node]) {
        continue;
      }
      expand(node, state);
    }
    return goalNode >= 0 ? new Outcome.Found(pathTo(goalNode)) : new Outcome.Exhausted();
  }

  private @Nullable String overBudget() {
    if (progress.stopped()) {
      return "interrupted";
    }
    if (Math.max(states.size(), nodes) > budget.states()) {
      return "the budget of " + budget.states() + " states is used up";
    }
    if (bytes() > budget.bytes()) {
      return "the memory budget of " + (budget.bytes() >> 20) + " MiB is used up";
    }
    if (System.nanoTime() - deadlineNanos > 0) {
      return "the time budget of " + budget.time().toSeconds() + " s is used up";
    }
    return null;
  }

  /** Bytes of the search's own tables, within a few per cent. */
  public long bytes() {
    return states.bytes() + 29L * nodeState.length + zoneBytes + 12L * headOf.length;
  }

  /** Discrete states reached. */
  public long states() {
    return statesReached;
  }

  /** Zones that no other zone of their state covers. */
  public long zones() {
    return zonesAlive;
  }

  public int nodes() {
    return nodes;
  }

  /** Level of the deepest node. */
  public int depth() {
    return nodes == 0 ? 0 : nodeLevel[nodes - 1];
  }

  private void start(long[] s) {
    int id = stateId(s);
    int[] running = runningOf[id];
    int[] zone = Zones.origin(running.length);
    settle(id, s, zone, running, -1, -1, 0);
  }

  private int stateId(long[] s) {
    int before = states.size();
    int id = states.add(s);
    if (id == before) {
      if (id == headOf.length) {
        headOf = Arrays.copyOf(headOf, id * 2);
        runningOf = Arrays.copyOf(runningOf, id * 2);
        mergesOf = Arrays.copyOf(mergesOf, id * 2);
      }
      headOf[id] = UNREACHED;
      runningOf[id] = runningSets.computeIfAbsent(new IntArray(system.running(s)), IntArray::values);
    }
    return id;
  }

  private void expand(int node, long[] scratch) {
    int[] cached = edgesFrom(nodeState[node], scratch);
    for (int i = 0; i < cached.length && goalNode < 0; i += 2) {
      follow(node, cached[i], cached[i + 1], scratch);
    }
  }

  /** The steps from a state with the indices of the states they lead to: step, target, step, … */
  private int[] edgesFrom(int stateId, long[] scratch) {
    int[] cached = edgeCache.get(stateId);
    if (cached == null) {
      states.get(stateId, scratch);
      edgeCount = 0;
      system.successors(scratch, this::edge);
      cached = new int[edgeCount * 2];
      for (int i = 0; i < edgeCount; i++) {
        cached[2 * i] = edgeSteps[i];
        cached[2 * i + 1] = edgeTargets[i];
      }
      if (system.clocks() > 0) {
        edgeCache.put(stateId, cached);
        zoneBytes += 64 + 4L * cached.length;
      }
    }
    return cached;
  }

  private void edge(int step, long[] target) {
    int id = stateId(target);
    for (int i = edgeCount - 1; i >= 0 && edgeSteps[i] == step; i--) {
      if (edgeTargets[i] == id) {
        return;
      }
    }
    if (edgeCount == edgeSteps.length) {
      edgeSteps = Arrays.copyOf(edgeSteps, edgeCount * 2);
      edgeTargets = Arrays.copyOf(edgeTargets, edgeCount * 2);
    }
    edgeSteps[edgeCount] = step;
    edgeTargets[edgeCount++] = id;
  }

  private void follow(int node, int step, int target, long[] scratch) {
    int[] before = runningOf[nodeState[node]];
    int[] after = runningOf[target];
    int dimension = before.length + 1;
    int[] zone = nodeZone[node];
    FieldChange.Timing timing = system.timing(step);
    if (timing != null) {
      int k = Arrays.binarySearch(before, timing.clock());
      if (k < 0) {
        return;
      }
      zone = zone.clone();
      Bound e = timing.earliest();
      if (!Zones.constrain(zone, dimension, 0, k + 1, Zones.bound(-e.quanta(), e.closed()))) {
        return;
      }
      Bound l = timing.latest();
      if (l != null
          && !Zones.constrain(zone, dimension, k + 1, 0, Zones.bound(l.quanta(), l.closed()))) {
        return;
      }
    }
    int restarted = system.restarts(step);
    int[] from = new int[after.length];
    for (int i = 0; i < after.length; i++) {
      from[i] = after[i] == restarted ? -1 : Math.max(-1, Arrays.binarySearch(before, after[i]));
    }
    zone = Zones.rearrange(zone, dimension, from);
    states.get(target, scratch);
    settle(target, scratch, zone, after, node, step, nodeLevel[node] + 1);
  }

  private void settle(
      int id, long[] state, int[] zone, int[] running, int parent, int step, int level) {
    int dimension = running.length + 1;
    if (!system.urgent(state)) {
      Zones.elapse(zone, dimension);
    }
    for (int i = 0; i < running.length; i++) {
      Bound limit = system.limit(running[i]);
      if (limit != null
          && !Zones.constrain(zone, dimension, i + 1, 0, Zones.bound(limit.quanta(), limit.closed()))) {
        return;
      }
    }
    boolean goal = false;
    int goalClock = system.goalClock();
    boolean mayBeGoal = goalClock >= 0 && system.goal(state);
    if (mayBeGoal) {
      int k = Arrays.binarySearch(running, goalClock);
      goal = k >= 0 && Zones.mayExceed(zone, dimension, k, system.goalQuanta());
    }
    int[] lower = new int[running.length];
    int[] upper = new int[running.length];
    for (int i = 0; i < running.length; i++) {
      lower[i] = lowerMost[running[i]];
      upper[i] = upperMost[running[i]];
    }
    Zones.extrapolate(zone, dimension, lower, upper);
    if (zoning == Zoning.MERGED && headOf[id] >= 0 && !Zones.within(zone, nodeZone[headOf[id]])) {
      merge(id, zone, running);
      int k = mayBeGoal && !goal ? Arrays.binarySearch(running, goalClock) : -1;
      if (k >= 0) {
        // None of the zones put together goes beyond, and so their sum need not.
        Zones.constrain(zone, dimension, k + 1, 0, Zones.bound(system.goalQuanta(), true));
      }
    }
    if (goal || isNew(id, zone, level)) {
      addNode(id, zone, parent, step, level);
      if (goal) {
        goalNode = nodes - 1;
      }
    }
  }

  /** Widens the zone to hold the state's present one; after many times to all that deadlines allow. */
  private void merge(int id, int[] zone, int[] running) {
    if (++mergesOf[id] < MOST_MERGES) {
      Zones.widen(zone, nodeZone[headOf[id]]);
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

  private boolean isNew(int id, int[] zone, int level) {
    int previous = -1;
    for (int n = headOf[id]; n >= 0; n = nodeNext[n]) {
      if (Zones.within(zone, nodeZone[n])) {
        return false;
      }
      if (Zones.within(nodeZone[n], zone)) {
        if (previous < 0) {
          headOf[id] = nodeNext[n];
        } else {
          nodeNext[previous] = nodeNext[n];
        }
        nodeDead[n] = nodeLevel[n] == level;
        zonesAlive--;
      } else {
        previous = n;
      }
    }
    return true;
  }

  private void addNode(int id, int[] zone, int parent, int step, int level) {
    if (nodes == nodeState.length) {
      int wider = nodes * 2;
      nodeState = Arrays.copyOf(nodeState, wider);
      nodeZone = Arrays.copyOf(nodeZone, wider);
      nodeParent = Arrays.copyOf(nodeParent, wider);
      nodeStep = Arrays.copyOf(nodeStep, wider);
      nodeNext = Arrays.copyOf(nodeNext, wider);
      nodeLevel = Arrays.copyOf(nodeLevel, wider);
      nodeDead = Arrays.copyOf(nodeDead, wider);
    }
    if (headOf[id] == UNREACHED) {
      statesReached++;
    }
    nodeState[nodes] = id;
    nodeZone[nodes] = zone;
    nodeParent[nodes] = parent;
    nodeStep[nodes] = step;
    nodeLevel[nodes] = level;
    nodeNext[nodes] = Math.max(-1, headOf[id]);
    headOf[id] = nodes++;
    zonesAlive++;
    zoneBytes += 16 + 4L * zone.length;
  }

  /** Receives what a search has kept: a packed state, the clocks that run there, and a zone over them. */
  public interface Visitor {
    void node(long[] state, int[] running, int[] zone);
  }

  /** Every zone that no other zone of its state covers, in the order of states found. */
  public void visit(Visitor visitor) {
    long[] state = new long[system.words()];
    for (int id = 0; id < states.size(); id++) {
      states.get(id, state);
      for (int n = headOf[id]; n >= 0; n = nodeNext[n]) {
        visitor.node(state, runningOf[id], nodeZone[n]);
      }
    }
  }

  /**
   * The longest reading of the goal clock in any state kept, in quanta; -1 if it runs in none. Of use
   * after an exhausted search, in which it is at most the goal's bound.
   */
  public long longestGoal() {
    long[] longest = {-1};
    visit(
        (state, running, zone) -> {
          int k = Arrays.binarySearch(running, system.goalClock());
          if (k >= 0) {
            longest[0] = Math.max(longest[0], zone[(k + 1) * (running.length + 1)] >> 1);
          }
        });
    return longest[0];
  }

  // ---- what an exhausted search knows, for those who go on from there

  /** States are numbered from 0 to this, exclusive; some are only known as targets. */
  public int stateCount() {
    return states.size();
  }

  public void state(int id, long[] into) {
    states.get(id, into);
  }

  /** The clocks that run in the state. Not to be changed. */
  public int[] running(int id) {
    return runningOf[id];
  }

  /** The zones of the state that no other covers; none if it is not reached. */
  public List<int[]> zonesOf(int id) {
    var zones = new ArrayList<int[]>();
    for (int n = headOf[id]; n >= 0; n = nodeNext[n]) {
      zones.add(nodeZone[n]);
    }
    return zones;
  }

  /** The steps from a state with the numbers of the states they lead to: step, target, step, … */
  public int[] edgesFrom(int id) {
    return edgesFrom(id, new long[system.words()]);
  }

  /** The state of a node. Nodes are numbered in the order found, so that their levels ascend. */
  public int stateOf(int node) {
    return nodeState[node];
  }

  public int[] zoneOf(int node) {
    return nodeZone[node];
  }

  public int levelOf(int node) {
    return nodeLevel[node];
  }

  /** The way on which a node was found. */
  public Path pathTo(int node) {
    var onPath = new ArrayList<long[]>();
    var taken = new ArrayList<Integer>();
    for (int n = node; n >= 0; n = nodeParent[n]) {
      long[] s = new long[system.words()];
      states.get(nodeState[n], s);
      onPath.add(s);
      if (nodeParent[n] >= 0) {
        taken.add(nodeStep[n]);
      }
    }
    Collections.reverse(onPath);
    Collections.reverse(taken);
    return new Path(onPath, taken.stream().mapToInt(Integer::intValue).toArray());
  }

  /** An array that is equal to another with the same numbers. */
  private record IntArray(int[] values) {
    @Override
    public boolean equals(@Nullable Object other) {
      return other instanceof IntArray(int[] o) && Arrays.equals(values, o);
    }

    @Override
    public int hashCode() {
      return Arrays.hashCode(values);
    }
  }
}
