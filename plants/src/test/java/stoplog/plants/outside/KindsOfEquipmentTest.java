package stoplog.plants.outside;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import org.junit.jupiter.api.Test;
import stoplog.model.Claim;
import stoplog.model.Model;

/**
 * Shipped kinds of equipment in small plants whose answers are worked out by hand: hazards Y-.. can
 * be reached, hazards N-.. cannot.
 */
class KindsOfEquipmentTest {
  private static void assertAnswers(String plant) {
    Model model = Texts.model("plant \"kinds\"\n" + plant);
    int yes = 0;
    for (Claim c : model.claims()) {
      boolean expected = c.id().startsWith("Y-");
      yes += expected ? 1 : 0;
      assertEquals(expected, Texts.reaches(model, c.id()), c.id());
    }
    assertTrue(yes > 0 && yes < model.claims().size(), "some can be reached, some cannot");
  }

  @Test
  void valveWithTwoSolenoidsStaysWithoutPowerAndWithBothOrNoCommand() {
    // A stroke goes on to its end in 2 to 4 s whatever happens to the power; at rest nothing moves it.
    String valve =
        """
        power may fail
        valve_two_solenoids FV-1 { travel 2..4 s }
        panel { hold-button a, b }
        logic {
          open FV-1 when a
          close FV-1 when b
        }
        hazard Y-1 : FV-1 is open and FV-1 is commanded released for 1 min
        hazard Y-2 : FV-1 is closed and FV-1 is commanded released for 1 min
        hazard Y-3 : FV-1 is opening and FV-1 is commanded released for 3 s
        hazard N-3 : FV-1 is opening for 4 s
        hazard N-4 : FV-1 is part_way
        hazard Y-5 : FV-1 is opening and FV-1 is commanded open and FV-1 is commanded closed for 3 s
        """;
    assertAnswers(valve);
    assertAnswers(
        """
        power may fail
        valve_two_solenoids FV-1 { travel 2..4 s }
        panel { hold-button a, b }
        logic {
          open FV-1 when a
          close FV-1 when b
        }
        hazard N-1 : FV-1 is closing assuming FV-1 is not commanded closed
        hazard Y-1 : FV-1 is closing assuming FV-1 is not commanded open
        """);
  }

  @Test
  void motorDrivenValveStopsWhereItIsWithoutPower() {
    assertAnswers(
        """
        power may fail
        motor_valve MV-1 { travel 2..4 s }
        panel { hold-button a, b }
        logic {
          open MV-1 when a
          close MV-1 when b
        }
        hazard Y-1 : MV-1 is part_way for 1 min
        hazard N-2 : MV-1 is opening and MV-1 is commanded released
        hazard N-3 : MV-1 is opening and MV-1 is commanded closed
        """);
  }

  @Test
  void threeWayValveNeverJoinsBothUnlessItOverlaps() {
    // The states in which a way passes, as its kind says them: one in mid-travel is neither.
    assertAnswers(
        """
        divert_valve FV-1 { travel 2..4 s; fails straight }
        divert_valve_overlapping FV-2 { travel 2..4 s; fails straight }
        panel { hold-button a }
        logic {
          divert FV-1 when a
          divert FV-2 when a
        }
        hazard N-1 : FV-1 is straight and FV-1 is diverted
        hazard N-2 : FV-2 is not straight and FV-2 is not diverted for 4 s assuming not a
        hazard Y-3 : FV-2 is not straight and FV-2 is not diverted for 3 s
        hazard N-4 : FV-1 is straight and FV-2 is diverted
        """);
  }

  @Test
  void controlValveCrossesItsBandsOneAfterTheOther() {
    // Three bands of 1 to 2 s from shut to open: at least 3 s from shut, at most 2 s in each band.
    assertAnswers(
        """
        control_valve CV-1 { crossing 1..2 s; fails closed }
        panel { hold-button a, middle }
        logic {
          open CV-1 when a { at half when middle }
        }
        hazard Y-1 : CV-1 is half and CV-1 is commanded half for 1 min
        hazard N-2 : CV-1 is low and CV-1 is commanded open for 2 s
        hazard Y-2 : CV-1 is low and CV-1 is commanded open for 1 s
        hazard N-3 : CV-1 is high and CV-1 is opening and CV-1 is not commanded open
        """);
    assertAnswers(
        """
        control_valve CV-1 { crossing 1..2 s; fails closed }
        switch FS-3 follows CV-1 is not closed within 3..3 s
        switch FS-6 follows CV-1 is not closed within 6..6 s
        panel { hold-button a }
        logic {
          latch on: set by a; cleared by a and not a
          open CV-1 when on
        }
        hazard N-1 : CV-1 is open and not FS-3
        hazard N-2 : FS-6 and CV-1 is not open
        hazard Y-3 : FS-3 and CV-1 is not open
        hazard Y-4 : CV-1 is open and not FS-6
        """);
  }

