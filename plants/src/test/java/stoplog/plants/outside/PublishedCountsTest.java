package stoplog.plants.outside;

import static org.junit.jupiter.api.Assertions.assertEquals;

import java.util.Arrays;
import java.util.List;
import org.junit.jupiter.api.DynamicTest;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.TestFactory;
import stoplog.checker.abstraction.WholeModel;
import stoplog.checker.explore.StateCount;
import stoplog.model.Model;

/** Numbers of states, edges and levels that others printed. */
class PublishedCountsTest {
  private static final long SMALL = 30_000;

  /** Reinefeld, IJCAI-93; OEIS A089473, A090034, A090036. 749 in the former at depth 12 is a slip. */
  @Test
  void eightTilesSlideThroughTheirPublishedLayers() {
    List<Long> layers =
        longs(
            1, 2, 4, 8, 16, 20, 39, 62, 116, 152, 286, 396, 748, 1024, 1893, 2512, 4485, 5638, 9529,
            10878, 16993, 17110, 23952, 20224, 24047, 15578, 14560, 6274, 3910, 760, 221, 2);
    StateCount count = count(Puzzles.sliding(3, 3));
    assertEquals(layers, levels(count));
    assertEquals(181_440, count.states());
    assertEquals(483_840, count.edges());
  }

  /** OEIS A151944. */
  @Test
  void smallerTrayReachesHalfOfItsArrangements() {
    StateCount three = count(Puzzles.sliding(2, 2));
    assertEquals(12, three.states());
    assertEquals(6, three.depth());
    StateCount five = count(Puzzles.sliding(2, 3));
    assertEquals(360, five.states());
    assertEquals(21, five.depth());
    assertEquals(840, five.edges());
    StateCount seven = count(Puzzles.sliding(2, 4));
    assertEquals(20_160, seven.states());
    assertEquals(36, seven.depth());
    assertEquals(50_400, seven.edges());
  }

  /** Every placing of n discs is reached: 3^n; edges 3^(n+1) - 3 (derived). */
  @TestFactory
  List<DynamicTest> towersReachEveryPlacing() {
    return List.of(1, 2, 3, 4, 5, 6).stream()
        .map(
            n ->
                DynamicTest.dynamicTest(
                    n + " discs",
                    () -> {
                      long placings = Math.round(Math.pow(3, n));
                      StateCount count = count(Puzzles.hanoi(3, n));
                      assertEquals(placings, count.states());
                      assertEquals(3 * placings - 3, count.edges());
                    }))
        .toList();
  }

  /** Alcuin's problem; counts recomputed by others from its rules. */
  @Test
  void wolfGoatAndCabbageHaveTenSafeStates() {
    StateCount safe = count(Crossings.wolfGoatCabbage(true));
    assertEquals(10, safe.states());
    assertEquals(20, safe.edges());
    assertEquals(16, count(Crossings.wolfGoatCabbage(false)).states());
  }

  /** Amarel 1968; Pressman and Singmaster 1989. */
  @TestFactory
  List<DynamicTest> missionariesHaveTheirPublishedStates() {
    int[][] rows = {
      {2, 2, 12, 26}, {3, 2, 16, 34}, {4, 2, 11, 22}, {4, 3, 22, 60},
      {5, 3, 28, 74}, {6, 3, 17, 44}, {6, 4, 34, 118}, {10, 4, 58, 198},
    };
    return List.of(rows).stream()
        .map(
            row ->
                DynamicTest.dynamicTest(
                    row[0] + " each, boat for " + row[1],
                    () -> {
                      StateCount count = count(Crossings.missionaries(row[0], row[1]));
                      assertEquals(row[2], count.states());
                      assertEquals(row[3], count.edges());
                    }))
        .toList();
  }

  /** Counts recomputed by others from the rules. */
  @Test
  void jugsHoldSoManyAmounts() {
    StateCount count = count(Crossings.jugs(3, 5, 4));
    assertEquals(16, count.states());
    assertEquals(58, count.edges());
    assertEquals(14, count(Crossings.jugs(4, 3, 2)).states());
    assertEquals(10, count(Crossings.jugs(6, 9, 4)).states());
    assertEquals(36, count(Crossings.jugs(7, 11, 5)).states());
    assertEquals(16, count(Crossings.pourOnly()).states());
  }

