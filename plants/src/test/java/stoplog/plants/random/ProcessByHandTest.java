package stoplog.plants.random;

import static stoplog.plants.random.ByHand.between;
import static stoplog.plants.random.ByHand.early;
import static stoplog.plants.random.ByHand.late;
import static stoplog.plants.random.ByHand.reaches;

import org.junit.jupiter.api.Test;

/** Conditions with causes, counts and analog values against what was worked out by hand. */
class ProcessByHandTest {
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

  private static final String NEVER = "P-1 is turning and P-1 is at rest";

  @Test
  void conditionStartsWithinItsWindow() {
    String plant =
        ONCE
            + "condition foam { must start within 2..5 s when P-1 is turning; initially absent }\n";
    between(2, 5, "P-1 is turning", "foam", plant);
  }

  @Test
  void conditionEndsWithinItsWindow() {
    String plant =
        ONCE + "condition foam { must end within 1..3 s when P-1 is turning; initially present }\n";
    between(1, 3, "P-1 is turning", "not foam", plant);
  }

  @Test
  void conditionMayWaitForEverIfNothingSaysItMust() {
    String plant =
        ONCE + "condition foam { may start when P-1 is turning; initially absent }\n";
    reaches(true, plant + early("P-1 is turning", "foam", 1));
    reaches(true, plant + late("P-1 is turning", "foam", 100));
  }

  @Test
  void twoCausesEachHaveTheirOwnTime() {
    // The sooner of the two windows begins, the sooner to end is the deadline.
    String plant =
        ONCE
            + """
            condition foam {
              must start within 4..6 s when P-1 is turning
              must start within 2..9 s when P-1 is turning
              initially absent
            }
            """;
    between(2, 6, "P-1 is turning", "foam", plant);
  }

  @Test
  void conditionWithoutACauseNeverStarts() {
    String caused = ONCE + "condition foam { may start when %s; %s }\nhazard H-1 : foam\n";
    reaches(false, caused.formatted(NEVER, "initially absent"));
    reaches(true, caused.formatted(NEVER, "initially present"));
    reaches(true, caused.formatted(NEVER, ""));
    String endless = ONCE + "condition foam { may start when foam; %s }\nhazard H-1 : not foam\n";
    reaches(false, endless.formatted("initially present"));
    reaches(true, endless.formatted("may end when foam; initially present"));
  }

  @Test
  void causeThatStopsHoldingBeginsAnew() {
    // Whatever the hand does, foam comes only 3 s after the pump was last switched on.
    String plant =
        """
        pump P-1 by hand
        condition foam { must start within 3..3 s when P-1 is turning; initially absent }
        switch FS-1 follows P-1 is turning within 3..3 s
        hazard H-1 : foam and not FS-1
        """;
    reaches(
        false, plant.replace("and not FS-1", "and not FS-1 assuming P-1 is turning or not foam"));
    // It may have started, and the pump stopped then.
    reaches(true, plant);
  }

  @Test
  void countStepsOneAtATimeEachInItsTime() {
    // Three steps of 1..2 s.
    String plant =
        ONCE
            + "count racks from 0 to 5 "
            + "{ must fall within 1..2 s when P-1 is turning; initially 3 }\n";
    between(1, 2, "P-1 is turning", "racks < 3", plant);
    between(3, 6, "P-1 is turning", "racks <= 0", plant);
  }

  @Test
  void timeOfACountBeginsAnewWithEachStepOfAnyKind() {
    // A rise in the meantime puts off the fall: two racks stay for longer than 2 s, one does not.
    String plant =
        ONCE
            + "count racks from 0 to 3 { must fall within 2..2 s when P-1 is turning;"
            + " may rise when racks < 2; initially 1 }\n";
    reaches(true, plant + "hazard H-1 : P-1 is turning and racks >= 1 for 3 s\n");
    String without = plant.replace("may rise when racks < 2; ", "");
    reaches(false, without + "hazard H-1 : P-1 is turning and racks >= 1 for 2 s\n");
  }

  @Test
  void countStopsAtItsEnds() {
    String plant =
        ONCE
            + "count racks from 2 to 3 { must rise within 1..1 s when P-1 is turning }\n"
            + "switch FS-1 follows P-1 is turning within 5..5 s\n";
    reaches(true, plant + "hazard H-1 : FS-1 and racks > 2 for 100 s\n");
    reaches(false, plant + "hazard H-1 : FS-1 and racks < 3\n");
  }

