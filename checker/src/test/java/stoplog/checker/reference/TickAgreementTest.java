package stoplog.checker.reference;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import org.junit.jupiter.api.Test;
import stoplog.checker.reference.TickJudge.Answer;
import stoplog.checker.reference.TickJudge.Yes;
import stoplog.model.Claim;
import stoplog.model.Model;

/** The judge against itself at other ticks, on random plants: what its class comment argues for. */
class TickAgreementTest {
  private static final int PLANTS = Integer.getInteger("stoplog.plants", 1500);
  private static final long MAX_STATES = 300_000;

  /** The fewest steps to a violation, or -1. */
  private static int steps(Answer answer, String where) {
    return switch (answer) {
      case Yes yes -> yes.trace().steps().size();
      case TickJudge.No no -> -1;
      case TickJudge.TooBig tooBig -> throw new AssertionError("too big: " + where);
    };
  }

  @Test
  void withClosedBoundsFinerTicksChangeNothing() {
    int reached = 0;
    for (long seed = 0; seed < PLANTS; seed++) {
      String where = "closed seed " + seed;
      Model model = RandomPlants.plant(seed, false);
      Claim claim = model.claims().getFirst();
      int whole = steps(TickJudge.reachable(model, claim, MAX_STATES), where);
      int fine = steps(TickJudge.reachable(model, claim, MAX_STATES, 4), where);
      assertEquals(fine, whole, where);
      reached += whole >= 0 ? 1 : 0;
    }
    assertTrue(reached > PLANTS / 5 && reached < PLANTS * 4 / 5, reached + " reached");
  }

  @Test
  void withOpenBoundsSpreadFractionsAgreeWithTicksFineEnoughForTheRun() {
    int reached = 0;
    for (long seed = 0; seed < PLANTS; seed++) {
      String where = "open seed " + seed;
      Model model = RandomPlants.plant(seed, true);
      Claim claim = model.claims().getFirst();
      int spread = steps(TickJudge.reachable(model, claim, MAX_STATES), where);
      // A run of n steps exists in ticks of a (n + 2)-th quantum if it exists at all.
      int ticks = spread < 0 ? 8 : spread + 2;
      int fixed = steps(TickJudge.reachable(model, claim, MAX_STATES, ticks), where);
      assertEquals(fixed, spread, where);
      reached += spread >= 0 ? 1 : 0;
    }
    assertTrue(reached > PLANTS / 5 && reached < PLANTS * 4 / 5, reached + " reached");
  }
}
