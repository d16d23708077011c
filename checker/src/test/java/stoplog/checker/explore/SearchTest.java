package stoplog.checker.explore;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertInstanceOf;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.time.Duration;
import java.util.ArrayDeque;
import java.util.Arrays;
import java.util.Random;
import org.jspecify.annotations.Nullable;
import org.junit.jupiter.api.Test;
import stoplog.checker.testkit.Helped;
import stoplog.model.Bound;
import stoplog.model.FieldChange;

/** Random graphs whose only clock is the goal's, against a breadth-first search over arrays. */
class SearchTest {
  private static final Budget BUDGET = new Budget(100_000, 1L << 28, Duration.ofMinutes(1));

  @Test
  void findsAShortestWayAndTheSameEveryTime() {
    int found = 0;
    for (long seed = 1; seed <= 2000; seed++) {
      var graph = new RandomGraph(seed);
      int distance = graph.distance();
      Search search = search(graph, BUDGET);
      switch (search.run()) {
        case Search.Outcome.Found f -> {
          found++;
          assertEquals(distance, f.path().steps().length, "seed " + seed);
          assertIsAWay(graph, f.path());
          var again = assertInstanceOf(Search.Outcome.Found.class, search(graph, BUDGET).run());
          assertArrayEquals(f.path().steps(), again.path().steps());
        }
        case Search.Outcome.Exhausted e -> {
          assertEquals(-1, distance, "seed " + seed);
          assertEquals(graph.reachable(), search.states(), "seed " + seed);
        }
        case Search.Outcome.Stopped s -> throw new AssertionError(s);
      }
    }
    assertTrue(found > 300 && found < 1700, found + " found");
  }

  /** What a search that gave up says it has covered, it has. */
  @Test
  void stoppedSearchClaimsNoMoreThanItCovered() {
    int stopped = 0;
    for (long seed = 1; seed <= 300; seed++) {
      var graph = new RandomGraph(seed, 3000);
      int distance = graph.distance();
      var outcome = search(graph, BUDGET.withStates(seed * 5)).run();
      if (outcome instanceof Search.Outcome.Stopped s) {
        stopped++;
        assertTrue(distance < 0 || s.level() <= distance, "seed " + seed + ": " + s);
      }
    }
    assertTrue(stopped > 30, stopped + " stopped");
  }

  /** Wide levels, goals in the middle of one included: same node numbers, sizes, paths, memory. */
  @Test
  void helpersChangeNothing() {
    int found = 0;
    for (long seed = 1; seed <= 60; seed++) {
      var graph = new RandomGraph(seed, 4000);
      Search alone = search(graph, BUDGET);
      Search.Outcome expected = alone.run();
      for (int helpers : new int[] {1, 2, 7}) {
        Search helped = search(graph, BUDGET, new Helped(helpers, 3));
        Search.Outcome outcome = helped.run();
        assertEquals(expected.getClass(), outcome.getClass(), "seed " + seed);
        assertEquals(alone.stateCount(), helped.stateCount(), "seed " + seed);
        assertEquals(alone.nodes(), helped.nodes(), "seed " + seed);
        assertEquals(alone.bytes(), helped.bytes(), "seed " + seed);
        for (int node = 0; node < alone.nodes(); node++) {
          assertEquals(alone.stateOf(node), helped.stateOf(node));
          assertEquals(alone.levelOf(node), helped.levelOf(node));
          assertArrayEquals(alone.zoneOf(node), helped.zoneOf(node));
        }
        if (expected instanceof Search.Outcome.Found f
            && outcome instanceof Search.Outcome.Found o) {
          found++;
          assertArrayEquals(f.path().steps(), o.path().steps(), "seed " + seed);
        }
      }
    }
    assertTrue(found > 30, found + " found");
  }

  /** A step that fails beyond the goal of the same level is one that no search comes to. */
  @Test
  void stepThatFailsBeyondTheGoalFailsForNoNumberOfThreads() {
    for (int helpers : new int[] {0, 1, 7}) {
      Progress progress = helpers == 0 ? Progress.NONE : new Helped(helpers, 3);
      var way =
          assertInstanceOf(
              Search.Outcome.Found.class, search(new Failing(60), BUDGET, progress).run());
      assertArrayEquals(new int[] {0, 0}, way.path().steps());
      Search failing = search(new Failing(5), BUDGET, progress);
      assertThrows(IllegalStateException.class, failing::run, helpers + " helpers");
    }
  }

  /** 0 leads to 1 to 100; 10 leads to the goal, 1000; one of them to a failure. */
  private static final class Failing extends NumberedStates {
    private final int failsAt;

