package stoplog.plants.outside;

import static org.junit.jupiter.api.Assertions.assertEquals;

import java.util.Arrays;
import java.util.Locale;
import java.util.stream.Collectors;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.parallel.Execution;
import org.junit.jupiter.api.parallel.ExecutionMode;
import stoplog.checker.abstraction.WholeModel;
import stoplog.checker.explore.StateCount;
import stoplog.model.Model;

/** Published counts of some millions of states each: too many for the other judges. */
@Execution(ExecutionMode.CONCURRENT)
class LargeCountsTest {

  /** OEIS A079761 (half turns count) and A079762 (they do not): 3,674,160 arrangements. */
  @Test
  void pocketCubeIsTurnedThroughItsPublishedLayers() {
    assertLayers(
        "G1 cube half", "pocket cube, half turns", "OEIS A079761", PocketCube.model(true),
        1, 9, 54, 321, 1847, 9992, 50136, 227536, 870072, 1887748, 623800, 2644);
    assertLayers(
        "G1 cube quarter", "pocket cube, quarter turns", "OEIS A079762", PocketCube.model(false),
        1, 6, 27, 120, 534, 2256, 8969, 33058, 114149, 360508, 930588, 1350852, 782536, 90280, 276);
  }

  /** OEIS A159257 for the number; layers recomputed by others. */
  @Test
  void twentyFiveLampsReachTheirPublishedLayers() {
    assertLayers(
        "G1 lamps 5", "5x5 lamps", "OEIS A159257", Puzzles.lightsOut(5),
        1, 25, 300, 2300, 12650, 53130, 176176, 467104, 982335, 1596279, 1935294, 1684446, 1004934,
        383670, 82614, 7350);
  }

  private static void assertLayers(
      String order, String what, String source, Model model, long... published) {
    StateCount count = WholeModel.count(model, 10_000_000);
    String expected = words(published);
    String ours = words(count.perLevel());
    assertEquals(expected, ours, what);
    Results.value(
        LargeCountsTest.class, order, what + ", states at each depth", source, expected, ours, "none");
  }

  /** OEIS A151944, A090036. */
  @Test
  void nineTilesSlideThroughTheirPublishedStates() {
    StateCount count = WholeModel.count(Puzzles.sliding(2, 5), 2_000_000);
    String published = number(1_814_400) + " states, depth 55";
    String ours = number(count.states()) + " states, depth " + count.depth();
    assertEquals(published, ours);
    Results.value(
        LargeCountsTest.class, "G1 sliding 2x5", "2x5 sliding puzzle", "OEIS A151944, A090036", published,
        ours, "none");
  }

  /** Ciardo and Tilgner 1996; Ciardo and Trivedi 1993; both Miner and Ciardo, ICATPN 1999. */
  @Test
  void fiveCardsHaveTheirPublishedMarkings() {
    assertNet(
        "G1 Kanban 5", "Kanban 5", "Ciardo and Tilgner 1996", Nets.kanban(5), 2_546_432, 24_460_016);
    assertNet(
        "G1 manufacturing 5", "manufacturing 5", "Ciardo and Trivedi 1993",
        Nets.manufacturing(5), 2_895_018, 23_527_185);
  }

  private static void assertNet(
      String order, String what, String source, Model model, long states, long edges) {
    StateCount count = WholeModel.count(model, 3_000_000);
    String published = net(states, edges, 70, 0);
    String ours = net(count.states(), count.edges(), count.depth(), count.stuck());
    assertEquals(published, ours, what);
    Results.value(LargeCountsTest.class, order, what, source, published, ours, "none");
  }

  private static String net(long states, long edges, long depth, long stuck) {
    return number(states) + " states, " + number(edges) + " edges, depth " + depth + ", "
        + (stuck == 0 ? "no deadlock" : stuck + " deadlocks");
  }

  private static String number(long n) {
    return String.format(Locale.ROOT, "%,d", n);
  }

  private static String words(long[] numbers) {
    return Arrays.stream(numbers).mapToObj(Long::toString).collect(Collectors.joining(" "));
  }
}
