package stoplog.plants.outside;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;

import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.condition.EnabledIfSystemProperty;
import stoplog.checker.abstraction.WholeModel;

/** Published counts of some millions of states; {@code -Dlarge} runs them. */
@EnabledIfSystemProperty(named = "large", matches = ".*")
class LargeCountsTest {

  /** OEIS A079761 (half turns count) and A079762 (they do not): 3,674,160 arrangements. */
  @Test
  void pocketCubeIsTurnedThroughItsPublishedLayers() {
    assertArrayEquals(
        new long[] {
          1, 9, 54, 321, 1847, 9992, 50136, 227536, 870072, 1887748, 623800, 2644
        },
        WholeModel.count(PocketCube.model(true), 4_000_000).perLevel());
    assertArrayEquals(
        new long[] {
          1, 6, 27, 120, 534, 2256, 8969, 33058, 114149, 360508, 930588, 1350852, 782536, 90280, 276
        },
        WholeModel.count(PocketCube.model(false), 4_000_000).perLevel());
  }

  /** OEIS A159257 for the number; layers recomputed by others. */
  @Test
  void twentyFiveLampsReachTheirPublishedLayers() {
    assertArrayEquals(
        new long[] {
          1, 25, 300, 2300, 12650, 53130, 176176, 467104, 982335, 1596279, 1935294, 1684446,
          1004934, 383670, 82614, 7350
        },
        WholeModel.count(Puzzles.lightsOut(5), 10_000_000).perLevel());
  }

  /** OEIS A151944, A090036. */
  @Test
  void nineTilesSlideThroughTheirPublishedStates() {
    var count = WholeModel.count(Puzzles.sliding(2, 5), 2_000_000);
    assertEquals(1_814_400, count.states());
    assertEquals(55, count.depth());
  }

  /** Ciardo and Tilgner 1996; Miner and Ciardo, ICATPN 1999. */
  @Test
  void fiveCardsHaveTheirPublishedMarkings() {
    var kanban = WholeModel.count(Nets.kanban(5), 3_000_000);
    assertEquals(2_546_432, kanban.states());
    assertEquals(24_460_016, kanban.edges());
    assertEquals(70, kanban.depth());
    assertEquals(0, kanban.stuck());
    var manufacturing = WholeModel.count(Nets.manufacturing(5), 3_000_000);
    assertEquals(2_895_018, manufacturing.states());
    assertEquals(23_527_185, manufacturing.edges());
    assertEquals(70, manufacturing.depth());
    assertEquals(0, manufacturing.stuck());
  }
}
