package stoplog.checker.explore;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Path;
import java.time.Duration;
import java.util.List;
import org.jspecify.annotations.Nullable;
import org.junit.jupiter.api.Test;
import stoplog.model.Bound;
import stoplog.model.FieldChange;

/** Searches that never end, in a process with little memory: they stop at the budget, and say so. */
class SmallHeapTest {
  private static final String STOPPED = "the memory budget of ";

  @Test
  void endlessSearchesStopAtTheMemoryBudget() throws IOException, InterruptedException {
    for (int clocks : List.of(0, 2)) {
      var process =
          new ProcessBuilder(
                  Path.of(System.getProperty("java.home"), "bin", "java").toString(),
                  "-Xmx128m",
                  "-cp",
                  System.getProperty("java.class.path"),
                  SmallHeapTest.class.getName(),
                  Integer.toString(clocks))
              .redirectErrorStream(true)
              .start();
      String said = new String(process.getInputStream().readAllBytes(), StandardCharsets.UTF_8);
      assertEquals(0, process.waitFor(), said);
      assertTrue(said.contains(STOPPED), said);
      System.out.print(said);
    }
  }

  public static void main(String[] args) {
    int clocks = Integer.parseInt(args[0]);
    var budget =
        new Budget(500_000_000, Budget.standard().bytes(), Duration.ofMinutes(5));
    var search =
        new Search(
            new Endless(clocks),
            Search.Zoning.FOR_REACHING,
            budget,
            System.nanoTime() + budget.time().toNanos(),
            Progress.NONE,
            "claim",
            0);
    if (search.run() instanceof Search.Outcome.Stopped s) {
      System.out.printf(
          "%d clocks: %s; %d states, %d nodes, %d bytes a node%n",
          clocks, s.reason(), search.stateCount(), search.nodes(), search.bytes() / search.nodes());
    }
  }

  /** A tree of numbers; with clocks, one that starts anew at each step to an odd number. */
  private record Endless(int clocks) implements TimedSystem {
    @Override
    public int words() {
      return 1;
    }

    @Override
    public int stepCount() {
      return 2;
    }

    @Override
    public @Nullable Bound limit(int clock) {
      return new Bound(10, true);
    }

    @Override
    public FieldChange.@Nullable Timing timing(int step) {
      return null;
    }

    @Override
    public int restarts(int step) {
      return clocks > 0 ? step : -1;
    }

    @Override
    public void starts(Sink sink) {
      sink.edge(-1, new long[] {1});
    }

    @Override
    public void successors(long[] state, Sink sink) {
      sink.edge(0, new long[] {state[0] * 2});
      sink.edge(1, new long[] {state[0] * 2 + 1});
    }

    @Override
    public int[] running(long[] state) {
      return clocks == 0 ? new int[0] : new int[] {0, 1};
    }

    @Override
    public boolean urgent(long[] state) {
      return false;
    }

    @Override
    public int goalClock() {
      return -1;
    }

    @Override
    public long goalQuanta() {
      return 0;
    }

    @Override
    public boolean goal(long[] state) {
      return false;
    }

    @Override
    public Endless forAnotherThread() {
      return this;
    }
  }
}
