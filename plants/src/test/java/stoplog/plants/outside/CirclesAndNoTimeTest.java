package stoplog.plants.outside;

import static org.junit.jupiter.api.Assertions.assertEquals;

import org.junit.jupiter.api.Test;
import stoplog.model.Claim;
import stoplog.model.Model;

/**
 * Equipment that moves what moves it, and timers without time: hazards Y-.. can be reached, hazards
 * N-.. cannot, as worked out by hand.
 */
class CirclesAndNoTimeTest {
  private static void assertAnswers(String plant) {
    Model model = Texts.model("plant \"circles\"\n" + plant);
    for (Claim c : model.claims()) {
      assertEquals(c.id().startsWith("Y-"), Texts.reaches(model, c.id()), c.id());
    }
  }

  @Test
  void aReliefValveThatTakesThePressureOffItselfGoesOnAndOn() {
    // It lifts, is no longer needed, shuts within 2 s, and lifts again at that instant: time goes on.
    assertAnswers(
        """
        controller reacts within 200 ms
        pump P-1 by hand
        valve FV-1 by hand
        relief_valve RV-1 { overpressure when P-1 is dead_headed; reseat 1..2 s }
        pipe from T-1 through P-1 to header
        pipe from header through FV-1 to product
        pipe from header through RV-1 to T-1
        hazard Y-1 : P-1 is running and FV-1 is closed for 100 s
        hazard Y-2 : P-1 is running and FV-1 is closed and RV-1 is reseating for 9 s
        hazard N-1 : P-1 is running and FV-1 is closed and RV-1 is closed
        hazard N-2 : P-1 is at rest and RV-1 is reseating for 2 s
        """);
  }

  @Test
  void ofTwoReliefValvesEitherOrBothLift() {
    assertAnswers(
        """
        controller reacts within 200 ms
        pump P-1 by hand
        relief_valve RV-1 { overpressure when P-1 is dead_headed; reseat 1..2 s }
        relief_valve RV-2 { overpressure when P-1 is dead_headed; reseat 1..2 s }
        pipe from T-1 through P-1 to header
        pipe from header through RV-1 to T-1
        pipe from header through RV-2 to T-1
        hazard Y-1 : RV-1 is closed and RV-2 is not closed and P-1 is running
        hazard Y-2 : RV-2 is closed and RV-1 is not closed and P-1 is running
        hazard Y-3 : RV-2 is not closed and RV-1 is not closed for 1 s
        hazard N-1 : RV-2 is closed and RV-1 is closed and P-1 is running
        """);
  }

  @Test
  void whatTakesNoTimeAndNeverComesToRestIsSeenInBothStates() {
    assertAnswers(
        """
        controller reacts within 200 ms
        pump P-1 by hand
        check_valve CV-1 { forward when P-1 is running and CV-1 is closed }
        hazard Y-1 : P-1 is running and CV-1 is open
        hazard Y-2 : P-1 is running and CV-1 is closed
        hazard N-1 : P-1 is at rest and CV-1 is open
        """);
  }

  @Test
  void anOnDelayOfNothingPassesAButtonOn() {
    String plant =
        """
        controller reacts within 0 s
        pump P-1
        panel { button start, stop; setpoint wait = 1 s within LOW..10 s }
        logic {
          latch on: set by start for wait; cleared by stop
          run P-1 when on
        }
        hazard CLAIM : P-1 is running
        """;
    assertAnswers(plant.replace("LOW", "0").replace("CLAIM", "Y-1"));
    assertAnswers(plant.replace("LOW", "1").replace("CLAIM", "N-1"));
  }

  @Test
  void anOffDelayOrPulseOfNothingIsOverAtOnce() {
    String plant =
        """
        controller reacts within 0 s
        pump P-1
        panel { button start; hold-button h; setpoint wait = 1 s within LOW..10 s }
        logic {
          signal before = h
          signal tail = h held on for wait
          signal kick = pulse of wait from start
          latch dropped: set by before falls and not tail; cleared by start
          latch spared: set by start and not kick; cleared by h
          run P-1 when dropped or spared
        }
        hazard CLAIM-1 : dropped
        hazard CLAIM-2 : spared
        """;
    assertAnswers(plant.replace("LOW", "0").replace("CLAIM", "Y"));
    assertAnswers(plant.replace("LOW", "1").replace("CLAIM", "N"));
  }
}
