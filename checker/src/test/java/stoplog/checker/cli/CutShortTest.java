package stoplog.checker.cli;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.file.Path;
import java.time.Duration;
import java.util.List;
import java.util.function.Function;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import stoplog.checker.analyse.Health;
import stoplog.checker.analyse.Remembered;
import stoplog.checker.explore.Budget;
import stoplog.checker.explore.Progress;
import stoplog.model.Claim;
import stoplog.model.Model;
import stoplog.model.Trace;
import stoplog.model.Verdict;
import stoplog.source.Span;

/** Whatever keeps claims from being decided is told, and never taken for a proof or a finding. */
final class CutShortTest {
  private static final Verdict.Effort EFFORT = new Verdict.Effort(1, 1, 1, 1);
  private static final Verdict PROVED = new Verdict.Proved(-1, List.of("P-1"), EFFORT);
  private static final Verdict TOO_MUCH =
      new Verdict.Undecided("the budget of states is used up", 4, List.of(), EFFORT);

  @TempDir Path directory;
  private String plant = "";

  @BeforeEach
  void writePlant() throws IOException {
    plant = SmallPlant.in(directory);
  }

  private static Function<Model, Engine> engine(Engine engine) {
    return _ -> engine;
  }

  /** The shipped verdict but for one claim. */
  private static Function<Model, Engine> except(String id, Engine other) {
    return model -> {
      Engine shipped = Engine.shipped(model);
      return (claim, whole, budget, progress) ->
          (claim.id().equals(id) ? other : shipped).decide(claim, whole, budget, progress);
    };
  }

  @Test
  void undecidedClaimExitsWith3() {
    Ran ran =
        Ran.with(except("H-1", (_, _, _, _) -> TOO_MUCH), new Interruption(), "check", plant);
    assertEquals(3, ran.status());
    assertTrue(
        ran.out().contains(
            "the budget of states is used up; no run with fewer than 4 events gets there"),
        ran.out());
  }

  @Test
  void findingOutweighsUndecidedClaims() {
    Ran ran =
        Ran.with(except("H-2", (_, _, _, _) -> TOO_MUCH), new Interruption(), "check", plant);
    assertEquals(1, ran.status());
    assertTrue(ran.out().contains("1 can happen, 1 undecided"), ran.out());
  }

  @Test
  void interruptedCheckTellsWhatIsDecidedAndExitsWith3() {
    var interruption = new Interruption();
    Ran ran =
        Ran.with(
            except(
                "H-2",
                (_, _, _, progress) -> {
                  interruption.ask();
                  assertTrue(progress.stopped());
                  return TOO_MUCH;
                }),
            interruption, "check", "--threads", "1", plant);
    assertEquals(3, ran.status());
    assertTrue(ran.out().contains("H-1  can happen"), ran.out());
    assertEquals(3, ran.out().split("\n +interrupted", -1).length - 1, ran.out());
    assertTrue(ran.out().contains("Requirements: 2 undecided."), ran.out());
  }

  /** The last claim is proved, then the user wants the end: what voids proofs is looked at all the same. */
  @Test
  void proofsAreVoidWhereThePlantIsThoughTheCheckIsInterrupted() {
    for (boolean blocked : new boolean[] {true, false}) {
      var interruption = new Interruption();
      Engine interrupted =
          new Engine() {
            @Override
            public Verdict decide(Claim claim, boolean whole, Budget budget, Progress progress) {
              interruption.ask();
              return PROVED;
            }

            @Override
            public List<Health.Finding> examine(
                List<Claim> proved, Duration most, Remembered remembered, Progress progress) {
              assertFalse(progress.stopped());
              return blocked
                  ? List.of(new Health.Finding(Health.Kind.BLOCKED, "nothing ends it", Span.NONE))
                  : List.of();
            }
          };
      Ran ran = Ran.with(engine(interrupted), interruption, "check", "--claim", "H-2", plant);
      assertEquals(blocked ? 3 : 0, ran.status(), ran.out());
      assertEquals(!blocked, ran.out().contains("H-2  proved"), ran.out());
      assertEquals(blocked, ran.out().contains("proved but for this: nothing ends it"), ran.out());
    }
  }

  @Test
  void memoryThatRunsOutCostsOneClaimOnly() {
    Ran ran =
        Ran.with(
            except(
                "H-1",
                (_, _, _, _) -> {
                  throw new OutOfMemoryError("heap");
                }),
            new Interruption(), "check", plant);
    assertEquals(3, ran.status());
    assertTrue(ran.out().contains("H-1  undecided"), ran.out());
    assertTrue(ran.out().contains("out of memory"), ran.out());
    assertTrue(ran.out().contains("H-2  proved"), ran.out());
  }