  /** Ciardo and Tilgner 1996; Miner and Ciardo, ICATPN 1999. */
  @TestFactory
  List<DynamicTest> kanbanNetHasItsPublishedMarkings() {
    return nets(
        new long[][] {{1, 160, 616}, {2, 4_600, 28_120}, {3, 58_400, 446_400}, {4, 454_475, 3_979_850}}, true);
  }

  /** Ciardo and Trivedi 1993; Miner and Ciardo, ICATPN 1999. */
  @TestFactory
  List<DynamicTest> manufacturingNetHasItsPublishedMarkings() {
    return nets(new long[][] {{1, 120, 345}, {2, 3_444, 16_311}, {3, 48_590, 297_382}, {4, 438_600, 3_166_985}}, false);
  }

  private static List<DynamicTest> nets(long[][] rows, boolean kanban) {
    return List.of(rows).stream()
        .map(
            row ->
                DynamicTest.dynamicTest(
                    "N = " + row[0],
                    () -> {
                      int n = (int) row[0];
                      StateCount count = count(kanban ? Nets.kanban(n) : Nets.manufacturing(n));
                      assertEquals(row[1], count.states());
                      assertEquals(row[2], count.edges());
                      assertEquals(14 * row[0], count.depth());
                      assertEquals(0, count.stuck());
                    }))
        .toList();
  }

  /** Lucas numbers L(3n), two deadlocks: NASA/CR-2001-210663. */
  @Test
  void philosophersWithEitherForkFirstAreCountedByEveryThirdLucasNumber() {
    long[] states = {18, 76, 322, 1_364, 5_778, 24_476, 103_682};
    for (int n = 2; n < states.length + 2; n++) {
      StateCount count = count(Philosophers.eitherOrder(n));
      assertEquals(states[n - 2], count.states());
      assertEquals(2, count.stuck());
    }
  }

  /** Pell-Lucas numbers, OEIS A002203; one deadlock: all hold their left fork. */
  @Test
  void philosophersWithTheLeftForkFirstAreCountedByPellLucasNumbers() {
    long[] states = {6, 14, 34, 82, 198, 478, 1_154};
    for (int n = 2; n < states.length + 2; n++) {
      StateCount count = count(Philosophers.leftFirst(n));
      assertEquals(states[n - 2], count.states());
      assertEquals(1, count.stuck());
    }
  }

  /** Lucas numbers; no deadlock. */
  @Test
  void philosophersWithBothForksAtOnceAreCountedByLucasNumbers() {
    long[] states = {3, 4, 7, 11, 18, 29, 47};
    for (int n = 2; n < states.length + 2; n++) {
      StateCount count = count(Philosophers.bothAtOnce(n));
      assertEquals(states[n - 2], count.states());
      assertEquals(0, count.stuck());
    }
  }

  /** Rank of the neighbourhood matrix: 4, 9 and 12 of 4, 9 and 16 (OEIS A159257, from memory). */
  @Test
  void lampsReachWhatTheRankOfTheirNeighbourhoodAllows() {
    assertEquals(16, count(Puzzles.lightsOut(2)).states());
    assertEquals(512, count(Puzzles.lightsOut(3)).states());
    assertEquals(4_096, count(Puzzles.lightsOut(4)).states());
  }

  /** Recomputed by others from the rules. */
  @Test
  void generalEscapesThroughItsPublishedConfigurations() {
    assertEquals(25_955, count(Puzzles.generalsEscape()).states());
  }

  /** The explorer's count; where the model is small, the reference interpreter has to agree. */
  private static StateCount count(Model model) {
    StateCount count = WholeModel.count(model, 20_000_000);
    if (count.states() <= SMALL) {
      var plain = PlainCount.of(model);
      assertEquals(
          plain,
          new PlainCount(
              count.states(), count.edges(), count.depth(), levels(count), count.stuck()));
    }
    return count;
  }

  private static List<Long> levels(StateCount count) {
    return Arrays.stream(count.perLevel()).boxed().toList();
  }

  private static List<Long> longs(int... values) {
    return Arrays.stream(values).asLongStream().boxed().toList();
  }
}
