package stoplog.checker.explore;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.Collections;
import java.util.List;
import org.jspecify.annotations.Nullable;
import stoplog.checker.store.Column;
import stoplog.checker.store.References;
import stoplog.checker.store.StateTable;
import stoplog.checker.zone.Zones;

/**
 * What a search has found: discrete states, the clocks that run in them, the steps between them, and
 * nodes. An exhausted search is asked about it by those who go on from there.
 */
public abstract sealed class Explored permits Search {
  /** A run: start state, then each step with the state it leads to. */
  public record Path(List<long[]> states, int[] steps) {}

  /** Receives what a search has kept: a packed state, the clocks that run there, and a zone over them. */
  public interface Visitor {
    void node(long[] state, int[] running, int[] zone);
  }

  /** Targets of a step up to which each is compared with all before it. */
  private static final int FEW_TARGETS = 64;

  final TimedSystem system;
  final boolean plain;
  final StateTable states;
  final RunningClocks clocks;
  final Nodes nodes;
  final Asleep asleep = new Asleep();

  /** Without clocks to keep, the first state found in which the goal is met, or -1. */
  int plainGoal = -1;

  /** Of each state the number of the set of its clocks, times two, and 1 more if it is urgent. */
  private final Column kindOf = new Column(Integer.MAX_VALUE);

  // Steps are remembered only where a state may be visited again with another zone.
  private final References<int[]> remembered = new References<>();
  private long rememberedBytes;
  private final boolean asksForGoal;
  private final long[] scratch;
  final Successors notes;
  private int edgeCount;
  private int[] edgeSteps = new int[64];
  private int[] edgeTargets = new int[64];
  private int firstOfStep;

  /** By state, the last step with more than few targets that leads there; each such step has a number. */
  private int[] marks = new int[0];

  private int mark;

  /** @param mostNoted bytes that the steps from one state may take before they are taken in */
  Explored(TimedSystem system, boolean sameBothWays, long mostNoted) {
    this.system = system;
    this.plain = isPlain(system);
    this.states = new StateTable(system.words());
    this.clocks = new RunningClocks(system, sameBothWays);
    this.nodes = new Nodes(plain, system.stepCount());
    this.asksForGoal = plain && system.clocks() > 0;
    this.scratch = new long[system.words()];
    this.notes = new Successors(this, mostNoted);
  }

  /**
   * Whether a discrete state never has more than one zone, so that none needs to be kept: there is no
   * clock, or only the goal's. Where time passes while that one runs, the goal is met; so it reads 0
   * in every other state, those in which no time may pass.
   */
  private static boolean isPlain(TimedSystem system) {
    boolean goalOnly =
        system.clocks() == 1
            && system.goalClock() == 0
            && system.goalCountsEverywhere()
            && system.limit(0) == null;
    if (system.clocks() > 0 && !goalOnly) {
      return false;
    }
    for (int step = 0; step < system.stepCount(); step++) {
      if (system.timing(step) != null) {
        return false;
      }
    }
    return true;
  }

  /** The number of a start state, which is added if it is new. */
  final int stateId(long[] s) {
    int before = states.size();
    int id = states.add(s);
    if (id == before) {
      added(id, s, null);
    }
    return id;
  }

  /** The number of the state that a noted step leads to, which is added if it is new. */
  final int stateId(Successors noted, int step) {
    int before = states.size();
    int id = states.add(noted.targets, step * states.words(), noted.hashes[step]);
    if (id == before) {
      states.get(id, scratch);
      added(id, scratch, noted.running(step));
    }
    return id;
  }

  /** @param running the clocks that run there, or null if that is still to be asked */
  private void added(int id, long[] s, int @Nullable [] running) {
    if (!plain) {
      int set = clocks.of(running == null ? system.running(s) : running).number();
      kindOf.add(set * 2 + (system.urgent(s) ? 1 : 0));
      remembered.add(null);
    } else if (asksForGoal && plainGoal < 0 && system.running(s).length > 0 && !system.urgent(s)) {
      plainGoal = id;
    }
  }

  final RunningClocks.Set set(int id) {
    if (!plain) {
      return clocks.numbered(kindOf.get(id) >> 1);
    }
    if (!asksForGoal) {
      return clocks.of(new int[0]);
    }
    long[] state = new long[system.words()];
    states.get(id, state);
    return clocks.of(system.running(state));
  }

  /** Whether no time may pass in a state; where there are clocks. */
  final boolean urgent(int id) {
    return (kindOf.get(id) & 1) != 0;
  }

  final int @Nullable [] rememberedFrom(int id) {
    return plain ? null : remembered.get(id);
  }

  /** The steps from a state with the numbers of the states they lead to: step, target, step, … */
  public final int[] edgesFrom(int id) {
    int[] known = rememberedFrom(id);
    if (known != null) {
      return known;
    }
    notes.note(system, id);
    return edgesFrom(id, notes, 0);
  }

