package stoplog.checker.zone;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertNotNull;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.ArrayList;
import java.util.List;
import java.util.Random;
import org.junit.jupiter.api.Test;

/** Unions of zones against the points in them, on a grid that is fine enough for two clocks. */
class FederationTest {
  private static final int FAR = 7 * ZonesTest.GRID;
  private static final int DIMENSION = ZonesTest.DIMENSION;

  @Test
  void zoneIsCoveredIfItsPointsAreAndElseSomethingUncoveredIsShown() {
    var random = new Random(21);
    int covered = 0;
    int coveredByNoOne = 0;
    for (int n = 0; n < 3000; n++) {
      var members = new ArrayList<int[]>();
      var union = new Federation(DIMENSION);
      for (int i = 1 + random.nextInt(5); i > 0; i--) {
        int[] member = ZonesTest.anyZone(random);
        members.add(member);
        union.add(member);
      }
      int[] zone = ZonesTest.anyZone(random);
      boolean expected = true;
      for (int x = 0; x <= FAR; x++) {
        for (int y = 0; y <= FAR; y++) {
          expected &= !ZonesTest.contains(zone, x, y) || inAny(members, x, y);
        }
      }
      assertEquals(expected, union.covers(zone));
      int[] rest = union.uncovered(zone);
      assertEquals(expected, rest == null);
      if (rest == null) {
        covered++;
        coveredByNoOne += members.stream().anyMatch(m -> Zones.within(zone, m)) ? 0 : 1;
      } else {
        assertUncovered(rest, zone, members);
      }
    }
    assertTrue(covered > 100 && coveredByNoOne > 5, covered + ", " + coveredByNoOne);
  }

  private static void assertUncovered(int[] rest, int[] zone, List<int[]> members) {
    assertTrue(Zones.within(rest, zone));
    boolean any = false;
    for (int x = 0; x <= FAR; x++) {
      for (int y = 0; y <= FAR; y++) {
        if (ZonesTest.contains(rest, x, y)) {
          any = true;
          assertFalse(inAny(members, x, y));
        }
      }
    }
    assertTrue(any, "nothing is shown");
  }

  private static boolean inAny(List<int[]> members, int x, int y) {
    return members.stream().anyMatch(m -> ZonesTest.contains(m, x, y));
  }

  @Test
  void addingTellsWhetherAnythingIsNewAndDropsWhatLiesWithin() {
    var union = new Federation(2);
    assertTrue(union.add(upTo(3)));
    assertFalse(union.add(upTo(2)));
    assertTrue(union.add(upTo(5)));
    assertEquals(1, union.size());
    assertNotNull(union.uncovered(upTo(6)));
  }

  /**
   * The whole, cut at 1 and 2 of each clock, with all parts below 1 of the first clock covered but those
   * above it only in part: that is seen last.
   */
  @Test
  void whatIsTooHardToSeeIsNotCovered() {
    int dimension = 16;
    var union = new Federation(dimension);
    for (int clock = 1; clock < dimension; clock++) {
      union.add(between(dimension, clock, 1, 2));
    }
    union.add(between(dimension, 1, 0, 1));
    int[] above = between(dimension, 1, 2, 100);
    Zones.constrain(above, dimension, 0, 2, Zones.bound(-3, true));
    union.add(above);
    int[] whole = between(dimension, 1, 0, 100);
    assertFalse(union.covers(whole));
    assertNotNull(union.uncovered(whole));
  }

  private static int[] between(int dimension, int clock, int least, int most) {
    int[] zone = new int[dimension * dimension];
    Zones.fill(zone, dimension);
    Zones.constrain(zone, dimension, 0, clock, Zones.bound(-least, true));
    Zones.constrain(zone, dimension, clock, 0, Zones.bound(most, true));
    return zone;
  }

  private static int[] upTo(int quanta) {
    int[] zone = new int[4];
    Zones.fill(zone, 2);
    Zones.constrain(zone, 2, 1, 0, Zones.bound(quanta, true));
    return zone;
  }
}
