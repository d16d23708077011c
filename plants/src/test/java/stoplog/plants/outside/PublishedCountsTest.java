package stoplog.plants.outside;

import static org.junit.jupiter.api.Assertions.assertEquals;

import java.util.Arrays;
import java.util.List;
import java.util.Locale;
import java.util.function.IntFunction;
import java.util.stream.Collectors;
import org.junit.jupiter.api.DynamicTest;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.TestFactory;
import stoplog.checker.abstraction.WholeModel;
import stoplog.checker.explore.StateCount;
import stoplog.model.Model;
import stoplog.plants.judges.DiagramJudge;

/** Numbers of states, edges and levels that others printed. */
class PublishedCountsTest {
  private static final long SMALL = 60_000;

  /** Up to so many states decision diagrams count too. */
  private static final long DIAGRAMS = 5_000;

  private static final long OPEN = -1;

  /** Reinefeld, IJCAI-93; OEIS A089473, A090034, A090036. 749 in the former at depth 12 is a slip. */
  @Test
  void eightTilesSlideThroughTheirPublishedLayers() {
    List<Long> layers =
        longs(
            1, 2, 4, 8, 16, 20, 39, 62, 116, 152, 286, 396, 748, 1024, 1893, 2512, 4485, 5638, 9529,
            10878, 16993, 17110, 23952, 20224, 24047, 15578, 14560, 6274, 3910, 760, 221, 2);
    var count = assertPublished("OEIS A089473", Puzzles.sliding(3, 3), 181_440, 483_840, 31);
    assertEquals(layers, levels(count));
    Results.value(
        PublishedCountsTest.class, "G1 layers", "eight tiles, states at depth 0 to 31", "OEIS A089473",
        words(layers), words(levels(count)), "none");
    Results.value(
        PublishedCountsTest.class, "G1 layers 12", "eight tiles, states at depth 12", "Reinefeld, IJCAI-93",
        749, "748, as in OEIS A089473: the source has a slip", "none");
  }