    Failing(int failsAt) {
      super(1, 0);
      this.failsAt = failsAt;
    }

    @Override
    public boolean goal(long[] state) {
      return state[0] == 1000;
    }

    @Override
    public void successors(long[] state, Sink sink) {
      if (state[0] == failsAt) {
        throw new IllegalStateException("fails");
      }
      for (long next = 1; state[0] == 0 && next <= 100; next++) {
        sink.edge(0, new long[] {next});
      }
      if (state[0] == 10) {
        sink.edge(0, new long[] {1000});
      }
    }
  }

  @Test
  void interruptedSearchIsNoProof() {
    var interrupted = new Progress() {
      @Override
      public void at(String claim, int level, long states, int kept) {}

      @Override
      public boolean stopped() {
        return true;
      }
    };
    var search =
        new Search(new RandomGraph(1), Search.Zoning.FOR_REACHING, BUDGET, Long.MAX_VALUE, interrupted, "claim", 0);
    assertInstanceOf(Search.Outcome.Stopped.class, search.run());
  }

  private static Search search(TimedSystem system, Budget budget) {
    return search(system, budget, Progress.NONE);
  }

  private static Search search(TimedSystem system, Budget budget, Progress progress) {
    long deadline = System.nanoTime() + budget.time().toNanos();
    return new Search(system, Search.Zoning.FOR_REACHING, budget, deadline, progress, "claim", 0);
  }

  private static void assertIsAWay(RandomGraph graph, Search.Path path) {
    assertEquals(0, path.states().getFirst()[0]);
    for (int i = 0; i < path.steps().length; i++) {
      int from = (int) path.states().get(i)[0];
      assertEquals(path.states().get(i + 1)[0], graph.targets[from][path.steps()[i]]);
    }
    assertEquals(graph.goal, path.states().getLast()[0]);
  }

  private static final class RandomGraph extends NumberedStates {
    private static final int STEPS = 2;
    private final int[][] targets;
    private final int goal;

    RandomGraph(long seed) {
      this(seed, 60);
    }

    RandomGraph(long seed, int size) {
      super(STEPS, 3);
      var random = new Random(seed);
      targets = new int[size][STEPS];
      for (int[] t : targets) {
        for (int s = 0; s < STEPS; s++) {
          t[s] = random.nextInt(5) == 0 ? -1 : random.nextInt(size);
        }
      }
      goal = 1 + random.nextInt(size - 1);
    }

    @Override
    public boolean goal(long[] state) {
      return state[0] == goal;
    }

    private int[] distances() {
      int[] distance = new int[targets.length];
      Arrays.fill(distance, -1);
      distance[0] = 0;
      var open = new ArrayDeque<Integer>();
      open.add(0);
      while (!open.isEmpty()) {
        int at = open.remove();
        for (int to : targets[at]) {
          if (to >= 0 && distance[to] < 0) {
            distance[to] = distance[at] + 1;
            open.add(to);
          }
        }
      }
      return distance;
    }

    int distance() {
      return distances()[goal];
    }

    long reachable() {
      return Arrays.stream(distances()).filter(d -> d >= 0).count();
    }

    @Override
    public void successors(long[] state, Sink sink) {
      for (int s = 0; s < STEPS; s++) {
        int to = targets[(int) state[0]][s];
        if (to >= 0) {
          sink.edge(s, new long[] {to});
        }
      }
    }
  }

  /** States are numbers from 0, where it starts; the only clock is that of the goal, and runs there. */
  private abstract static class NumberedStates implements TimedSystem {
    private final int steps;
    private final long goalQuanta;

    NumberedStates(int steps, long goalQuanta) {
      this.steps = steps;
      this.goalQuanta = goalQuanta;
    }

    @Override
    public int words() {
      return 1;
    }

    @Override
    public int clocks() {
      return 1;
    }

    @Override
    public int stepCount() {
      return steps;
    }

    @Override
    public @Nullable Bound limit(int clock) {
      return null;
    }

    @Override
    public FieldChange.@Nullable Timing timing(int step) {
      return null;
    }

    @Override
    public int restarts(int step) {
      return -1;
    }

    @Override
    public void starts(Sink sink) {
      sink.edge(-1, new long[] {0});
    }

    @Override
    public int[] running(long[] state) {
      return goal(state) ? new int[] {0} : new int[0];
    }

    @Override
    public boolean urgent(long[] state) {
      return false;
    }

    @Override
    public int goalClock() {
      return 0;
    }

    @Override
    public long goalQuanta() {
      return goalQuanta;
    }

    @Override
    public TimedSystem forAnotherThread() {
      return this;
    }
  }
}