  @Test
  void driveRampsThroughItsBands() {
    // Rest to slow 2 to 3 s, slow to full 2 to 3 s: 4 to 6 s in all.
    assertAnswers(
        """
        drive_pump P-1 { ramp 2..3 s; slow_down 1..2 s; coast 5..8 s }
        switch FS-4 follows P-1 is turning within 4..4 s
        switch FS-6 follows P-1 is turning within 6..6 s
        panel { hold-button a }
        logic {
          latch on: set by a; cleared by a and not a
          run P-1 when on
        }
        hazard N-1 : P-1 is full and not FS-4
        hazard N-2 : FS-6 and P-1 is not full
        hazard Y-3 : FS-4 and P-1 is not full
        hazard Y-4 : P-1 is full and not FS-6
        hazard N-5 : P-1 is slow
        hazard N-6 : P-1 is coasting
        """);
  }

  @Test
  void driveCoastsWithoutPowerAndGoesWhereItIsAskedTo() {
    assertAnswers(
        """
        power may fail
        drive_pump P-1 { ramp 1..2 s; slow_down 1..2 s; coast 3..4 s; proves full YSH-1 within 0..1 s }
        panel { hold-button a, gently }
        logic {
          run P-1 when a { at slow when gently }
        }
        hazard Y-1 : P-1 is coasting for 3 s
        hazard N-1 : P-1 is coasting for 4 s
        hazard Y-2 : P-1 is slow for 1 min
        hazard N-3 : P-1 is full and P-1 is commanded slow
        hazard Y-4 : YSH-1 and P-1 is not full
        hazard N-4 : YSH-1 and P-1 is not full for 1 s
        """);
  }

  @Test
  void checkValveFollowsTheFlowInTheInstantAndLeaksBackByFaultOnly() {
    // Declared before the pump that moves it, and the second after the first.
    String plant =
        """
        check_valve CV-2 { forward when CV-1 is open }
        check_valve CV-1 { forward when pushed }
        condition pushed holds when P-1 is turning
        pump P-1
        panel { hold-button a }
        logic { run P-1 when a }
        hazard N-1 : CV-2 is open and P-1 is at rest
        hazard N-2 : CV-2 is closed and P-1 is running
        hazard Y-3 : CV-2 is open
        """;
    assertAnswers(plant);
    assertAnswers(
        plant
            + """
            hazard Y-4 : CV-2 is open and P-1 is at rest tolerates 1 fault
            hazard Y-5 : CV-2 is open and P-1 is at rest tolerates 1 fault of CV-1
            hazard N-6 : CV-2 is open and CV-1 is closed tolerates 1 fault of CV-1
            """);
  }

  @Test
  void checkValveThatDependsOnItselfComesToRestInOneInstant() {
    assertAnswers(
        """
        check_valve CV-1 { forward when P-1 is turning and (CV-1 is open or CV-2 is open) }
        check_valve CV-2 { forward when P-1 is turning or CV-1 is open }
        pump P-1
        panel { hold-button a }
        logic { run P-1 when a }
        hazard N-1 : CV-1 is open and P-1 is at rest
        hazard N-2 : CV-1 is closed and P-1 is running
        hazard Y-3 : CV-1 is open and CV-2 is open
        """);
  }

  @Test
  void weldedContactorKeepsAPumpTurningAndNeedsPowerToDoSo() {
    // A weld strikes only while the pump turns; a start unasked is another fault.
    String plant =
        """
        power may fail
        pump P-1 { coast 1..2 s; proves running YS-1 }
        panel { hold-button a }
        logic { run P-1 when a }
        """;
    assertAnswers(
        plant
            + """
            hazard N-1 : P-1 is running and P-1 is commanded off
            hazard Y-2 : P-1 is running and P-1 is commanded off for 1 min tolerates 1 fault
            hazard Y-3 : P-1 is contactor_welds and P-1 is running for 1 min tolerates 1 fault
            hazard N-4 : P-1 is contactor_welds and P-1 is running tolerates 1 fault assuming not a
            hazard Y-5 : P-1 is starts_unasked and P-1 is running tolerates 1 fault assuming not a
            """);
    assertAnswers(
        """
        power may fail
        pump P-1 { coast 1..2 s }
        valve FV-1 { fails open }
        panel { hold-button a }
        logic { run P-1 when a; open FV-1 when a and not a }
        hazard N-1 : P-1 is turning and FV-1 is open for 2 s tolerates 1 fault of P-1
        hazard Y-2 : P-1 is turning and FV-1 is open for 1 s tolerates 1 fault of P-1
        """);
  }

  @Test
  void stuckValveStaysWhereItIsAlsoWithoutPower() {
    assertAnswers(
        """
        power may fail
        valve FV-1 { travel 2..4 s; fails closed }
        panel { hold-button a }
        logic { open FV-1 when a }
        hazard N-1 : FV-1 is open and FV-1 is commanded closed
        hazard Y-2 : FV-1 is open and FV-1 is commanded closed for 1 min tolerates 1 fault
        hazard Y-3 : FV-1 is part_way tolerates 1 fault
        hazard N-4 : FV-1 is part_way and FV-1 is not sticks tolerates 1 fault
        """);
  }

