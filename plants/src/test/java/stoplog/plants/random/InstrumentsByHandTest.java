package stoplog.plants.random;

import static stoplog.plants.random.ByHand.between;
import static stoplog.plants.random.ByHand.early;
import static stoplog.plants.random.ByHand.reaches;

import org.junit.jupiter.api.Test;

/**
 * Transmitters, and what instruments and buttons do when they fail, against what was worked out by
 * hand.
 */
class InstrumentsByHandTest {
  /** A pump that is switched on once and stays on. */
  private static final String ONCE =
      """
      pump P-1
      panel { hold-button push }
      logic {
        latch up: set by push; cleared by push and not push
        run P-1 when up
      }
      """;

  private static final String RISING =
      ONCE
          + "analog pressure in bar from 0 to 10 "
          + "{ rises at 1..1 bar/s while P-1 is turning; starts at 0 bar }\n";

  private static final String ANYWHERE =
      "analog pressure in bar from 0 to 10 { moves gradually; starts at 0 bar }\n";

  private static final String LAG = "transmitter PT-1 in bar follows pressure within 2..4 s\n";

  // ---- transmitters

  @Test
  void readingPassesALimitWithinTheLagAfterTheTruth() {
    between(2, 4, "pressure > 5 bar", "PT-1 > 5 bar", RISING + LAG);
    String other = "transmitter PT-1 in kPa follows pressure within 2..4 s\n";
    between(2, 4, "pressure > 5 bar", "PT-1 > 500 kPa", RISING + other);
  }

  @Test
  void readingThatHasFollowedStays() {
    String plant = RISING + LAG + "require R-1 : once PT-1 > 5 bar, PT-1 > 5 bar stays until %s\n";
    reaches(false, plant.formatted("pressure < 5 bar and pressure > 5 bar"));
    // As it would not if the pressure fell.
    reaches(
        true,
        ANYWHERE
            + LAG
            + "require R-1 : once PT-1 > 5 bar, PT-1 > 5 bar stays until "
            + "pressure < 5 bar and pressure > 5 bar\n");
  }

  @Test
  void readingIsRightOnceTheTruthHasStoodForTheLongestLag() {
    String plant = ANYWHERE + LAG;
    String low = "hazard H-1 : pressure > 5 bar and PT-1 <= 5 bar for %d s\n";
    String high = "hazard H-1 : pressure <= 5 bar and PT-1 > 5 bar for %d s\n";
    reaches(false, plant + low.formatted(4));
    reaches(true, plant + low.formatted(3));
    reaches(false, plant + high.formatted(4));
    reaches(true, plant + high.formatted(3));
  }

  @Test
  void shortPeakMayShowLateOrNotAtAll() {
    // The pressure never stands above 5 bar for a second, and the lag is 2 s at least.
    String peaks = ANYWHERE + LAG + "switch FS-1 follows pressure > 5 bar within 1..1 s\n";
    reaches(true, peaks + "hazard H-1 : PT-1 > 5 bar and pressure < 5 bar assuming not FS-1\n");
    reaches(true, peaks + "hazard H-1 : pressure > 5 bar and PT-1 < 5 bar assuming not FS-1\n");
    // It is over 4 s after the last peak.
    String after = "hazard H-1 : PT-1 > 5 bar and pressure <= 5 bar for %d s assuming not FS-1\n";
    reaches(false, peaks + after.formatted(4));
    reaches(true, peaks + after.formatted(1));
  }

  @Test
  void nothingShowsSoonerThanTheLeastLag() {
    String plant =
        ONCE
            + "analog pressure in bar from 0 to 10 "
            + "{ moves gradually while P-1 is turning; starts at 0 bar }\n"
            + LAG;
    reaches(false, plant + early("P-1 is turning", "PT-1 > 5 bar", 2));
    reaches(true, plant + early("P-1 is turning", "PT-1 > 5 bar", 3));
  }

  @Test
  void everyLimitIsFollowedByItself() {
    String plant = RISING + LAG;
    between(
        2, 4, "pressure > 6 bar", "PT-1 > 6 bar", plant + "hazard H-9 : PT-1 > 3 bar\n");
    // A jump over both: the reading is beyond the second no later than beyond the first.
    String jump =
        ONCE
            + "analog pressure in bar from 0 to 10 "
            + "{ jumps while P-1 is turning and pressure < 3 bar; starts at 0 bar }\n"
            + LAG
            + "hazard H-9 : PT-1 > 3 bar\n";
    String late = "hazard H-1 : pressure > 6 bar and PT-1 <= 6 bar for %d s\n";
    reaches(false, jump + late.formatted(4));
    reaches(true, jump + late.formatted(3));
  }

