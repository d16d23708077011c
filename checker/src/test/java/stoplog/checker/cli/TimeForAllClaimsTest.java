package stoplog.checker.cli;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.file.Path;
import java.util.List;
import java.util.concurrent.TimeUnit;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.Timeout;
import org.junit.jupiter.api.io.TempDir;
import stoplog.model.Verdict;

/** The time of one claim, and of all claims together, ends where it is said to. */
final class TimeForAllClaimsTest {
  private static final Verdict.Effort EFFORT = new Verdict.Effort(1, 1, 1, 1);

  @TempDir Path directory;

  @Test
  @Timeout(60)
  void claimsNotReachedAreUndecided() throws IOException {
    String plant = SmallPlant.in(directory);
    Engine engine =
        (claim, whole, budget, progress) -> {
          if (!claim.id().equals("H-1")) {
            long end = System.nanoTime() + TimeUnit.SECONDS.toNanos(20);
            while (!progress.stopped() && System.nanoTime() < end) {
              Thread.onSpinWait();
            }
            assertTrue(progress.stopped(), "the search is told when to end");
            assertTrue(budget.time().toMillis() <= 300, "and knows how long it has");
            return new Verdict.Undecided("the time budget is used up", 2, List.of(), EFFORT);
          }
          return new Verdict.Proved(-1, List.of("P-1"), EFFORT);
        };
    Ran ran =
        Ran.with(
            _ -> engine, new Interruption(), "check", "--threads", "1", "--budget",
            "time=20s,total=300ms", plant);
    assertEquals(3, ran.status(), ran.out() + ran.err());
    assertTrue(ran.out().contains("H-1  proved"), ran.out());
    assertEquals(
        3, ran.out().split("the time for all claims is used up", -1).length - 1, ran.out());
    assertEquals("", ran.err());
  }

  @Test
  void aSearchIsOfferedTheThreadsThatClaimsDoNotUse() throws IOException {
    String plant = SmallPlant.in(directory);
    var spare = new java.util.concurrent.atomic.AtomicInteger(-1);
    Engine engine =
        (claim, whole, budget, progress) -> {
          spare.set(progress.spareThreads());
          return new Verdict.Proved(-1, List.of("P-1"), EFFORT);
        };
    Ran.with(
        _ -> engine, new Interruption(), "check", "--threads", "4", "--claim", "H-1", plant);
    assertEquals(3, spare.get());
  }

  @Test
  void plentyOfTimeChangesNothing() throws IOException {
    String plant = SmallPlant.in(directory);
    assertEquals(
        Ran.stoplog("check", plant), Ran.stoplog("check", "--budget", "total=1h", plant));
  }
}
