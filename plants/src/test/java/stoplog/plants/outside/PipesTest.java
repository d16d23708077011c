package stoplog.plants.outside;

import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/** What pipes say about positions, on plants small enough to see the answer. */
class PipesTest {
  /** Two valves of which exactly one is open at a time, and a pump moved by hand. */
  private static final String ONE_OF_TWO =
      """
      plant "one of two"
      valve FV-1
      valve FV-2
      pump P-1 by hand
      panel { selector mode: a, b }
      logic {
        open FV-1 when mode is a
        open FV-2 when mode is not a
      }
      """;

  private static boolean reaches(String plant, String condition) {
    // In a plant that scans at once, an instant without the first scan is no time.
    return Texts.reaches(Texts.model(plant + "hazard H-1 : " + condition + "\n"), "H-1");
  }

  @Test
  void aPathIsOpenWhereEveryValveOnItIs() {
    String row = ONE_OF_TWO + "pipe from T-1 through FV-1 to middle\npipe from middle through FV-2 to out\n";
    assertTrue(reaches(row, "open path from T-1 to middle"));
    assertTrue(reaches(row, "open path from middle to out"));
    assertFalse(reaches(row, "open path from T-1 to out"));
    assertTrue(reaches(row, "open path from middle to T-1"), "a valve lets through both ways");
  }

  @Test
  void aPathIsOpenWhereOneOfTwoWaysIs() {
    String twin = ONE_OF_TWO + "pipe from T-1 through FV-1 to out\npipe from T-1 through FV-2 to out\n";
    assertTrue(reaches(twin, "open path from T-1 to out"));
    assertFalse(reaches(twin, "not open path from T-1 to out for 1 s"));
  }

  @Test
  void flowNeedsAPumpOnTheWayThatTurnsTheRightWay() {
    String line = ONE_OF_TWO + "pipe from T-1 through FV-1, P-1 to out\n";
    assertTrue(reaches(line, "flow from T-1 to out"));
    assertFalse(reaches(line, "flow from T-1 to out and P-1 is at rest"));
    assertFalse(reaches(line, "flow from T-1 to out and FV-1 is closed"));
    assertFalse(reaches(line, "flow from out to T-1"));
    assertTrue(reaches(line, "open path from out to T-1"));
  }

  @Test
  void aPumpIsDeadHeadedWhereNoWayOutIsOpen() {
    String one = ONE_OF_TWO + "pipe from T-1 through P-1 to header\npipe from header through FV-1 to out\n";
    assertTrue(reaches(one, "P-1 is dead_headed for 1 s"));
    assertFalse(reaches(one, "P-1 is dead_headed and FV-1 is open"));
    assertFalse(reaches(one, "P-1 is dead_headed and P-1 is at rest"));
    String two = one + "pipe from header through FV-2 to T-1\n";
    assertFalse(reaches(two, "P-1 is dead_headed for 1 s"), "the way back to the tank is one");
    assertFalse(reaches(one + "pipe from header to drain\n", "P-1 is dead_headed"));
  }

  @Test
  void aPumpIsDryWhereNoWayInIsOpen() {
    String one = ONE_OF_TWO + "pipe from T-1 through FV-1 to inlet\npipe from inlet through P-1 to out\n";
    assertTrue(reaches(one, "P-1 is dry for 1 s"));
    assertFalse(reaches(one, "P-1 is dry and FV-1 is open"));
    assertFalse(reaches(one, "P-1 is dead_headed"));
    String two = one + "pipe from well through FV-2 to inlet\n";
    assertFalse(reaches(two, "P-1 is dry for 1 s"), "the well is a second source");
  }

  @Test
  void aPathThroughAConditionReachesTheInstruments() {
    String line =
        ONE_OF_TWO
            + "pipe from T-1 through FV-1, P-1 to out\n"
            + "condition moving holds when flow from T-1 to out\n"
            + "switch FS-1 follows moving within 1..2 s\n";
    assertTrue(reaches(line, "FS-1 and moving"));
    assertTrue(reaches(line, "moving and not FS-1 for 1 s"));
    assertFalse(reaches(line, "moving and not FS-1 for 2 s"));
  }

  @Test
  void trainsOfATemplateAreTrainsOfTheirOwn() {
    String trains =
        """
        plant "trains"
        template train(n, cause) {
          valve FV-{n}
          pump P-{n} by hand
          pipe from T-1 through FV-{n}, P-{n} to out
          logic { open FV-{n} when {cause} }
        }
        panel { selector mode: a, b }
        use train(n = 1, cause = mode is a)
        use train(n = 2, cause = mode is b)
        """;
    assertTrue(reaches(trains, "P-1 is dry"));
    assertTrue(reaches(trains, "flow from T-1 to out"));
    assertFalse(reaches(trains, "at least 2 of (FV-{1..2} is open)"));
    assertFalse(reaches(trains, "none of (FV-{1..2} is open) for 1 s"));
    assertTrue(reaches(trains, "all of (P-{1..2} is turning)"));
  }

  @Test
  void aThreeWayValveLeadsOneWayOrTheOther() {
    String divert =
        """
        plant "divert"
        divert_valve FV-1 by hand
        pipe from T-1 to FV-1 at common
        pipe from FV-1 at main to product
        pipe from FV-1 at side to drain
        """;
    assertTrue(reaches(divert, "open path from T-1 to product"));
    assertTrue(reaches(divert, "open path from T-1 to drain"));
    assertFalse(reaches(divert, "open path from T-1 to drain and open path from T-1 to product"));
    assertFalse(reaches(divert, "open path from drain to product"));
  }

  @ParameterizedTest
  @ValueSource(strings = {"divert_valve", "divert_valve_overlapping"})
  void aThreeWayValveOnItsWayMayJoinBothWays(String kind) {
    String divert =
        """
        plant "divert"
        %s FV-1 { travel 2..4 s }
        pipe from T-1 to FV-1 at common
        pipe from FV-1 at main to product
        pipe from FV-1 at side to drain
        panel { hold-button aside }
        logic { divert FV-1 when aside }
        """
            .formatted(kind);
    String both = "open path from T-1 to drain and open path from T-1 to product";
    assertTrue(reaches(divert, both + " and FV-1 is diverting for 3 s"));
    assertFalse(reaches(divert, both + " and FV-1 is diverting for 4 s"));
    assertTrue(reaches(divert, "open path from drain to product"), "they meet in the valve");
    assertFalse(reaches(divert, both + " and FV-1 is straight"));
    assertFalse(reaches(divert, both + " and FV-1 is diverted"));
    assertFalse(reaches(divert, "FV-1 is diverted and open path from T-1 to product"));
  }

  /** On its way such a valve may be shut both ways; one that opens before it shuts never is. */
  @Test
  void pumpAgainstAThreeWayValveOnItsWayMayBeDeadHeaded() {
    String text =
        """
        plant "three ways"
        controller reacts within 0 s
        pump P-1 by hand
        divert_valve DV-1 by hand { travel 2..4 s }
        pipe from T-1 through P-1 to DV-1 at common
        pipe from DV-1 at main to product
        pipe from DV-1 at side to drain
        hazard H-1 : P-1 is dead_headed for 3 s
        """;
    assertTrue(Texts.reaches(Texts.model(text), "H-1"));
    assertFalse(
        Texts.reaches(
            Texts.model(text.replace("divert_valve", "divert_valve_overlapping")), "H-1"));
  }
}