  /** The same of the state of a node whose steps are noted. */
  final int[] edgesFrom(int id, Successors noted, int node) {
    edgeCount = 0;
    firstOfStep = 0;
    for (int i = noted.from(node); i < noted.to(node); i++) {
      int known = noted.found[i];
      edge(noted.steps[i], known >= 0 ? known : stateId(noted, i));
    }
    int[] found = new int[edgeCount * 2];
    for (int i = 0; i < edgeCount; i++) {
      found[2 * i] = edgeSteps[i];
      found[2 * i + 1] = edgeTargets[i];
    }
    if (!plain) {
      remembered.set(id, found);
      rememberedBytes += 16 + 4L * found.length;
    }
    return found;
  }

  private void edge(int step, int id) {
    if (edgeCount == 0 || edgeSteps[edgeCount - 1] != step) {
      firstOfStep = edgeCount;
    }
    int before = edgeCount - firstOfStep;
    if (before < FEW_TARGETS ? isListed(id) : isMarked(id)) {
      return;
    }
    add(step, id);
    if (before + 1 == FEW_TARGETS) {
      mark++;
      for (int i = firstOfStep; i < edgeCount; i++) {
        mark(edgeTargets[i]);
      }
    } else if (before + 1 > FEW_TARGETS) {
      mark(id);
    }
  }

  private boolean isListed(int id) {
    for (int i = edgeCount - 1; i >= firstOfStep; i--) {
      if (edgeTargets[i] == id) {
        return true;
      }
    }
    return false;
  }

  private boolean isMarked(int id) {
    return id < marks.length && marks[id] == mark;
  }

  private void mark(int id) {
    if (id >= marks.length) {
      marks = Arrays.copyOf(marks, Math.max(id + 1, marks.length * 2));
    }
    marks[id] = mark;
  }

  private void add(int step, int id) {
    if (edgeCount == edgeSteps.length) {
      edgeSteps = Arrays.copyOf(edgeSteps, edgeCount * 2);
      edgeTargets = Arrays.copyOf(edgeTargets, edgeCount * 2);
    }
    edgeSteps[edgeCount] = step;
    edgeTargets[edgeCount++] = id;
  }

  /** Lets go of the remembered steps, which only costs time. */
  final void forgetSteps() {
    remembered.clear();
    rememberedBytes = 0;
  }

  /** Bytes that {@link #forgetSteps} would set free. */
  final long bytesOfSteps() {
    return rememberedBytes;
  }

  /** Bytes of the search's own tables, within a few per cent. */
  public long bytes() {
    return states.bytes()
        + nodes.bytes()
        + asleep.bytes()
        + (plain ? 0 : kindOf.bytes() + remembered.bytes() + rememberedBytes);
  }

  /** Discrete states reached. */
  public final long states() {
    return nodes.statesReached();
  }

  /** Zones that no other zone of their state covers. */
  public final long zones() {
    return nodes.alive();
  }

  public final int nodes() {
    return nodes.size();
  }

  /** Level of the deepest node. */
  public final int depth() {
    return nodes.depth();
  }

  /** Every zone that no other zone of its state covers, in the order of states found. */
  public final void visit(Visitor visitor) {
    long[] state = new long[system.words()];
    for (int id = 0; id < states.size(); id++) {
      states.get(id, state);
      for (int n = nodes.head(id); n >= 0; n = nodes.next(n)) {
        visitor.node(state, running(id), zoneOf(n));
      }
    }
  }

  /**
   * The longest reading of the goal clock in any state kept, in quanta; -1 if it runs in none. Of use
   * after an exhausted search, in which it is at most the goal's bound.
   */
  public final long longestGoal() {
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

  /**
   * The largest number a clock is compared with, or {@link stoplog.checker.zone.Zones#NEVER}; after a
   * search for all futures.
   */
  public final int mostOf(int clock) {
    return clocks.mostOf(clock);
  }

  /** States are numbered from 0 to this, exclusive; some are only known as targets. */
  public final int stateCount() {
    return states.size();
  }

  public final void state(int id, long[] into) {
    states.get(id, into);
  }

  /** The clocks that run in the state. Not to be changed. */
  public final int[] running(int id) {
    return set(id).clocks();
  }

  /** The zones of the state that no other covers; none if it is not reached. Not to be changed. */
  public final List<int[]> zonesOf(int id) {
    var zones = new ArrayList<int[]>();
    for (int n = nodes.head(id); n >= 0; n = nodes.next(n)) {
      zones.add(zoneOf(n));
    }
    return zones;
  }

  /** The state of a node. Nodes are numbered in the order found, so that their levels ascend. */
  public final int stateOf(int node) {
    return nodes.state(node);
  }

  /** The zone of a node. Not to be changed. */
  public final int[] zoneOf(int node) {
    return plain ? Zones.origin(running(node).length) : nodes.zone(node);
  }

  public final int levelOf(int node) {
    return nodes.level(node);
  }

  /** The way on which a node was found. */
  public final Path pathTo(int node) {
    var onPath = new ArrayList<long[]>();
    var taken = new ArrayList<Integer>();
    for (int n = node; n >= 0; n = nodes.parent(n)) {
      long[] s = new long[system.words()];
      states.get(nodes.state(n), s);
      onPath.add(s);
      if (nodes.parent(n) >= 0) {
        taken.add(nodes.step(n));
      }
    }
    Collections.reverse(onPath);
    Collections.reverse(taken);
    return new Path(onPath, taken.stream().mapToInt(Integer::intValue).toArray());
  }
}
