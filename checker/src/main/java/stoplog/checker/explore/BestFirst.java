package stoplog.checker.explore;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.Collections;
import java.util.List;
import org.jspecify.annotations.Nullable;
import stoplog.checker.store.StateTable;
import stoplog.checker.zone.Zones;
import stoplog.model.Bound;
import stoplog.model.FieldChange;

/**
 * A search that looks for one way to the goal and visits first what promises most. It finds a way or
 * gives up; it never shows that there is none, and the way need not be a shortest one.
 *
 * <p>Three orders take turns. By the estimated distance to where the goal's clock runs, and there by the
 * {@link Guide#price price} of the way: what comes of itself before anything more is done. By price: all
 * that little can bring about. By distance, and there by how much the goal's clock falls short: what
 * lets it run on. The first alone is stuck where a way that is nearly there leads no further, the last
 * where something that lasts is cut off by what comes next.
 *
 * <p>Nodes are as those of {@link Search}: a discrete state and a zone, time passage included. Ties are
 * broken by the order found, so that the same is found every time.
 */
public final class BestFirst {
  /** What the search is told about the goal. */
  public interface Guide {
    /**
     * Estimated steps to where the goal's clock runs, or, if the system has none, to the goal itself;
     * negative if there is no way.
     */
    int distance(long[] state);

    /** What a step costs from a state in which these clocks run. */
    int price(int step, int[] running);
  }

  /** It is one search of several of a question, and what it remembers is of use to no other. */
  private static final int SHARE_OF_MEMORY = 4;

  private static final int BYTES_OF_NODE = 100;
  private static final int MOST_DISTANCE = (1 << 12) - 1;
  private static final int MOST_PRICE = (1 << 7) - 1;

  private final TimedSystem system;
  private final Guide guide;
  private final Budget budget;
  private final Progress progress;
  private final long deadlineNanos;
  private final StateTable states;
  private final RunningClocks clocks;
  private final List<RunningClocks.Set> running = new ArrayList<>();
  private final List<Integer> distances = new ArrayList<>();
  private final List<Integer> firstOf = new ArrayList<>();
  private final List<Node> nodes = new ArrayList<>();
  private final Heap byDistance = new Heap();
  private final Heap byPrice = new Heap();
  private final Heap byLeft = new Heap();
  private int goal = -1;
  private long leastLeft = Long.MAX_VALUE;
  private long bytes;

  private static final class Node {
    private final int state;
    private final int[] zone;
    private final int parent;
    private final int step;
    private final int price;
    private final int next;
    private boolean visited;

    Node(int state, int[] zone, int parent, int step, int price, int next) {
      this.state = state;
      this.zone = zone;
      this.parent = parent;
      this.step = step;
      this.price = price;
      this.next = next;
    }
  }

  public BestFirst(
      TimedSystem system, Guide guide, Budget budget, long deadlineNanos, Progress progress) {
    this.system = system;
    this.guide = guide;
    this.budget = budget;
    this.progress = progress;
    this.deadlineNanos = deadlineNanos;
    this.states = new StateTable(system.words());
    this.clocks = new RunningClocks(system, false);
  }

  /** A way to the goal, or null if none was found. May be called once. */
  public Search.@Nullable Path run() {
    system.starts(
        (step, s) -> {
          int id = stateId(s);
          settle(id, s, Zones.origin(running.get(id).clocks().length), -1, -1, 0);
        });
    return search();
  }

  /** As {@link #run}, from the end of a path of the system; what is found begins with that path. */
  public Search.@Nullable Path runFrom(Search.Path path) {
    long[] first = path.states().getFirst();
    int start = stateId(first);
    settle(start, first, Zones.origin(running.get(start).clocks().length), -1, -1, 0);
    for (int i = 0; i < path.steps().length && nodes.size() == i + 1; i++) {
      Node node = nodes.get(i);
      node.visited = true;
      follow(i, node, path.steps()[i], path.states().get(i + 1));
    }
    return search();
  }

  private Search.@Nullable Path search() {
    long[] scratch = new long[system.words()];
    for (int visits = 0; goal < 0 && !isOver(); visits++) {
      int next = next(visits % 3 == 0 ? byDistance : visits % 3 == 1 ? byPrice : byLeft);
      if (next < 0) {
        break;
      }
      visit(next, scratch);
    }
    return goal < 0 ? null : path(goal);
  }

  /**
   * By how many quanta the longest time fell short for which the goal's clock was seen to run; the
   * largest number if it was never seen to run.
   */
  public long leastLeft() {
    return leastLeft;
  }

  public int nodes() {
    return nodes.size();
  }

  private boolean isOver() {
    return nodes.size() >= budget.states()
        || bytes > budget.bytes() / SHARE_OF_MEMORY
        || progress.stopped()
        || System.nanoTime() - deadlineNanos > 0;
  }

  private int next(Heap heap) {
    while (!heap.isEmpty()) {
      int node = heap.least();
      if (!nodes.get(node).visited) {
        return node;
      }
    }
    return -1;
  }

  private int stateId(long[] s) {
    int before = states.size();
    int id = states.add(s);
    if (id == before) {
      bytes += BYTES_OF_NODE + 8L * s.length;
      running.add(clocks.of(system.running(s)));
      distances.add(guide.distance(s));
      firstOf.add(-1);
    }
    return id;
  }