  @Test
  void trippedDriveIsSeenByItsFeedback() {
    assertAnswers(
        """
        drive_pump P-1 { coast 1..2 s; proves faulted YA-1 }
        panel { hold-button a }
        logic { run P-1 when a }
        hazard N-1 : YA-1
        hazard Y-2 : YA-1 tolerates 1 fault
        hazard N-3 : YA-1 and P-1 is turning for 2 s tolerates 1 fault of P-1
        hazard Y-4 : YA-1 and P-1 is turning for 1 s tolerates 1 fault of P-1
        hazard Y-5 : YA-1 and P-1 is turning for 2 s tolerates 1 fault
        """);
  }

  @Test
  void dosingPumpFinishesItsStrokeAndHeaterCoolsDown() {
    assertAnswers(
        """
        dosing_pump P-1 { stroke 0..2 s }
        heater E-1 { warm_up 5..10 s; cool_down 2..3 s }
        panel { hold-button a }
        logic { dose P-1 when a; heat E-1 when a }
        hazard Y-1 : P-1 is turning and P-1 is commanded off for 1 s
        hazard N-1 : P-1 is turning and P-1 is commanded off for 2 s
        hazard Y-2 : E-1 is cooling and not a for 2 s
        hazard N-2 : E-1 is cooling and not a for 3 s
        hazard N-3 : E-1 is heating and E-1 is commanded off
        """);
  }

  @Test
  void chemicalTankRunsEmptyOnlyWhileItIsDrawnFrom() {
    // From its low mark it lasts 2 to 3 s, or any shorter time if some has been taken from there before.
    assertAnswers(
        """
        chemical_tank T-1 {
          supply 4..6 s; reserve 2..3 s; refill 1..2 s
          drawn when P-1 is turning
          filled when someone_fills
          proves low LSL-1
        }
        condition someone_fills comes and goes
        dosing_pump P-1
        panel { hold-button a }
        logic { dose P-1 when a and not LSL-1 }
        hazard N-1 : P-1 is turning and T-1 is low
        hazard Y-2 : T-1 is low
        hazard N-3 : T-1 is full and P-1 is turning and not someone_fills
        """);
    assertAnswers(
        """
        chemical_tank T-1 {
          supply 4..6 s; reserve 2..3 s; refill 1..2 s
          drawn when P-1 is turning
          filled when someone_fills
        }
        condition someone_fills comes and goes
        dosing_pump P-1
        panel { hold-button a }
        logic { dose P-1 when a }
        hazard N-1 : P-1 is turning and T-1 is low and T-1 is not empty and not someone_fills for 3 s
        hazard Y-1 : P-1 is turning and T-1 is low and T-1 is not empty and not someone_fills for 2 s
        hazard Y-2 : T-1 is draining for 5 s
        hazard N-2 : T-1 is draining for 6 s
        hazard N-3 : T-1 is empty and someone_fills
        """);
  }

  @Test
  void burstDiscStaysOpenAndReliefValveShutsAgain() {
    assertAnswers(
        """
        bursting_disc PSE-1 { overpressure when high }
        relief_valve PSV-1 { overpressure when high; reseat 0..2 s }
        condition high comes and goes
        hazard N-1 : PSE-1 is whole and high
        hazard Y-2 : PSE-1 is burst and not high for 1 min
        hazard Y-3 : PSV-1 is not closed and not high for 1 s
        hazard N-3 : PSV-1 is not closed and not high for 2 s
        hazard Y-4 : PSE-1 is burst assuming not high tolerates 1 fault of PSE-1
        hazard N-4 : PSE-1 is burst assuming not high tolerates 1 fault of PSV-1
        """);
  }

  @Test
  void blowerIsAPumpOfItsOwnKind() {
    assertAnswers(
        """
        blower B-1 { ramp 1..2 s; coast 3..4 s }
        panel { hold-button a }
        logic { run B-1 when a }
        hazard Y-1 : B-1 is turning and B-1 is commanded off for 3 s
        hazard N-1 : B-1 is turning and B-1 is commanded off for 4 s
        """);
  }

  @Test
  void aPlantsOwnKindMovesAsItSays() {
    // Set by hand to any of three positions, with an answer that runs on through two states at once.
    assertAnswers(
        """
        kind gate "gate of three positions" {
          command shift: down, half_way, up
          states down, half_way, up
          when commanded up { from down to half_way; from half_way to up }
          when commanded half_way { from down, up to half_way }
          when commanded down { from up, half_way to down }
        }
        gate G-1 by hand
        hazard N-1 : G-1 is half_way and G-1 is commanded up
        hazard Y-2 : G-1 is up
        hazard Y-3 : G-1 is half_way
        """);
  }
}
