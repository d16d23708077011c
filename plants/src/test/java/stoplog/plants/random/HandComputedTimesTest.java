package stoplog.plants.random;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertNotNull;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.ArrayList;
import org.junit.jupiter.api.Test;
import stoplog.checker.reference.Interpreter;
import stoplog.checker.reference.State;
import stoplog.checker.reference.TickJudge;
import stoplog.dsl.PlantReader;
import stoplog.dsl.Reading;
import stoplog.model.FieldChange;
import stoplog.model.Model;
import stoplog.model.Variable;
import stoplog.source.SourceFile;

/**
 * Plants in words against times worked out by hand: what the random plants cannot show, since there
 * all ways to decide look at the same model.
 *
 * <p>A second switch that follows within exactly N seconds is the stop watch: what can come before it
 * makes can come sooner than N, and what can be missing when it has made can take longer than N.
 */
class HandComputedTimesTest {
  private static final long MOST_STATES = 300_000;

  /** A valve that opens once and stays open, and a pump that is switched on once and stays on. */
  private static final String ONCE =
      """
      panel { hold-button push; setpoint delay = 3 s within 2..5 s }
      logic {
        latch up: set by push; cleared by push and not push
        %s
      }
      """;

  /** B comes no sooner than so long after A, no later than so long after it, and at both ends. */
  private static void between(int least, int most, String after, String then, String plant) {
    if (least > 0) {
      assertEquals(false, reaches(plant, early(after, then, least)), "sooner than " + least);
    }
    assertEquals(true, reaches(plant, early(after, then, least + 1)), "no sooner than " + least);
    assertEquals(false, reaches(plant, late(after, then, most)), "later than " + most);
    assertEquals(true, reaches(plant, late(after, then, most - 1)), "later than " + (most - 1));
  }

  private static String early(String after, String then, int seconds) {
    return watch(after, seconds) + "hazard H-1 : " + then + " and not watch\n";
  }

  private static String late(String after, String then, int seconds) {
    return watch(after, seconds) + "hazard H-1 : watch and not (" + then + ")\n";
  }

  private static String watch(String after, int seconds) {
    return "switch FS-99 follows %s within %d..%d s\n".formatted(after, seconds, seconds);
  }

  private static boolean reaches(String plant, String claim) {
    Model model = model(plant + claim.replace("watch", "FS-99"));
    return switch (TickJudge.reachable(model, model.claims().getFirst(), MOST_STATES)) {
      case TickJudge.Yes y -> true;
      case TickJudge.No n -> false;
      case TickJudge.TooBig b -> throw new AssertionError("too big");
    };
  }

  private static Model model(String entries) {
    String text = "plant \"by hand\"\n" + entries;
    Reading reading = PlantReader.read(new SourceFile("hand.plant", text));
    Model model = reading.model();
    assertNotNull(model, () -> text + reading.diagnostics());
    return model;
  }

  private static String tank(String movements) {
    return "pump P-1\nlevel T-1 in %% {\n%s\n}\n".formatted(movements)
        + ONCE.formatted("run P-1 when up");
  }

  @Test
  void levelCrossesABandInItsShareOfTheTime() {
    // 80 to 50 % is 30 of 100 %: 3 s of 10 s, 6 s of 20 s.
    String tank = tank("  100 to 0 in 10..20 s while P-1 is turning\n  starts at 100 %");
    between(3, 6, "T-1 < 80 %", "T-1 < 50 %", tank);
  }

  @Test
  void levelLeavesTheBandItStartsInAnyTimeUpToItsShare() {
    // It may start anywhere from 100 down to 50 %, which takes at most 10 s.
    String tank = tank("  100 to 0 in 10..20 s while P-1 is turning\n  starts at 100 %");
    between(0, 10, "P-1 is turning", "T-1 < 50 %", tank);
  }

  @Test
  void levelThatIsFilledAndDrainedAtOnceMovesAtTheDifference() {
    // Fills 5..10 %/s, drains 2..2.5 %/s, so it rises 2.5..8 %/s: 30 % takes 3.75..12 s, of which
    // whole seconds keep 3..12.
    String tank =
        tank(
            """
              0 to 100 in 10..20 s while P-1 is turning
              100 to 0 in 40..50 s while P-1 is turning
              starts at 0 %
            """);
    between(3, 12, "T-1 > 50 %", "T-1 > 80 %", tank);
  }