  @Test
  void deadBandForgivesSoMuchForEver() {
    String plant = ANYWHERE + "transmitter PT-1 in bar follows pressure dead band 1 bar\n";
    reaches(true, plant + "hazard H-1 : PT-1 > 5 bar and pressure <= 5 bar for 100 s\n");
    reaches(true, plant + "hazard H-1 : PT-1 <= 5 bar and pressure > 5 bar for 100 s\n");
    reaches(false, plant + "hazard H-1 : PT-1 > 5 bar and pressure < 4 bar\n");
    reaches(false, plant + "hazard H-1 : PT-1 <= 5 bar and pressure > 6 bar\n");
  }

  @Test
  void deadBandAndLagAddUp() {
    String plant =
        ANYWHERE + "transmitter PT-1 in bar follows pressure within 2..4 s dead band 1 bar\n";
    String late = "hazard H-1 : pressure > %d bar and PT-1 <= 5 bar for %d s\n";
    reaches(false, plant + late.formatted(6, 4));
    reaches(true, plant + late.formatted(6, 3));
    reaches(true, plant + late.formatted(5, 9));
  }

  @Test
  void readingStaysWithinTheRange() {
    String plant = ANYWHERE + "transmitter PT-1 in bar from 1 to 6 follows pressure%s\n";
    for (String lag : new String[] {"", " within 2..4 s"}) {
      String its = plant.formatted(lag);
      reaches(false, its + "hazard H-1 : PT-1 > 6 bar\n");
      reaches(false, its + "hazard H-1 : PT-1 < 1 bar\n");
      reaches(false, its + "hazard H-1 : pressure > 8 bar and PT-1 < 6 bar for 4 s\n");
      reaches(true, its + "hazard H-1 : PT-1 >= 6 bar\n");
    }
  }

  @Test
  void transmitterWithoutLagIsTheTruth() {
    String plant = ANYWHERE + "transmitter PT-1 in bar follows pressure\n";
    reaches(false, plant + "hazard H-1 : PT-1 > 5 bar and pressure <= 5 bar\n");
    reaches(false, plant + "hazard H-1 : PT-1 <= 5 bar and pressure > 5 bar\n");
    reaches(true, plant + "hazard H-1 : PT-1 > 5 bar\n");
  }

  @Test
  void settingLiesAnywhereInItsWindowBesideTheReading() {
    String plant =
        ANYWHERE
            + """
            transmitter PT-1 in bar follows pressure
            pump P-1
            panel { setpoint high = 5 bar within 4..6 bar }
            logic { run P-1 when PT-1 > high }
            """;
    reaches(false, plant + "hazard H-1 : P-1 is turning and pressure < 4 bar\n");
    reaches(true, plant + "hazard H-1 : P-1 is turning and pressure < 6 bar for 9 s\n");
    reaches(true, plant + "hazard H-1 : P-1 is at rest and pressure > 4 bar for 9 s\n");
    reaches(false, plant + "hazard H-1 : P-1 is at rest and pressure > 6 bar\n");
  }

  @Test
  void readingMayPassTwoSettingsAtOnce() {
    // Inside and below both, then above both with no scan in between.
    String plant =
        ANYWHERE
            + """
            controller reacts within 0 s, coincident 1
            transmitter PT-1 in bar follows pressure
            pump P-1
            panel {
              setpoint low  = 5 bar within 4..6 bar
              setpoint high = 5 bar within 4..6 bar
            }
            logic {
              signal under = PT-1 < low and PT-1 < high
              signal over = PT-1 > low and PT-1 > high
              latch seen: set by under and PT-1 >= 4 bar; cleared by seen and not seen
              latch late: set by seen and not under and not over; cleared by seen and not seen
              run P-1 when seen and over and PT-1 <= 6 bar and not late
            }
            hazard H-1 : P-1 is turning
            """;
    reaches(true, plant);
  }

  // ---- faults

  private static final String HIGH = ANYWHERE + "%s\nhazard H-1 : %s tolerates %d fault\n";

  private static void fault(boolean expected, String instrument, String hazard) {
    reaches(expected, HIGH.formatted(instrument, hazard, 1));
    // Without a fault it never happens: else it says nothing of the fault.
    if (expected) {
      reaches(false, HIGH.formatted(instrument, hazard, 1).replace(" tolerates 1 fault", ""));
    }
  }

  @Test
  void contactSticksEitherWay() {
    for (String lag : new String[] {"", " within 1..2 s"}) {
      String contact = "switch PSH-1 follows pressure > 5 bar" + lag;
      fault(true, contact, "pressure > 5 bar and not PSH-1 for 9 s");
      fault(true, contact, "pressure < 5 bar and PSH-1 for 9 s");
      fault(false, contact, "PSH-1 is stuck_on and not PSH-1");
      fault(false, contact, "PSH-1 is stuck_off and PSH-1");
      fault(false, contact, "PSH-1 is stuck_on and PSH-1 is stuck_off");
    }
  }

