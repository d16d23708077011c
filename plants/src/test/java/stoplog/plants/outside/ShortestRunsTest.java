package stoplog.plants.outside;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertInstanceOf;

import java.time.Duration;
import org.junit.jupiter.api.Test;
import stoplog.checker.abstraction.Decider;
import stoplog.checker.explore.Budget;
import stoplog.checker.explore.Progress;
import stoplog.model.Claim;
import stoplog.model.Model;
import stoplog.model.Verdict;

/** Least numbers of steps that others printed, and goals that they showed to be out of reach. */
class ShortestRunsTest {
  private static final Budget BUDGET =
      new Budget(5_000_000, 1L << 30, Duration.ofMinutes(2));

  /** Up to so many states the reference interpreter counts the steps too. */
  private static final int MOST_STATES = 30_000;

  /** 2^n - 1 moves on three pegs (derived); on four pegs OEIS A007664. */
  @Test
  void towersMoveInTheirLeastNumbersOfSteps() {
    for (int n = 1; n <= 7; n++) {
      assertSteps("derived: 2^n - 1", (1 << n) - 1, Puzzles.hanoi(3, n), "done");
    }
    int[] fourPegs = {1, 3, 5, 9, 13, 17, 25, 33};
    for (int n = 1; n <= fourPegs.length; n++) {
      assertSteps("OEIS A007664", fourPegs[n - 1], Puzzles.hanoi(4, n), "done");
    }
  }

  /** Alcuin's problem: seven crossings; a careless man loses the goat or the cabbage in one. */
  @Test
  void goatCrossesInSeven() {
    assertSteps("Alcuin", 7, Crossings.wolfGoatCabbage(true), "across");
    assertUnreachable("Alcuin", Crossings.wolfGoatCabbage(true), "eaten");
    assertSteps("Alcuin", 1, Crossings.wolfGoatCabbage(false), "eaten");
  }

  /** Amarel 1968; Pressman and Singmaster 1989. */
  @Test
  void missionariesCrossInTheirLeastNumbersOfSteps() {
    int[][] rows = {{2, 2, 5}, {3, 2, 11}, {4, 3, 9}, {5, 3, 11}, {6, 4, 9}, {10, 4, 17}};
    for (int[] row : rows) {
      assertSteps("Amarel 1968; Pressman and Singmaster 1989", row[2], Crossings.missionaries(row[0], row[1]), "across");
    }
    assertUnreachable("Amarel 1968; Pressman and Singmaster 1989", Crossings.missionaries(4, 2), "across");
    assertUnreachable("Amarel 1968; Pressman and Singmaster 1989", Crossings.missionaries(6, 3), "across");
  }

  /** Recomputed by others from the rules; 6 and 9 share a factor that 4 lacks. */
  @Test
  void jugsMeasureInTheirLeastNumbersOfSteps() {
    assertSteps("recomputed by others", 6, Crossings.jugs(3, 5, 4), "measured");
    assertSteps("recomputed by others", 4, Crossings.jugs(4, 3, 2), "measured");
    assertSteps("recomputed by others", 12, Crossings.jugs(7, 11, 5), "measured");
    assertUnreachable("recomputed by others", Crossings.jugs(6, 9, 4), "measured");
    assertSteps("recomputed by others", 7, Crossings.pourOnly(), "halved");
  }

  /** 116 moves of one block by one cell: recomputed by others from the rules. */
  @Test
  void generalEscapesInOneHundredAndSixteenSteps() {
    assertSteps("recomputed by others", 116, Puzzles.generalsEscape(), "out");
  }

  /** All hold one fork: 2n steps if both hands wait first (NASA/CR-2001-210663), n if not. */
  @Test
  void philosophersStarveNoSoonerThanPublished() {
    for (int n = 2; n <= 8; n++) {
      assertSteps("NASA/CR-2001-210663", 2 * n, Philosophers.eitherOrder(n), "stuck");
      assertSteps("recomputed by others", n, Philosophers.leftFirst(n), "stuck");
    }
  }

  /** 0 published steps stand for a goal out of reach. */
  private static void row(String source, Model model, String claim, int steps, int ours) {
    String name = model.name() + ", " + claim;
    int plain = PlainCount.leastSteps(model, claim(model, claim), MOST_STATES);
    if (plain != PlainCount.TOO_MANY) {
      assertEquals(steps == 0 ? PlainCount.UNREACHABLE : steps, plain, name);
    }
    Results.value(
        ShortestRunsTest.class,
        "G1 steps " + name,
        name + ": least steps",
        source,
        steps == 0 ? "unreachable" : steps,
        ours == 0 ? "unreachable" : ours,
        plain == PlainCount.TOO_MANY ? "none" : "interpreter");
  }

  private static void assertSteps(String source, int steps, Model model, String claim) {
    Verdict whole = whole(model, claim);
    var reached = assertInstanceOf(Verdict.Reached.class, whole, model.name());
    assertEquals(steps, reached.events(), model.name());
    assertEquals(steps, reached.trace().steps().size(), model.name());
    assertEquals(steps, reached.fewest(), model.name());
    row(source, model, claim, steps, reached.events());
  }

  private static void assertUnreachable(String source, Model model, String claim) {
    assertInstanceOf(Verdict.Proved.class, whole(model, claim), model.name());
    Verdict localised =
        Decider.decide(model, claim(model, claim), BUDGET, Progress.NONE);
    assertInstanceOf(Verdict.Proved.class, localised, model.name());
    row(source, model, claim, 0, 0);
  }

  private static Verdict whole(Model model, String claim) {
    return Decider.decideWhole(model, claim(model, claim), BUDGET, Progress.NONE);
  }

  static Claim claim(Model model, String id) {
    return model.claims().stream().filter(c -> c.id().equals(id)).findFirst().orElseThrow();
  }
}
