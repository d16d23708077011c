package stoplog.checker.zone;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.Arrays;
import java.util.Random;
import org.junit.jupiter.api.Test;
import stoplog.model.Bound;

/**
 * Every operation against the points it is about, on a grid of quarter quanta: fine enough for two
 * clocks, whose every combination of whole and ordered fractional parts has a point there.
 */
class ZonesTest {
  static final int GRID = 4;
  private static final int FAR = 7 * GRID;
  static final int DIMENSION = 3;
  private static final int MOST = 3;

  @Test
  void constrainingKeepsExactlyThePointsThatMeetTheBound() {
    var random = new Random(1);
    for (int n = 0; n < 1500; n++) {
      int[] zone = anyZone(random);
      int i = random.nextInt(DIMENSION);
      int j = (i + 1 + random.nextInt(DIMENSION - 1)) % DIMENSION;
      int bound = Zones.bound(random.nextInt(2 * MOST + 1) - MOST, random.nextBoolean());
      int[] after = zone.clone();
      boolean left = Zones.constrain(after, DIMENSION, i, j, bound);
      boolean any = false;
      for (int x = 0; x <= FAR; x++) {
        for (int y = 0; y <= FAR; y++) {
          boolean expected = contains(zone, x, y) && meets(x, y, i, j, bound);
          any |= expected;
          if (left) {
            assertEquals(expected, contains(after, x, y), text(zone) + " at " + x + "," + y);
          }
        }
      }
      assertEquals(any, left, text(zone) + " with " + i + "-" + j + " " + bound);
      if (left) {
        assertCanonical(after);
      }
    }
  }

  @Test
  void elapsingAddsExactlyThePointsThatTimeLeadsTo() {
    var random = new Random(2);
    for (int n = 0; n < 1000; n++) {
      int[] zone = anyZone(random);
      int[] after = zone.clone();
      Zones.elapse(after, DIMENSION);
      assertCanonical(after);
      for (int x = 0; x <= FAR; x++) {
        for (int y = 0; y <= FAR; y++) {
          boolean before = false;
          for (int d = 0; d <= Math.min(x, y); d++) {
            before |= contains(zone, x - d, y - d);
          }
          assertEquals(before, contains(after, x, y), text(zone) + " at " + x + "," + y);
        }
      }
    }
  }

  @Test
  void rearrangingCarriesReadingsOverAndStartsNewClocksAtZero() {
    var random = new Random(3);
    int[][] ways = {{0, 1}, {1, 0}, {0, -1}, {-1, 0}, {-1, -1}, {1, -1}, {-1, 1}};
    for (int n = 0; n < 800; n++) {
      int[] zone = anyZone(random);
      int[] from = ways[random.nextInt(ways.length)];
      int[] after = Zones.rearrange(zone, DIMENSION, from);
      assertCanonical(after);
      boolean[][] expected = new boolean[2 * FAR + 1][2 * FAR + 1];
      for (int x = 0; x <= 2 * FAR; x++) {
        for (int y = 0; y <= 2 * FAR; y++) {
          int[] old = {x, y};
          if (contains(zone, x, y)) {
            expected[from[0] < 0 ? 0 : old[from[0]]][from[1] < 0 ? 0 : old[from[1]]] = true;
          }
        }
      }
      for (int x = 0; x <= FAR; x++) {
        for (int y = 0; y <= FAR; y++) {
          assertEquals(
              expected[x][y], contains(after, x, y),
              text(zone) + Arrays.toString(from) + " at " + x + "," + y);
        }
      }
    }
  }

  @Test
  void thePastIsExactlyTheEarlierPoints() {
    var random = new Random(8);
    for (int n = 0; n < 1000; n++) {
      int[] zone = anyZone(random);
      int[] after = zone.clone();
      Zones.past(after, DIMENSION);
      assertCanonical(after);
      for (int x = 0; x <= FAR / 2; x++) {
        for (int y = 0; y <= FAR / 2; y++) {
          boolean later = false;
          for (int d = 0; d <= 2 * FAR; d++) {
            later |= contains(zone, x + d, y + d);
          }
          assertEquals(later, contains(after, x, y), text(zone) + " at " + x + "," + y);
        }
      }
    }
  }

  @Test
  void unarrangingGivesExactlyThePointsThatRearrangingLeadsInto() {
    var random = new Random(9);
    int[][] ways = {{0, 1}, {1, 0}, {0, -1}, {-1, 0}, {-1, -1}, {1, -1}, {-1, 1}};
    int nothing = 0;
    for (int n = 0; n < 1500; n++) {
      int[] zone = anyZone(random);
      int[] from = ways[random.nextInt(ways.length)];
      int[] before = Zones.unarranged(zone, DIMENSION, from, DIMENSION);
      nothing += before == null ? 1 : 0;
      if (before != null) {
        assertCanonical(before);
      }
      for (int x = 0; x <= FAR; x++) {
        for (int y = 0; y <= FAR; y++) {
          int[] old = {x, y};
          boolean leads =
              contains(zone, from[0] < 0 ? 0 : old[from[0]], from[1] < 0 ? 0 : old[from[1]]);
          assertEquals(
              leads, before != null && contains(before, x, y),
              text(zone) + Arrays.toString(from) + " at " + x + "," + y);
        }
      }
    }
    assertTrue(nothing > 50, "only " + nothing + " led nowhere");
  }

