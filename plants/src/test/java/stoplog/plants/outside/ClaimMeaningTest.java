package stoplog.plants.outside;

import static org.junit.jupiter.api.Assertions.assertEquals;

import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/**
 * What each kind of claim says, on a plant small enough to see the answer: the pump runs on for 1 to
 * 2 s after the button is released or power fails, while the valve shuts in 3 to 4 s.
 */
class ClaimMeaningTest {
  private static final String PLANT =
      """
      plant "Pump and valve"
      controller reacts within 0 s
      power may fail
      pump P-1 { coast 1..2 s }
      valve FV-1 { travel 3..4 s; fails closed }
      condition wet comes and goes
      panel { hold-button go }
      logic {
        run P-1 when go and FV-1 is commanded open
        open FV-1 when go
      }
      """;

  /** Whether the claim's condition can be reached: a violation, or what some run "can" do. */
  @ParameterizedTest
  @CsvSource(
      delimiter = '!',
      value = {
        "never together P-1 is turning, FV-1 is closed! true",
        "never together P-1 is coasting, FV-1 is closed, P-1 is running! true",
        "never together P-1 is at rest, P-1 is running, P-1 is coasting! false",
        "never together FV-1 is open, FV-1 is closed, wet! true",
        "never together FV-1 is open, FV-1 is opening, FV-1 is closed! false",
        "never together P-1 is turning, FV-1 is opening and wet and not wet, FV-1 is closed! true",
        "once P-1 is running, P-1 is turning stays until P-1 is at rest! false",
        "once P-1 is running, P-1 is running stays until P-1 is at rest! true",
        "once FV-1 is open, P-1 is at rest stays until wet! true",
        "once FV-1 is open, P-1 is turning stays until P-1 is coasting! true",
        "once go, wet stays until not go assuming wet! false",
        "can P-1 is running assuming wet! true",
        "can P-1 is running assuming P-1 is at rest! false",
        "can FV-1 is closing assuming P-1 is running or FV-1 is closed! false",
        "can not wet assuming wet! false",
        "can P-1 is coasting assuming go or P-1 is at rest! true",
        "can P-1 is coasting assuming go or P-1 is at rest without power failure! false",
        "after not go, P-1 is at rest within 2 s! true",
        "after not go, P-1 is at rest or go within 2 s! false",
        "after not go, P-1 is at rest or go within 1 s! true",
      })
  void eachClaimSaysWhatItSays(String promise, boolean reached) {
    String plant = PLANT + "require R-01 : " + promise + "\n";
    assertEquals(reached, Texts.reaches(Texts.model(plant), "R-01"), promise);
  }
}