  private static String pressure(String members) {
    return ONCE + "analog pressure in bar from 0 to 10 {\n" + members + "\n}\n";
  }

  @Test
  void valueCrossesABandAtItsRate() {
    // 2 to 4 bar at 0.1..0.5 bar/s: 4..20 s.
    String plant = pressure("rises at 0.1..0.5 bar/s while P-1 is turning; starts at 0 bar");
    between(4, 20, "pressure > 2 bar", "pressure > 4 bar", plant);
    String minutes = pressure("rises at 600..3000 kPa/min while P-1 is turning; starts at 0 bar");
    between(4, 20, "pressure > 2 bar", "pressure > 4 bar", minutes);
  }

  @Test
  void ratesOfSharesAndTemperaturesAreDifferences() {
    String level =
        ONCE
            + "level T-1 in % from 0 to 100 "
            + "{ rises at 60..120 %/min while P-1 is turning; starts at 0 % }\n";
    between(5, 10, "T-1 > 20 %", "T-1 > 30 %", level);
    String heat =
        ONCE
            + "analog heat in degC from 0 to 100 "
            + "{ rises at 9..18 degF/s while P-1 is turning; starts at 0 degC }\n";
    between(2, 4, "heat > 20 degC", "heat > 40 degC", heat);
  }

  @Test
  void ratesAddUp() {
    // 0.5..1 less 0.1..0.25: 0.25..0.9 bar/s, so 2 bar take 2.2..8 s, of which whole seconds keep
    // 2..8.
    String plant =
        pressure(
            """
              rises at 0.5..1 bar/s while P-1 is turning
              falls at 0.1..0.25 bar/s while P-1 is turning
              starts at 0 bar
            """);
    between(2, 8, "pressure > 2 bar", "pressure > 4 bar", plant);
  }

  @Test
  void rateFromNothingNeedNotMove() {
    String plant = pressure("rises at 0..1 bar/s while P-1 is turning; starts at 0 bar");
    reaches(true, plant + late("P-1 is turning", "pressure > 2 bar", 100));
    reaches(false, plant + early("pressure > 2 bar", "pressure > 4 bar", 2));
    reaches(true, plant + early("pressure > 2 bar", "pressure > 4 bar", 3));
  }

  @Test
  void valueStaysAtTheEndOfItsSpan() {
    String plant =
        pressure("rises at 1..2 bar/s while P-1 is turning; starts at 0 bar")
            + "switch FS-1 follows P-1 is turning within 20..20 s\n";
    reaches(true, plant + "hazard H-1 : FS-1 and pressure > 9 bar for 50 s\n");
    reaches(false, plant + "hazard H-1 : FS-1 and pressure < 9 bar\n");
    reaches(false, plant + "hazard H-1 : pressure > 10 bar\n");
  }

  @Test
  void gradualMovementGoesFromNeighbourToNeighbour() {
    String members = "%s while pressure < 2 bar; starts at 0 bar";
    String claim = "hazard H-1 : pressure > 4 bar\n";
    reaches(false, pressure(members.formatted("moves gradually")) + claim);
    reaches(true, pressure(members.formatted("jumps")) + claim);
    reaches(
        true,
        pressure(members.formatted("moves gradually"))
            + "hazard H-2 : pressure > 4 bar\n"
            + claim.replace("> 4", ">= 2"));
  }

  @Test
  void nothingMovesWhileNothingSaysSo() {
    reaches(
        false,
        pressure("jumps while " + NEVER + "; starts at 0 bar")
            + "hazard H-1 : pressure > 4 bar\n");
  }

  @Test
  void freeMovementForgivesTheRateForItsTime() {
    String plant =
        pressure(
            """
              rises at 1..1 bar/s while P-1 is turning
              moves gradually while gust
              starts at 0 bar
            """);
    String calm = plant + "condition gust holds when " + NEVER + "\n";
    between(2, 2, "pressure > 2 bar", "pressure > 4 bar", calm);
    String gusty = plant + "condition gust comes and goes\n";
    reaches(true, gusty + early("pressure > 2 bar", "pressure > 4 bar", 1));
    reaches(true, gusty + late("pressure > 2 bar", "pressure > 4 bar", 50));
    // After the gust it may be anywhere between 2 and 4 bar: gone within 2 s, perhaps at once.
    String after =
        "hazard H-1 : P-1 is turning and not gust and pressure > 2 bar and pressure <= 4 bar";
    reaches(false, gusty + after + " for 2 s\n");
    reaches(true, gusty + after + " for 1 s\n");
  }
}
