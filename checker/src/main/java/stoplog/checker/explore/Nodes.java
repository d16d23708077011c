package stoplog.checker.explore;

import java.util.Arrays;
import org.jspecify.annotations.Nullable;
import stoplog.checker.store.Ascending;
import stoplog.checker.store.Column;
import stoplog.checker.zone.Zones;

/**
 * The nodes of a search, numbered in the order found, so that their levels ascend: a discrete state
 * each, a zone, and the node and step they were found from. The nodes of one state form a list.
 *
 * <p>Nodes are visited in their order, so that the numbers of the nodes they were found from ascend and
 * take hardly any room. Where states need no zones there is one node for each, in the same order: only
 * that and the step are kept then, 1 to 4 bytes a node. With clocks it is 13 to 17 bytes a node, and each
 * different zone once.
 */
final class Nodes {
  private static final int ANY = Integer.MAX_VALUE;

  /** In place of the next node: the node was swallowed by one of its own level. */
  private static final int DEAD = ANY - 1;

  private final boolean plain;
  private final Ascending parent = new Ascending();
  private final Column step;
  private final Column state = new Column(ANY);
  private final Column next = new Column(ANY);
  private final Column zone = new Column(ANY);
  private final Column headOf = new Column(ANY);
  private final ZonePool zones = new ZonePool();
  private int[] levelStart = new int[16];
  private int levels;
  private long alive;
  private long statesReached;

  /** @param plain whether every state has one node, which needs no zone */
  Nodes(boolean plain, int steps) {
    this.plain = plain;
    this.step = new Column(steps);
  }

  int size() {
    return parent.size();
  }

  int state(int node) {
    return plain ? node : state.get(node);
  }

  /** The zone of a node. Not to be changed: it may be that of other nodes, too. */
  int[] zone(int node) {
    return zones.zone(zone.get(node));
  }

  /** The number of a node's zone: nodes with equal zones have the same one. */
  int zoneNumber(int node) {
    return zone.get(node);
  }

  int parent(int node) {
    return parent.get(node);
  }

  int step(int node) {
    return step.get(node);
  }

  int level(int node) {
    int at = Arrays.binarySearch(levelStart, 0, levels, node);
    return at >= 0 ? at : -at - 2;
  }

  /** Whether a node that was found at the same level covers this one. */
  boolean dead(int node) {
    return !plain && next.get(node) == DEAD;
  }

  /** The first node of a state that no other covers, or -1. */
  int head(int id) {
    if (plain) {
      return id < size() ? id : -1;
    }
    return id < headOf.size() ? headOf.get(id) : -1;
  }

  /** The next one of the same state, or -1. */
  int next(int node) {
    return plain ? -1 : next.get(node);
  }

  /** Adds the node of a new state; for states without zones. */
  void add(int from, int by, int level) {
    levelOfNext(level);
    parent.add(from);
    step.add(by);
    alive++;
    statesReached++;
  }

  /**
   * Adds a node, unless one of its state covers it; those that it covers leave the list of the state.
   *
   * @param found not written to by the caller afterwards
   * @param wanted whether it is added in any case
   */
  void offer(int id, int[] found, int from, int by, int level, boolean wanted) {
    boolean first = head(id) < 0;
    if (!first && !wanted && !takesPlace(id, found, level)) {
      return;
    }
    statesReached += first ? 1 : 0;
    levelOfNext(level);
    while (headOf.size() <= id) {
      headOf.add(-1);
    }
    state.add(id);
    zone.add(zones.numberOf(found));
    next.add(headOf.get(id));
    headOf.set(id, size());
    parent.add(from);
    step.add(by);
    alive++;
  }

  private void levelOfNext(int level) {
    if (level == levels) {
      if (levels == levelStart.length) {
        levelStart = Arrays.copyOf(levelStart, levels * 2);
      }
      levelStart[levels++] = size();
    }
  }

  private boolean takesPlace(int id, int[] found, int level) {
    int previous = -1;
    for (int n = head(id); n >= 0; ) {
      int after = next.get(n);
      int[] held = zone(n);
      if (found == held || Zones.within(found, held)) {
        return false;
      }
      if (Zones.within(held, found)) {
        if (previous < 0) {
          headOf.set(id, after);
        } else {
          next.set(previous, after);
        }
        next.set(n, n >= levelStart[Math.min(level, levels - 1)] && level < levels ? DEAD : -1);
        alive--;
      } else {
        previous = n;
      }
      n = after;
    }
    return true;
  }

  /** The zone of the state's first node, or null if there is none. */
  int @Nullable [] headZone(int id) {
    int n = head(id);
    return n < 0 || plain ? null : zone(n);
  }

  /** Level of the deepest node. */
  int depth() {
    return Math.max(0, levels - 1);
  }

  /** Zones that no other zone of their state covers. */
  long alive() {
    return alive;
  }

  long statesReached() {
    return statesReached;
  }

  long bytes() {
    return parent.bytes()
        + step.bytes()
        + state.bytes()
        + next.bytes()
        + headOf.bytes()
        + (plain ? 0 : zone.bytes() + zones.bytes());
  }
}
