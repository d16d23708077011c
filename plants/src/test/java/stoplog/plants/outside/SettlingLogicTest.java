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
        memory turn: one, two, three
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
        "signal x = not y; signal y = x                            ! [x]",
        "signal x = a and not x                                    ! [x]",
        "turn := two when turn is one; turn := one when a          ! []",
        "memory last: 0..3; last := last + 1                       ! []",
        // Around and around, scan after scan.
        "memory n: 0..3; n := 0 when n > 2; signal x = n > 2; n := n + 1 when not x ! [n]",
        // Once around for each edge: an edge lasts one scan.
        "memory n: 0..3; signal x = n > 2; n := n + 1 when a rises; n := 0 when x ! []",
        "duty d: P-1, P-2; alternates when a                       ! []",
        // What chatters keeps what depends on it from settling, and is told of itself.
        "signal x = not x; duty d: P-1, P-2; alternates when x     ! [x, d]",
        "signal x = not x; latch l: set by x; cleared by not x     ! [x]",
        // The old value is read and another is read on the way: both count.
        "signal y = x and not z; signal x = a; signal z = y and x; signal x2 = z ! [z]",
      })
  void onlyLogicThatSettlesIsCalledSettled(String logic, String restless) {
    String plant = PLANT.formatted(logic.replace(";", "\n  ").replace("\n   cleared", "; cleared"));
    plant = plant.replace("\n   alternates", "; alternates");
    assertEquals(restless, Settling.restless(Texts.model(plant)).toString(), logic);
  }
}
