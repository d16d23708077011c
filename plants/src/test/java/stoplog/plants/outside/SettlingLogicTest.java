package stoplog.plants.outside;

import static org.junit.jupiter.api.Assertions.assertEquals;

import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import stoplog.checker.abstraction.Settling;

/** Which logic comes to rest while the field stands still, and which chatters. */
class SettlingLogicTest {
  private static final String PLANT =
      """
      plant "Scans"
      controller reacts within 0 s
      pump P-1
      pump P-2
      panel { hold-button a, b }
      logic {
        memory whose: one, two, three
        %s
        run P-1 when a
        run P-2 when b
      }
      hazard H-01 : P-1 is turning
      """;

  @ParameterizedTest
  @CsvSource(
      delimiter = '!',
      value = {
        "signal x = not x                                          ! [x]",
        "signal x = not y | signal y = x                           ! [y]",
        "signal x = a and not x                                    ! [x]",
        "whose := two when whose is one | whose := one when a      ! []",
        "memory last: 0..3 | last := last + 1                      ! []",
        // Around and around, scan after scan.
        "memory n: 0..3 | n := 0 when n > 2 | signal x = n > 2 | n := n + 1 when not x ! [n]",
        // Once for each edge: an edge lasts one scan.
        "memory n: 0..3 | signal x = n > 2 | n := n + 1 when a rises | n := 0 when x ! []",
        "duty d: P-1, P-2; alternates when a                       ! []",
        // What chatters is told of itself, not all that depends on it.
        "signal x = not x | duty d: P-1, P-2; alternates when x    ! [x]",
        "signal x = not x | latch l: set by x; cleared by not x    ! [x]",
        // What comes before is at rest and lets it chatter, or changes within each scan and back.
        "signal y = x and not z | signal x = a | signal z = y and x ! [z]",
        "signal w = whose is one | whose := two | signal z = w and whose is two and not z"
            + "| whose := one ! [z]",
      })
  void onlyLogicThatSettlesIsCalledSettled(String logic, String restless) {
    String plant = PLANT.formatted(logic.replace("|", "\n  "));
    assertEquals(restless, Settling.restless(Texts.model(plant)).toString(), logic);
  }
}
