package stoplog.plants.outside;

import static org.junit.jupiter.api.Assertions.assertEquals;

import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import stoplog.model.Model;

/**
 * Small membrane units as their makers' manuals describe them (parameter tables of compact controllers
 * and trip tables of packaged units): figures as printed, consequences derived.
 */
class PackagedUnitTest {

  /**
   * The inlet opens first, the pump starts 10 s after the inlet-pressure switch has made, the tank
   * switch is believed after 2 s, and the inlet stays open for a lag after the pump is off.
   */
  private static String compactUnit(String coast, boolean lag) {
    return """
        plant "Compact unit"
        controller reacts within 0 s
        valve FV-1 "inlet valve"
        pump P-1 "pump" { coast %s }
        condition tank_calls "the tank wants water" comes and goes
        switch LS-1 "tank switch" follows tank_calls
        switch PS-1 "inlet pressure switch" follows FV-1 is open
        logic {
          signal call = LS-1 for 2 s
          run P-1 when call {
            permissive "inlet pressure has stood" : PS-1 for 10 s
          }
          latch lag: set by P-1 is commanded on; cleared by P-1 is commanded off for 1 s
          open FV-1 when %s
        }
        hazard H-01 "pump on, inlet shut" : P-1 is turning and FV-1 is closed
        """
        .formatted(coast, lag ? "call or lag" : "call");
  }

  /** With a lag of 1 s the pump may run down for 1 s at most; without one, not at all. */
  @ParameterizedTest
  @CsvSource({
    "0.1..0.9 s, true,  false",
    "0.1..1 s,   true,  false",
    "0.1..1.1 s, true,  true",
    "0.1..0.9 s, false, true",
    "0.1..0.2 s, false, true",
  })
  void inletLagCoversTheRunDown(String coast, boolean lag, boolean reachable) {
    Model unit = Texts.model(compactUnit(coast, lag));
    assertEquals(reachable, Texts.reaches(unit, "H-01"));
  }

  @ParameterizedTest
  @CsvSource({"11, 12, false", "12, 13, true"})
  void pumpStartsTwelveSecondsAfterTheCall(long from, long to, boolean running) {
    Model unit = Texts.model(compactUnit("0.5..0.9 s", true));
    long second = 1_000_000 / unit.quantumMicros();
    var drive =
        new Drive(unit)
            .input("tank_calls", 20 * second)
            .mark((20 + from) * second)
            .mark((20 + to) * second);
    Model driven = drive.asking("P-1");
    int stretch = drive.stretchFrom((20 + from) * second);
    assertEquals(running, Texts.reaches(driven, "on " + stretch));
    assertEquals(!running, Texts.reaches(driven, "off " + stretch));
  }

  private static final String TRIP =
      """
      plant "Suction trip"
      controller reacts within 0 ms
      pump P-1 "pump"
      condition suction_low "suction pressure is low" comes and goes
      switch PSL-1 "low suction switch" follows suction_low
      panel { hold-button wanted; button reset }
      logic {
        run P-1 when wanted {
          trip "low suction" : PSL-1 for 3 s
        }
      }
      hazard H-01 "the pump turns" : P-1 is turning for 100 ms
      """;

  /** A dip of less than 3 s does nothing, a longer one trips, and at 3 s either may come first. */
  @ParameterizedTest
  @CsvSource({"2900, true, false", "3000, true, true", "3100, false, true"})
  void suctionMayDipForThreeSeconds(long dipMillis, boolean runsOn, boolean tripped) {
    Model unit = Texts.model(TRIP);
    assertEquals(100_000, unit.quantumMicros());
    var drive =
        new Drive(unit)
            .input("wanted", 10)
            .input("suction_low", 50, 50 + dipMillis / 100)
            .input("reset")
            .mark(90);
    Model driven = drive.asking("P-1");
    int after = drive.stretchFrom(90);
    assertEquals(runsOn, Texts.reaches(driven, "on " + after));
    assertEquals(tripped, Texts.reaches(driven, "off " + after));
  }
}