  private void visit(int number, long[] scratch) {
    Node node = nodes.get(number);
    node.visited = true;
    states.get(node.state, scratch);
    long[] from = scratch.clone();
    system.successors(
        from,
        (step, target) -> {
          if (goal < 0) {
            follow(number, node, step, target);
          }
        });
  }

  private void follow(int number, Node node, int step, long[] target) {
    int[] before = running.get(node.state).clocks();
    int dimension = before.length + 1;
    int[] zone = node.zone;
    FieldChange.Timing timing = system.timing(step);
    if (timing != null) {
      int k = Arrays.binarySearch(before, timing.clock());
      if (k < 0) {
        return;
      }
      zone = zone.clone();
      Bound e = timing.earliest();
      Bound l = timing.latest();
      if (!Zones.constrain(zone, dimension, 0, k + 1, Zones.bound(-e.quanta(), e.closed()))
          || (l != null
              && !Zones.constrain(
                  zone, dimension, k + 1, 0, Zones.bound(l.quanta(), l.closed())))) {
        return;
      }
    }
    int id = stateId(target);
    if (distances.get(id) < 0) {
      return;
    }
    int[] after = running.get(id).clocks();
    int restarted = system.restarts(step);
    int[] from = new int[after.length];
    for (int i = 0; i < after.length; i++) {
      from[i] = after[i] == restarted ? -1 : Math.max(-1, Arrays.binarySearch(before, after[i]));
    }
    int price = Math.min(MOST_PRICE, node.price + guide.price(step, before));
    settle(id, target, Zones.rearrange(zone, dimension, from), number, step, price);
  }

  private void settle(int id, long[] state, int[] zone, int parent, int step, int price) {
    RunningClocks.Set set = running.get(id);
    int[] runs = set.clocks();
    int dimension = runs.length + 1;
    if (!system.urgent(state)) {
      Zones.elapse(zone, dimension);
    }
    for (int i = 0; i < runs.length; i++) {
      Bound limit = system.limit(runs[i]);
      if (limit != null
          && !Zones.constrain(
              zone, dimension, i + 1, 0, Zones.bound(limit.quanta(), limit.closed()))) {
        return;
      }
    }
    int k = set.place(system.goalClock());
    long left = system.goalQuanta() + 1;
    boolean found = system.goalClock() < 0 && distances.get(id) == 0;
    if (k >= 0 && system.goal(state)) {
      found = Zones.mayExceed(zone, dimension, k, system.goalQuanta());
      left = found ? 0 : 1 + system.goalQuanta() - (zone[(k + 1) * dimension] >> 1);
      leastLeft = Math.min(leastLeft, left);
    }
    Zones.extrapolate(zone, dimension, set.lower(), set.upper());
    for (int n = firstOf.get(id); n >= 0; n = nodes.get(n).next) {
      if (!found && Zones.within(zone, nodes.get(n).zone)) {
        return;
      }
    }
    int number = nodes.size();
    nodes.add(new Node(id, zone, parent, step, price, firstOf.get(id)));
    firstOf.set(id, number);
    bytes += BYTES_OF_NODE + 4L * zone.length;
    if (found) {
      goal = number;
      return;
    }
    long distance = Math.min(MOST_DISTANCE, distances.get(id));
    long share = left * MOST_DISTANCE / (system.goalQuanta() + 1);
    byDistance.add((distance << 7 | price) << 12 | share, number);
    byPrice.add(((long) price << 12 | distance) << 12 | share, number);
    byLeft.add((distance << 12 | share) << 7 | price, number);
  }

  private Search.Path path(int node) {
    var onPath = new ArrayList<long[]>();
    var taken = new ArrayList<Integer>();
    for (int n = node; n >= 0; n = nodes.get(n).parent) {
      long[] s = new long[system.words()];
      states.get(nodes.get(n).state, s);
      onPath.add(s);
      if (nodes.get(n).parent >= 0) {
        taken.add(nodes.get(n).step);
      }
    }
    Collections.reverse(onPath);
    Collections.reverse(taken);
    return new Search.Path(onPath, taken.stream().mapToInt(Integer::intValue).toArray());
  }

  /** Node numbers by key, the least key and of those the first number first. */
  private static final class Heap {
    private long[] keys = new long[64];
    private int[] numbers = new int[64];
    private int size;

    boolean isEmpty() {
      return size == 0;
    }

    void add(long key, int number) {
      if (size == keys.length) {
        keys = Arrays.copyOf(keys, 2 * size);
        numbers = Arrays.copyOf(numbers, 2 * size);
      }
      int at = size++;
      while (at > 0 && isBefore(key, number, (at - 1) / 2)) {
        keys[at] = keys[(at - 1) / 2];
        numbers[at] = numbers[(at - 1) / 2];
        at = (at - 1) / 2;
      }
      keys[at] = key;
      numbers[at] = number;
    }

    /** Takes out the first. */
    int least() {
      int first = numbers[0];
      long key = keys[--size];
      int number = numbers[size];
      int at = 0;
      for (int child = 1; child < size; child = 2 * at + 1) {
        if (child + 1 < size && isBefore(keys[child + 1], numbers[child + 1], child)) {
          child++;
        }
        if (isBefore(key, number, child)) {
          break;
        }
        keys[at] = keys[child];
        numbers[at] = numbers[child];
        at = child;
      }
      keys[at] = key;
      numbers[at] = number;
      return first;
    }

    private boolean isBefore(long key, int number, int than) {
      return key < keys[than] || (key == keys[than] && number < numbers[than]);
    }
  }
}