  @Test
  void feedbackSticksEitherWay() {
    for (String lag : new String[] {"", " within 1..2 s"}) {
      String plant =
          "valve FV-1 by hand { proves open ZSO-1"
              + lag
              + " }\nhazard H-1 : %s tolerates 1 fault of ZSO-1\n";
      reaches(true, plant.formatted("FV-1 is open and not ZSO-1 for 9 s"));
      reaches(true, plant.formatted("FV-1 is closed and ZSO-1 for 9 s"));
      reaches(false, plant.formatted("ZSO-1 is stuck_off and ZSO-1"));
    }
  }

  @Test
  void brokenWireReadsAsTheOpenContactDoes() {
    for (String lag : new String[] {"", " within 1..2 s"}) {
      String open = "switch PSH-1 normally open follows pressure > 5 bar" + lag;
      String closed = "switch PSH-1 normally closed follows pressure > 5 bar" + lag;
      fault(true, open, "PSH-1 is wire_broken and pressure > 5 bar and not PSH-1 for 9 s");
      fault(false, open, "PSH-1 is wire_broken and PSH-1");
      fault(true, closed, "PSH-1 is wire_broken and pressure < 5 bar and PSH-1 for 9 s");
      fault(false, closed, "PSH-1 is wire_broken and not PSH-1");
    }
  }

  @Test
  void transmitterFailsLowHighOrFreezes() {
    for (String lag : new String[] {"", " within 1..2 s", " dead band 1 bar"}) {
      String pt = "transmitter PT-1 in bar from 0 to 10 follows pressure" + lag;
      fault(true, pt, "pressure > 6 bar and PT-1 < 5 bar and PT-1 is failed_low for 9 s");
      fault(true, pt, "pressure < 4 bar and PT-1 > 5 bar and PT-1 is failed_high for 9 s");
      fault(true, pt, "pressure > 6 bar and PT-1 < 5 bar and PT-1 is frozen for 9 s");
      fault(true, pt, "pressure < 4 bar and PT-1 > 5 bar and PT-1 is frozen for 9 s");
      fault(false, pt, "PT-1 is failed_low and PT-1 > 5 bar");
      fault(false, pt, "PT-1 is failed_high and PT-1 < 5 bar");
      fault(false, pt, "PT-1 is failed_low and PT-1 is good");
    }
  }

  @Test
  void failureShowsBeyondTheRangeToo() {
    String pt = "transmitter PT-1 in bar from 1 to 6 follows pressure within 1..2 s";
    fault(true, pt, "PT-1 > 6 bar for 9 s");
    fault(true, pt, "PT-1 < 1 bar for 9 s");
    fault(true, pt, "PT-1 is failed_high and PT-1 <= 6 bar for 9 s");
  }

  @Test
  void logicSeesABadTransmitterAndNoFrozenOne() {
    String plant =
        ANYWHERE
            + """
            transmitter PT-1 in bar from 0 to 10 follows pressure
            pump P-1
            logic { run P-1 when PT-1 < 5 bar and PT-1 is good }
            hazard H-1 : P-1 is turning and pressure > 6 bar and %s tolerates 1 fault of PT-1
            """;
    reaches(false, plant.formatted("not PT-1 is frozen"));
    reaches(true, plant.formatted("PT-1 is frozen"));
    String careless = plant.replace(" and PT-1 is good }", " }");
    reaches(true, careless.formatted("PT-1 is failed_low"));
  }

  @Test
  void analyserFails() {
    String plant =
        """
        condition acid comes and goes
        analyser AE-1 in mV above 300 mV within 1..2 s of acid
        hazard H-1 : acid and AE-1 <= 300 mV and %s for 9 s tolerates 1 fault
        """;
    reaches(true, plant.formatted("AE-1 is failed_low"));
    reaches(true, plant.formatted("AE-1 is frozen"));
    reaches(false, plant.formatted("AE-1 is failed_high"));
    reaches(false, plant.formatted("AE-1 is good and not AE-1 is frozen"));
  }

  @Test
  void buttonThatIsStuckIsPressedForGood() {
    String plant =
        """
        pump P-1
        panel { button start; button stop }
        logic {
          latch up: set by start; cleared by stop
          run P-1 when up
        }
        switch FS-1 follows P-1 is at rest within 9..9 s
        hazard H-1 : %s tolerates 1 fault
        """;
    reaches(false, plant.formatted("stop is stuck and P-1 is turning"));
    // A stuck start button starts again what stop has stopped: at rest no longer than stop is held.
    reaches(false, plant.formatted("start is stuck and P-1 is at rest and FS-1"));
    reaches(true, plant.formatted("start is stuck and P-1 is turning for 9 s"));
  }

  @Test
  void eachInstrumentFailsOnceAndFaultsAreCounted() {
    String two =
        ANYWHERE
            + """
            switch PSH-1 follows pressure > 5 bar
            switch PSH-2 follows pressure > 5 bar
            hazard H-1 : pressure > 5 bar and not PSH-1 and not PSH-2 tolerates %d faults
            """;
    reaches(false, two.formatted(1));
    reaches(true, two.formatted(2));
    reaches(false, two.formatted(2).replace("2 faults", "2 faults of PSH-1"));
  }
}
