package stoplog.plants.random;

import static org.junit.jupiter.api.Assertions.assertEquals;

import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/**
 * Scenarios on a small plant whose outcome is known by hand. The pump follows the button within the
 * reaction time of 1 s and coasts 2 to 4 s; its switch follows within 1 to 2 s.
 */
class ScenariosByHandTest {
  private static final String PLANT =
      """
      plant "scenes"
      controller reacts within 1 s
      power may fail
      pump P-1 "pump" { coast 2..4 s }
      condition foam comes and goes
      switch FS-1 "motion switch" follows P-1 is turning within 1..2 s
      switch LS-9 "foam switch" follows foam
      panel { hold-button jog; button start, stop; selector mode: off, auto; key lock }
      logic {
        latch running: set by start when mode is auto; cleared by stop or LS-9
        signal high = LS-9
        run P-1 when jog or running
      }
      scenario S-1 %s { %s }
      """;

  @ParameterizedTest
  @CsvSource(
      delimiter = '|',
      value = {
        // -- the reaction time: at once, or up to a second later
        "certain  | at 5 s: hold jog; at 5.5 s see P-1 is running                      | fails",
        "certain  | at 5 s: hold jog; at 6 s see P-1 is running                        | passes",
        "certain  | at 5 s: hold jog; at 7 s see P-1 is running                        | passes",
        "certain  | at 5 s: hold jog; by 6 s see P-1 is running                        | passes",
        "certain  | at 5 s: hold jog; by 5 s see P-1 is running                        | fails",
        "possible | at 5 s: hold jog; by 5 s see P-1 is running                        | passes",
        "possible | at 5 s: hold jog; at 4 s see P-1 is running                        | fails",
        "certain  | at 5 s: hold jog; from 0 s to 5 s see P-1 is at rest               | passes",
        "certain  | at 5 s: hold jog; from 0 s to 6 s see P-1 is at rest               | fails",
        "possible | at 5 s: hold jog; from 0 s to 6 s see P-1 is at rest               | passes",
        "possible | at 5 s: hold jog; from 0 s to 7 s see P-1 is at rest               | fails",
        // -- coasting: at rest 2 s after the release at the soonest, 1 + 4 s at the latest
        "possible | at 1 s: hold jog; at 5 s: release jog; by 7 s see P-1 is at rest   | passes",
        "certain  | at 1 s: hold jog; at 5 s: release jog; by 10 s see P-1 is at rest  | passes",
        "certain  | at 1 s: hold jog; at 5 s: release jog; by 9 s see P-1 is at rest   | fails",
        "possible | at 1 s: hold jog; at 5 s: release jog; from 5 s to 10 s see P-1 is turning | passes",
        "possible | at 1 s: hold jog; at 5 s: release jog; from 5 s to 11 s see P-1 is turning | fails",
        // -- the order of what is to be seen: both must be seen in one run
        "possible | at 1 s: hold jog; at 2 s see FS-1; at 3 s see not FS-1             | fails",
        "possible | at 1 s: hold jog; at 2 s see FS-1; at 3 s see FS-1                 | passes",
        // -- only what is written happens
        "certain  | from 0 s to 60 s see not foam and P-1 is at rest                   | passes",
        "certain  | given mode is off; at 1 s: press start; from 0 s to 9 s see P-1 is at rest | passes",
        "certain  | given mode is off; at 1 s: turn mode to auto, press start; by 3 s see P-1 is running | passes",
        "certain  | at 1 s: press start; by 3 s see P-1 is running                     | fails",
        "possible | at 1 s: press start; by 3 s see P-1 is running                     | passes",
        "certain  | given foam; by 2 s see high                                        | passes",
        "certain  | at 1 s: foam starts; at 3 s: foam ends; at 6 s see not high        | passes",
        "certain  | given lock; at 1 s: turn lock to off; at 2 s see not lock          | passes",
        // -- a start that is not there
        "certain  | given P-1 is running; at 1 s see P-1 is running                    | fails",
        "possible | given P-1 is running; at 1 s see P-1 is running                    | fails",
        // -- power
        "certain  | at 1 s: hold jog; at 5 s: power fails; at 10 s see P-1 is at rest  | passes",
        "certain  | at 1 s: hold jog; at 5 s: power fails; at 5 s see P-1 is coasting  | passes",
        "certain  | at 1 s: power fails; at 2 s: press start; at 3 s: power returns; from 0 s to 9 s see P-1 is at rest | passes",
        "certain  | given mode is auto; at 3 s: power returns, press start; by 5 s see P-1 is running | passes",
        // -- a power failure releases the buttons of a touch panel
        "possible | given mode is auto; at 1 s: press start; at 1 s: power fails; at 3 s: power returns; at 6 s see P-1 is running | fails",
        // -- faults
        "certain  | at 1 s: FS-1 has fault stuck_on; at 1 s see FS-1                   | passes",
        "certain  | at 1 s: FS-1 has fault stuck_off; at 2 s: hold jog; from 0 s to 20 s see not FS-1 | passes",
        "certain  | at 1 s: start has fault stuck; at 3 s: turn mode to auto; by 5 s see P-1 is running | passes",
      })
  void scenarioComesOutAsByHand(String how, String entries, String expected) {
    assertEquals(expected, Scenes.played(PLANT.formatted(how.strip(), entries.strip())), entries);
  }