  @Test
  void intersectionHoldsExactlyTheCommonPoints() {
    var random = new Random(10);
    for (int n = 0; n < 1500; n++) {
      int[] zone = anyZone(random);
      int[] other = anyZone(random);
      int[] both = zone.clone();
      boolean left = Zones.intersect(both, other, DIMENSION);
      boolean any = false;
      for (int x = 0; x <= FAR; x++) {
        for (int y = 0; y <= FAR; y++) {
          boolean common = contains(zone, x, y) && contains(other, x, y);
          any |= common;
          assertTrue(!left || common == contains(both, x, y), text(zone) + text(other));
        }
      }
      assertEquals(any, left, text(zone) + text(other));
    }
  }

  /** With equal constants a point added and the one that stands in for it have the same futures. */
  @Test
  void extrapolationByEqualConstantsAddsOnlyPointsLikeThoseOfTheZone() {
    var random = new Random(11);
    for (int n = 0; n < 800; n++) {
      int[] zone = anyZone(random);
      int[] most = {random.nextInt(MOST + 2) - 1, random.nextInt(MOST + 2) - 1};
      int[] after = zone.clone();
      Zones.extrapolate(after, DIMENSION, most, most);
      for (int x = 0; x <= FAR; x++) {
        for (int y = 0; y <= FAR; y++) {
          if (contains(after, x, y) && !contains(zone, x, y)) {
            assertTrue(isLikeAPoint(zone, x, y, most), text(zone) + " at " + x + "," + y);
          }
        }
      }
    }
  }

  private static boolean isLikeAPoint(int[] zone, int x, int y, int[] most) {
    for (int u = 0; u <= 2 * FAR; u++) {
      for (int v = 0; v <= 2 * FAR; v++) {
        boolean first = u == x || (u > most[0] * GRID && x > most[0] * GRID);
        boolean second = v == y || (v > most[1] * GRID && y > most[1] * GRID);
        if (first && second && contains(zone, u, v)) {
          return true;
        }
      }
    }
    return false;
  }

  @Test
  void droppingAClockForgetsNothingOfTheOther() {
    var random = new Random(4);
    for (int n = 0; n < 1000; n++) {
      int[] zone = anyZone(random);
      int kept = random.nextInt(2);
      int[] after = Zones.rearrange(zone, DIMENSION, new int[] {kept});
      for (int x = 0; x <= FAR; x++) {
        boolean expected = false;
        for (int y = 0; y <= 3 * FAR; y++) {
          expected |= kept == 0 ? contains(zone, x, y) : contains(zone, y, x);
        }
        boolean actual = meets(x, 0, 1, 0, after[2]) && meets(x, 0, 0, 1, after[1]);
        assertEquals(expected, actual, text(zone) + " clock " + kept + " at " + x);
      }
    }
  }

  @Test
  void oneZoneLiesWithinAnotherIfItsPointsDo() {
    var random = new Random(5);
    int inside = 0;
    for (int n = 0; n < 3000; n++) {
      int[] inner = anyZone(random);
      int[] outer = anyZone(random);
      boolean expected = true;
      for (int x = 0; x <= FAR && expected; x++) {
        for (int y = 0; y <= FAR && expected; y++) {
          expected = !contains(inner, x, y) || contains(outer, x, y);
        }
      }
      assertEquals(expected, Zones.within(inner, outer), text(inner) + " in " + text(outer));
      inside += expected ? 1 : 0;
    }
    assertTrue(inside > 100, "only " + inside + " lay within");
  }

  @Test
  void aClockMayExceedABoundIfAPointDoes() {
    var random = new Random(6);
    for (int n = 0; n < 2000; n++) {
      int[] zone = anyZone(random);
      int k = random.nextInt(2);
      int quanta = random.nextInt(MOST + 1);
      boolean expected = false;
      for (int x = 0; x <= FAR; x++) {
        for (int y = 0; y <= FAR; y++) {
          expected |= contains(zone, x, y) && (k == 0 ? x : y) > quanta * GRID;
        }
      }
      assertEquals(expected, Zones.mayExceed(zone, DIMENSION, k, quanta), text(zone));
    }
  }