  @Test
  void levelThatTurnsBackInsideABandMayLeaveItAtOnce() {
    Walk run =
        Walk.in(
            model(
                """
                pump P-1 by hand
                pump P-2 by hand
                level T-1 in % {
                  0 to 100 in 10..20 s while P-1 is turning
                  100 to 0 in 10..20 s while P-2 is turning
                  starts at 0 %
                }
                hazard H-1 : T-1 > 50 % and T-1 > 80 % for 1 s
                """));
    run = run.does("P-1 set on by hand").pass(10).does("T-1 rises above 50 %");
    assertFalse(run.pass(2).can("T-1 rises above 80 %"));
    assertTrue(run.pass(3).can("T-1 rises above 80 %"));
    assertEquals(6, run.mayPass());
    assertTrue(run.pass(6).can("T-1 rises above 80 %"));
    run = run.does("P-1 set off by hand").does("P-2 set on by hand");
    assertTrue(run.can("T-1 falls to 50 %"));
    assertEquals(6, run.mayPass());
    assertTrue(run.pass(6).can("T-1 falls to 50 %"));
  }

  @Test
  void valveTravelsWithinItsWindow() {
    String valve = "valve FV-1 { travel 2..5 s }\n" + ONCE.formatted("open FV-1 when up");
    between(2, 5, "FV-1 is not closed", "FV-1 is open", valve);
  }

  @Test
  void valveThatTurnsBackIsThereWithinItsLongestTravel() {
    Model model = model("valve HV-1 by hand { travel 2..5 s }\nhazard H-1 : HV-1 is open\n");
    Walk run = Walk.in(model).does("HV-1 set open by hand");
    assertFalse(run.pass(1).can("HV-1 open"));
    assertEquals(5, run.mayPass());
    run = run.pass(1).does("HV-1 set closed by hand");
    assertEquals("closing", run.is("HV-1"));
    assertEquals("closed", run.does("HV-1 closed").is("HV-1"));
    assertEquals(5, run.mayPass());
    assertEquals("closed", run.pass(5).does("HV-1 closed").is("HV-1"));
  }

  @Test
  void coastingTakesNoLongerThanItsWindow() {
    String pump =
        """
        pump P-1 { ramp 1..2 s; coast 2..3 s }
        panel { hold-button push }
        logic { run P-1 when push }
        """;
    assertEquals(true, reaches(pump, "hazard H-1 : P-1 is coasting for 2 s\n"));
    assertEquals(false, reaches(pump, "hazard H-1 : P-1 is coasting for 3 s\n"));
  }

  @Test
  void adjustableDelayElapsesWithinItsWindow() {
    String pump =
        "valve FV-1 { proves open ZSO-1 }\npump P-1\n"
            + ONCE.formatted("open FV-1 when up\n  run P-1 when ZSO-1 for delay");
    between(2, 5, "FV-1 is open", "P-1 is running", pump);
  }

  @Test
  void reactionTimeComesBeforeAndAfterADelay() {
    String pump =
        "controller reacts within 1 s\nvalve FV-1 { proves open ZSO-1 }\npump P-1\n"
            + ONCE.formatted("open FV-1 when up\n  run P-1 when ZSO-1 for delay");
    between(2, 7, "FV-1 is open", "P-1 is running", pump);
  }

  @Test
  void analyserFollowsWithinItsLag() {
    String analyser =
        "valve FV-1\nanalyser AE-1 in mV above 300 mV within 2..4 s of FV-1 is open\n"
            + ONCE.formatted("open FV-1 when up");
    between(2, 4, "FV-1 is open", "AE-1 > 300 mV", analyser);
  }