  /** Four seconds of the delay are over when power fails; from its return it takes all five again. */
  @ParameterizedTest
  @CsvSource(
      delimiter = '|',
      value = {
        "for 5 s       | from 0 s to 9.5 s see P-1 is at rest  | passes",
        "for 5 s       | at 10.5 s see P-1 is running          | passes",
        "for 5 s       | by 9.5 s see P-1 is running           | fails",
      })
  void powerFailureBeginsADelayAnew(String delay, String seen, String expected) {
    String plant =
        """
        plant "delay"
        controller reacts within 0 s
        power may fail
        pump P-1 "pump"
        condition wet comes and goes
        switch XS-1 "wet switch" follows wet
        panel { button start }
        logic { run P-1 when XS-1 %s }
        scenario S-1 certain { at 1 s: wet starts; at 4.5 s: power fails; at 5 s: power returns; %s }
        """;
    assertEquals(expected, Scenes.played(plant.formatted(delay.strip(), seen.strip())), seen);
  }

  /** The pump has nothing that would hide a start of an instant: it coasts for two seconds after it. */
  @ParameterizedTest
  @CsvSource(
      delimiter = '|',
      value = {
        "at 5 s: press reset; from 2 s to 9 s see P-1 is at rest                 | passes",
        "at 5 s: wet ends, press reset; from 6 s to 9 s see P-1 is running       | passes",
        "at 5 s: wet ends; from 6 s to 9 s see P-1 is at rest                    | passes",
      })
  void tripIsNotResetWhileItsConditionHolds(String seen, String expected) {
    String plant =
        """
        plant "trip"
        controller reacts within 0 s
        pump P-1 "pump" { coast 2..2 s }
        condition wet comes and goes
        switch XS-1 "wet switch" follows wet
        panel { button reset; hold-button jog }
        logic { run P-1 when not jog { trip "wet": XS-1 } }
        scenario S-1 certain { given wet; %s }
        """;
    assertEquals(expected, Scenes.played(plant.formatted(seen.strip())), seen);
  }

  private static final String TANK =
      """
      plant "tank"
      controller reacts within 0 s
      pump P-1 "pump"
      condition full comes and goes
      switch LSH-1 "high" follows full
      switch LSH-2 "high high" follows full
      panel { button start }
      logic {
        latch filling: set by start; cleared by LSH-1 or LSH-2
        run P-1 when filling { interlock "not full": not (LSH-1 or LSH-2) }
      }
      """;

  @ParameterizedTest
  @CsvSource(
      delimiter = '|',
      value = {
        "hazard H-1 : P-1 is running and full                                    | false",
        "hazard H-1 : P-1 is running and full tolerates 1 fault of LSH-2         | false",
        "hazard H-1 : P-1 is running and full tolerates 2 faults of LSH-1, start | false",
        "hazard H-1 : P-1 is running and full tolerates 2 faults of LSH-1, LSH-2 | true",
        "hazard H-1 : P-1 is running and full tolerates 1 fault of P-1             | true",
      })
  void claimToleratesAsManyFaultsAsItSays(String claim, boolean reached) {
    ByHand.reaches(reached, TANK.substring(TANK.indexOf('\n') + 1) + claim + "\n");
  }
}