  /** OEIS A151944, A090034. */
  @Test
  void smallerTrayReachesHalfOfItsArrangements() {
    assertPublished("OEIS A151944, A090034", Puzzles.sliding(2, 2), 12, OPEN, 6);
    assertPublished("OEIS A151944, A090034", Puzzles.sliding(2, 3), 360, 840, 21);
    assertPublished("OEIS A151944, A090034", Puzzles.sliding(2, 4), 20_160, 50_400, 36);
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
                      assertPublished(
                          "derived: 3^n", Puzzles.hanoi(3, n), placings, 3 * placings - 3, OPEN);
                    }))
        .toList();
  }

  /** Alcuin's problem; counts recomputed by others from its rules. */
  @Test
  void wolfGoatAndCabbageHaveTenSafeStates() {
    assertPublished("Alcuin", Crossings.wolfGoatCabbage(true), 10, 20, OPEN);
    assertPublished("Alcuin", Crossings.wolfGoatCabbage(false), 16, OPEN, OPEN);
  }

  /** In no fewer than seven crossings, and in seven in two ways. */
  @Test
  void wolfGoatAndCabbageCrossInTwoWays() {
    assertEquals(6, count(Crossings.wolfGoatCabbageWays(5)).perLevel().length);
    long ways = levels(count(Crossings.wolfGoatCabbageWays(7))).getLast();
    assertEquals(9, count(Crossings.wolfGoatCabbageWays(7)).perLevel().length);
    assertEquals(2, ways);
    Results.value(
        PublishedCountsTest.class, "G1 ways", "wolf, goat and cabbage, safe states only: ways across in 7",
        "Alcuin", 2, ways, "interpreter");
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
                    () ->
                        assertPublished(
                            "Amarel 1968; Pressman and Singmaster 1989",
                            Crossings.missionaries(row[0], row[1]),
                            row[2],
                            row[3],
                            OPEN)))
        .toList();
  }

  /** Counts recomputed by others from the rules. */
  @Test
  void jugsHoldSoManyAmounts() {
    assertPublished("recomputed by others", Crossings.jugs(3, 5, 4), 16, 58, OPEN);
    assertPublished("recomputed by others", Crossings.jugs(4, 3, 2), 14, OPEN, OPEN);
    assertPublished("recomputed by others", Crossings.jugs(6, 9, 4), 10, OPEN, OPEN);
    assertPublished("recomputed by others", Crossings.jugs(7, 11, 5), 36, OPEN, OPEN);
    assertPublished("recomputed by others", Crossings.pourOnly(), 16, OPEN, OPEN);
  }

  /** Ciardo and Tilgner 1996; Miner and Ciardo, ICATPN 1999. */
  @TestFactory
  List<DynamicTest> kanbanNetHasItsPublishedMarkings() {
    return nets(
        "Ciardo and Tilgner 1996",
        new long[][] {
          {1, 160, 616}, {2, 4_600, 28_120}, {3, 58_400, 446_400}, {4, 454_475, 3_979_850}
        },
        true);
  }

  /** Ciardo and Trivedi 1993; Miner and Ciardo, ICATPN 1999. */
  @TestFactory
  List<DynamicTest> manufacturingNetHasItsPublishedMarkings() {
    return nets(
        "Ciardo and Trivedi 1993",
        new long[][] {
          {1, 120, 345}, {2, 3_444, 16_311}, {3, 48_590, 297_382}, {4, 438_600, 3_166_985}
        },
        false);
  }

  private static List<DynamicTest> nets(String source, long[][] rows, boolean kanban) {
    return List.of(rows).stream()
        .map(
            row ->
                DynamicTest.dynamicTest(
                    "N = " + row[0],
                    () -> {
                      int n = (int) row[0];
                      Model net = kanban ? Nets.kanban(n) : Nets.manufacturing(n);
                      assertPublished(source, net, row[1], row[2], 14 * row[0], 0);
                    }))
        .toList();
  }

  /** Lucas numbers L(3n), two deadlocks: NASA/CR-2001-210663. */
  @Test
  void philosophersWithEitherForkFirstAreCountedByEveryThirdLucasNumber() {
    long[] states = {18, 76, 322, 1_364, 5_778, 24_476, 103_682};
    philosophers("NASA/CR-2001-210663", Philosophers::eitherOrder, states, 2);
  }

  /** Pell-Lucas numbers, OEIS A002203; one deadlock: all hold their left fork. */
  @Test
  void philosophersWithTheLeftForkFirstAreCountedByPellLucasNumbers() {
    long[] states = {6, 14, 34, 82, 198, 478, 1_154};
    philosophers("OEIS A002203", Philosophers::leftFirst, states, 1);
  }

  /** Lucas numbers; no deadlock. */
  @Test
  void philosophersWithBothForksAtOnceAreCountedByLucasNumbers() {
    long[] states = {3, 4, 7, 11, 18, 29, 47};
    philosophers("Lucas numbers", Philosophers::bothAtOnce, states, 0);
  }

  private static void philosophers(
      String source, IntFunction<Model> table, long[] states, long deadlocks) {
    for (int n = 2; n < states.length + 2; n++) {
      assertPublished(source, table.apply(n), states[n - 2], OPEN, OPEN, deadlocks);
    }
  }

  /** Rank of the neighbourhood matrix: 4, 9 and 12 of 4, 9 and 16 (OEIS A159257, from memory). */
  @Test
  void lampsReachWhatTheRankOfTheirNeighbourhoodAllows() {
    assertPublished("OEIS A159257 (from memory)", Puzzles.lightsOut(2), 16, OPEN, OPEN);
    assertPublished("OEIS A159257 (from memory)", Puzzles.lightsOut(3), 512, OPEN, OPEN);
    assertPublished("OEIS A159257 (from memory)", Puzzles.lightsOut(4), 4_096, OPEN, OPEN);
  }

  /** Recomputed by others from the rules. */
  @Test
  void generalEscapesThroughItsPublishedConfigurations() {
    assertPublished("recomputed by others", Puzzles.generalsEscape(), 25_955, OPEN, OPEN);
  }

  /** Counts, compares and puts both into the table; {@link #OPEN} for what was not published. */
  private static StateCount assertPublished(
      String source, Model model, long states, long edges, long depth, long deadlocks) {
    StateCount count = count(model);
    String published = words(states, edges, depth, deadlocks);
    String ours =
        words(
            count.states(),
            edges == OPEN ? OPEN : count.edges(),
            depth == OPEN ? OPEN : count.depth(),
            deadlocks == OPEN ? OPEN : count.stuck());
    assertEquals(published, ours, model.name());
    String judge = count.states() <= SMALL ? "interpreter" : "none";
    if (count.states() <= DIAGRAMS) {
      assertEquals(levels(count), DiagramJudge.levels(model), model.name());
      judge += ", diagrams";
    }
    Results.value(
        PublishedCountsTest.class,
        "G1 counts " + model.name(),
        model.name(),
        source,
        published,
        ours,
        judge);
    return count;
  }

  private static StateCount assertPublished(
      String source, Model model, long states, long edges, long depth) {
    return assertPublished(source, model, states, edges, depth, OPEN);
  }

  private static String words(long states, long edges, long depth, long deadlocks) {
    return String.format(Locale.ROOT, "%,d states", states)
        + (edges == OPEN ? "" : String.format(Locale.ROOT, ", %,d edges", edges))
        + (depth == OPEN ? "" : ", depth " + depth)
        + switch ((int) deadlocks) {
          case (int) OPEN -> "";
          case 0 -> ", no deadlock";
          case 1 -> ", 1 deadlock";
          default -> ", " + deadlocks + " deadlocks";
        };
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

  private static String words(List<Long> numbers) {
    return numbers.stream().map(String::valueOf).collect(Collectors.joining(" "));
  }

  private static List<Long> longs(int... values) {
    return Arrays.stream(values).asLongStream().boxed().toList();
  }
}