  @Test
  void analyserEntersTheWindowOfASetpointBeyondItAlready() {
    // Inside and not above, then out, then inside and above with no scan that sees it otherwise.
    String plant =
        """
        controller reacts within 0 s, coincident 1
        pump P-1
        analyser AE-1 in mV
        panel { setpoint limit = 250 mV within 200..300 mV }
        logic {
          latch seen: set by AE-1 >= 200 mV and AE-1 <= limit; cleared by AE-1 > limit
          latch gone: set by seen and AE-1 < 200 mV; cleared by seen and not seen
          latch late: set by gone and AE-1 >= 200 mV and AE-1 <= limit; cleared by seen and not seen
          run P-1 when gone and AE-1 > limit and AE-1 <= 300 mV and not late
        }
        """;
    assertEquals(true, reaches(plant, "hazard H-1 : P-1 is turning\n"));
  }

  @Test
  void analyserMayPassTwoSetpointsAtOnce() {
    String plant =
        """
        controller reacts within 0 s, coincident 1
        pump P-1
        analyser AE-1 in mV
        panel {
          setpoint low  = 250 mV within 200..300 mV
          setpoint high = 250 mV within 200..300 mV
        }
        logic {
          signal under = AE-1 < low and AE-1 < high
          signal over = AE-1 > low and AE-1 > high
          latch seen: set by under and AE-1 >= 200 mV; cleared by seen and not seen
          latch late: set by seen and not under and not over; cleared by seen and not seen
          run P-1 when seen and over and AE-1 <= 300 mV and not late
        }
        """;
    assertEquals(true, reaches(plant, "hazard H-1 : P-1 is turning\n"));
  }

  @Test
  void settingASetpointPassesTheValuesOfTwoAnalysersAtOnce() {
    String plant =
        """
        controller reacts within 0 s, coincident 1
        pump P-1
        analyser AE-1 in mV
        analyser AE-2 in mV
        panel { setpoint limit = 250 mV within 200..300 mV }
        logic {
          latch seen: set by AE-1 < limit and AE-2 < limit; cleared by seen and not seen
          signal over = AE-1 > limit and AE-2 > limit
          signal partly = (AE-1 >= limit or AE-2 >= limit) and not over
          latch late: set by seen and partly; cleared by seen and not seen
          run P-1 when seen and over and not late
        }
        """;
    assertEquals(true, reaches(plant, "hazard H-1 : P-1 is turning\n"));
  }

  @Test
  void analyserStartsAnywhereOnItsSide() {
    String plant =
        """
        condition acid comes and goes
        pump P-1
        analyser AE-1 in mV above 300 mV within 2..4 s of acid
        logic { run P-1 when AE-1 < 200 mV }
        """;
    // Start, scan: no jump of the analyser comes first.
    Model model = model(plant + "hazard H-1 : P-1 is turning\n");
    TickJudge.Answer answer = TickJudge.reachable(model, model.claims().getFirst(), MOST_STATES);
    assertEquals(1, answer instanceof TickJudge.Yes yes ? yes.trace().steps().size() : -1);
    // But never on the other side.
    assertEquals(
        false,
        reaches(
            plant.replace("comes and goes", "holds when P-1 is turning and P-1 is at rest"),
            "hazard H-1 : AE-1 > 300 mV\n"));
  }

  /** A run that branches: each move gives a run of its own. One tick is one quantum. */
  private record Walk(Model model, Interpreter interpreter, State state) {
    /** The start with the least values. */
    static Walk in(Model model) {
      var interpreter = new Interpreter(model, model.claims().getFirst(), 1);
      var values = new ArrayList<Integer>();
      for (Variable v : model.variables()) {
        values.add(Long.numberOfTrailingZeros(v.initial()));
      }
      return new Walk(model, interpreter, interpreter.start(values));
    }

    private Walk to(State next) {
      return new Walk(model, interpreter, next);
    }

    boolean can(String text) {
      return interpreter.enabled(state).stream().anyMatch(c -> c.text().equals(text));
    }

    Walk does(String text) {
      for (FieldChange c : interpreter.enabled(state)) {
        if (c.text().equals(text)) {
          return to(interpreter.apply(state, c));
        }
      }
      throw new AssertionError("cannot happen: " + text);
    }

    Walk pass(long ticks) {
      return to(interpreter.pass(state, ticks));
    }

    long mayPass() {
      return interpreter.mayPass(state);
    }

    String is(String variable) {
      Variable v = model.variable(variable);
      return v.values().get(state.value(v.id()));
    }
  }
}