  @Test
  void interruptionReachesEveryThread() {
    var interruption = new Interruption();
    Engine endless =
        (_, _, _, progress) -> {
          interruption.ask();
          while (!progress.stopped()) {
            Thread.onSpinWait();
          }
          return TOO_MUCH;
        };
    Ran ran = Ran.with(engine(endless), interruption, "check", "--threads", "4", plant);
    assertEquals(3, ran.status());
    assertEquals(4, ran.out().split("\n +interrupted", -1).length - 1, ran.out());
  }

  @Test
  void claimThatNeedsMoreThanItsShareOfTheMemoryIsDecidedWithAllOfIt() {
    long all = 1L << 30;
    Function<Model, Engine> greedy =
        except(
            "H-1",
            (_, _, budget, _) ->
                budget.bytes() < all
                    ? new Verdict.Undecided("the memory budget is used up", 4, List.of(), EFFORT)
                    : PROVED);
    String[] shared = {"check", "--threads", "3", "--budget", "memory=1GB", plant};
    String[] alone = {"check", "--threads", "1", "--budget", "memory=1GB", plant};
    Ran ran = Ran.with(greedy, new Interruption(), shared);
    assertEquals(0, ran.status(), ran.out());
    assertEquals(Ran.with(greedy, new Interruption(), alone), ran);
  }

  @Test
  void faultOfOursIsToldInOneLineAndNeverAsProof() {
    Engine broken =
        (_, _, _, _) -> {
          throw new IllegalStateException("two zones\nof one name");
        };
    Ran ran = Ran.with(engine(broken), new Interruption(), "check", plant);
    assertEquals(3, ran.status());
    assertEquals(1, ran.errLines(), ran.err());
    assertTrue(
        ran.err().startsWith(
            "stoplog: internal error: IllegalStateException: two zones of one name"),
        ran.err());
    assertFalse(ran.out().contains("proved"), ran.out());
    assertTrue(Ran.debugging(engine(broken), "check", plant).err().contains("\tat stoplog."));
  }

  @Test
  void faultBeforeTheFirstClaimIsToldToo() {
    Ran ran =
        Ran.with(
            _ -> {
              throw new AssertionError("no such thing");
            },
            new Interruption(), "check", plant);
    assertEquals(3, ran.status());
    assertEquals("", ran.out());
    assertEquals(1, ran.errLines(), ran.err());
  }

  @Test
  void runThatDoesNotReplayIsAFaultAndNoFinding() {
    Engine dreaming =
        (_, _, _, _) ->
            new Verdict.Reached(
                new Trace(1, List.of(0, 0, 0, 0, 0), List.of(), 5), 0, 0, List.of(), EFFORT);
    Ran ran =
        Ran.with(except("H-2", dreaming), new Interruption(), "check", "--claim", "H-2", plant);
    assertEquals(3, ran.status());
    assertTrue(ran.err().contains("internal error"), ran.err());
    assertFalse(ran.out().contains("can happen"), ran.out());
  }

  @Test
  void progressIsShownOnATerminalOnly() {
    Engine slow =
        (claim, _, _, progress) -> {
          progress.at(claim.id(), 1, 10, 3);
          sleepMillis(150);
          progress.at(claim.id(), 2, 12_000, 3);
          sleepMillis(150);
          progress.at(claim.id(), 3, 24_000, 3);
          return PROVED;
        };
    String[] args = {"check", "--claim", "H-2", plant};
    Ran watched = Ran.onTerminal(engine(slow), args);
    // On a slow machine the line stands there already, and the rate is known.
    assertTrue(
        watched.err().matches(
            "(?s).*H-2: 2 events deep, 12,000 states( \\([0-9,]+ a second\\))?, 3 variables kept.*"),
        watched.err());
    assertTrue(
        watched.err().matches("(?s).*H-2: 3 events deep, 24,000 states \\([0-9,]+ a second\\), 3 vari.*"),
        watched.err());
    assertTrue(watched.err().endsWith("\r\u001b[K"), "the line is taken away");
    assertEquals("", Ran.with(engine(slow), new Interruption(), args).err());
  }

  private static void sleepMillis(long millis) {
    try {
      Thread.sleep(millis);
    } catch (InterruptedException _) {
      Thread.currentThread().interrupt();
    }
  }
}