  /**
   * A point that extrapolation adds is one that a point of the zone stands in for: from where that one
   * is, everything can happen that could from the new one. It does if each clock reads the same, or
   * less but is beyond all comparisons from below, or more while the new reading is beyond all
   * comparisons from above.
   */
  @Test
  void extrapolationAddsOnlyPointsThatAPointOfTheZoneStandsInFor() {
    var random = new Random(7);
    int widened = 0;
    for (int n = 0; n < 500; n++) {
      int[] zone = anyZone(random);
      int[] lower = {random.nextInt(MOST + 2) - 1, random.nextInt(MOST + 2) - 1};
      int[] upper = {random.nextInt(MOST + 2) - 1, random.nextInt(MOST + 2) - 1};
      int[] after = zone.clone();
      Zones.extrapolate(after, DIMENSION, lower, upper);
      assertTrue(Zones.within(zone, after));
      assertCanonical(after);
      widened += Arrays.equals(zone, after) ? 0 : 1;
      for (int x = 0; x <= FAR; x++) {
        for (int y = 0; y <= FAR; y++) {
          if (contains(after, x, y) && !contains(zone, x, y)) {
            assertTrue(
                hasStandIn(zone, x, y, lower, upper),
                text(zone) + " to " + text(after) + " at " + x + "," + y + " lower "
                    + Arrays.toString(lower) + " upper " + Arrays.toString(upper));
          }
        }
      }
    }
    assertTrue(widened > 100, "only " + widened + " zones were widened");
  }

  private static boolean hasStandIn(int[] zone, int x, int y, int[] lower, int[] upper) {
    for (int a = 0; a <= 2 * FAR; a++) {
      if (standsIn(a, x, lower[0], upper[0])) {
        for (int b = 0; b <= 2 * FAR; b++) {
          if (standsIn(b, y, lower[1], upper[1]) && contains(zone, a, b)) {
            return true;
          }
        }
      }
    }
    return false;
  }

  private static boolean standsIn(int reading, int added, int lower, int upper) {
    return reading == added
        || (reading > added ? added > upper * GRID : reading > lower * GRID);
  }

  /** Bounds that add up to more than an int holds are no bounds; they must not turn negative. */
  @Test
  void longChainsOfTheLongestTimesDoNotOverflow() {
    int clocks = 12;
    int dimension = clocks + 1;
    int longest = (int) Bound.MAX_QUANTA;
    int[] zone = Zones.origin(0);
    for (int k = 0; k < clocks; k++) {
      int[] from = new int[k + 1];
      for (int i = 0; i < k; i++) {
        from[i] = i;
      }
      from[k] = -1;
      zone = Zones.rearrange(zone, k + 1, from);
      Zones.elapse(zone, k + 2);
      if (k < clocks - 1) {
        assertTrue(Zones.constrain(zone, k + 2, k + 1, 0, Zones.bound(longest, true)));
      }
      int[] all = new int[k + 1];
      Arrays.fill(all, longest);
      Zones.extrapolate(zone, k + 2, all, all);
    }
    for (int i = 0; i < dimension; i++) {
      for (int j = 0; j < dimension; j++) {
        // All clocks may be equal, and an earlier one may be further by all the spans between.
        assertFalse(zone[i * dimension + j] < Zones.ZERO && i > 0, i + "-" + j);
        if (i > 0 && j > i) {
          assertTrue(
              zone[i * dimension + j] >= Zones.bound(longest, true), "clock " + i + "-" + j);
        }
      }
    }
  }

  // Points

  /** A zone as a search makes them: from the origin, by letting time pass, waiting and restarting. */
  static int[] anyZone(Random random) {
    int[] zone = Zones.origin(2);
    for (int n = 1 + random.nextInt(6); n > 0; n--) {
      int[] next = zone.clone();
      switch (random.nextInt(3)) {
        case 0 -> Zones.elapse(next, DIMENSION);
        case 1 -> {
          int k = 1 + random.nextInt(2);
          boolean least = random.nextBoolean();
          int quanta = random.nextInt(MOST + 1);
          boolean closed = random.nextInt(3) > 0;
          if (!Zones.constrain(
              next, DIMENSION, least ? 0 : k, least ? k : 0,
              Zones.bound(least ? -quanta : quanta, closed))) {
            continue;
          }
        }
        default ->
            next =
                Zones.rearrange(
                    next, DIMENSION, random.nextBoolean() ? new int[] {0, -1} : new int[] {-1, 1});
      }
      zone = next;
    }
    return zone;
  }

  static boolean contains(int[] zone, int x, int y) {
    for (int i = 0; i < DIMENSION; i++) {
      for (int j = 0; j < DIMENSION; j++) {
        if (!meets(x, y, i, j, zone[i * DIMENSION + j])) {
          return false;
        }
      }
    }
    return true;
  }

  private static boolean meets(int x, int y, int i, int j, int bound) {
    if (bound == Zones.INFINITE) {
      return true;
    }
    int[] at = {0, x, y};
    int difference = at[i] - at[j];
    int limit = (bound >> 1) * GRID;
    return (bound & 1) == 1 ? difference <= limit : difference < limit;
  }

  private static void assertCanonical(int[] zone) {
    int[] closed = zone.clone();
    Zones.close(closed, DIMENSION);
    assertArrayEquals(closed, zone, "not canonical");
  }

  private static String text(int[] zone) {
    return Arrays.toString(zone);
  }
}
