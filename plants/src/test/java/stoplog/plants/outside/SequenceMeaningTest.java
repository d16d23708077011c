package stoplog.plants.outside;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import stoplog.model.Model;

/** What holds, aborts, times, macros and actions of a sequence do, on sequences of a few steps. */
class SequenceMeaningTest {
  private static final String PLANT =
      """
      plant "Steps"
      controller reacts within %d s
      power may fail
      pump P-1
      pump P-2
      panel { hold-button wait, out; button go }
      logic {
        memory phase: blank, first, second
        %s
        sequence s {
          %s
        }
        sequence t {
          initial step u1
          step u2 { run P-2 }
          from u1 to u2 when s is b
          from u2 to u1 when not s is b
        }
      }
      require R-1 : %s
      """;

  /** a, then b for 3 s with the pump; several ways to say more about it. */
  private static final String TWO_STEPS =
      """
      initial step a
      step b { run P-1; %s }
      from a to b when go
      from b to a after 3 s
      """;

  private static boolean reaches(int reactionSeconds, String logic, String items, String promise) {
    Model model = Texts.model(PLANT.formatted(reactionSeconds, logic, items, promise));
    return Texts.reaches(model, "R-1");
  }

  /** Whether the claim's condition can be reached: a violation, or what some run "can" do. */
  @ParameterizedTest
  @CsvSource(
      delimiter = '!',
      value = {
        // The time counts from the scan that activates the step; the scan that ends it comes up to
        // a reaction time after it is over.
        "0! can P-1 is running for 2 s! true",
        "0! can P-1 is running for 3 s! false",
        "1! can P-1 is running for 3 s! true",
        "1! can P-1 is running for 4 s! false",
        "0! once s is b, s is b stays until P-1 is at rest! false",
        // Another sequence follows in the same scan, as it stands below.
        "0! can P-2 is running and P-1 is at rest! false",
        "0! can P-2 is running for 2 s! true",
        "0! can P-2 is running for 3 s! false",
        "0! never together s is a, s is b! false",
      })
  void stepTimesCountFromTheirActivation(int reaction, String promise, boolean reached) {
    assertEquals(reached, reaches(reaction, "", TWO_STEPS.formatted(""), promise), promise);
  }

  /** A power failure ends it, but nothing else does. */
  @ParameterizedTest
  @CsvSource(
      delimiter = '!',
      value = {
        "can s is b for 3 s assuming not wait! false",
        "can s is b for 9 s! true",
        "can s is a and wait for 9 s! true",
        "can P-1 is running for 3 s! false",
        "can P-1 is running and wait! false",
        "can P-2 is running and wait! true",
        "once s is b, s is b stays until not wait! true",
        "once s is b and wait, s is b stays until not wait! true",
        "once s is b and wait, s is b stays until not wait without power failure! false",
      })
  void holdStopsTransitionsActionsAndTimes(String promise, boolean reached) {
    String items = TWO_STEPS.formatted("") + "hold when wait\n";
    assertEquals(reached, reaches(0, "", items, promise), promise);
  }

  /** For 2 s after a hold the step that needs 3 s is still there, however long it was held. */
  @Test
  void timesStartAfreshAfterAHold() {
    String plant =
        """
        plant "Steps"
        controller reacts within 0 s
        panel { hold-button wait; button go }
        logic {
          sequence s {
            initial step a
            step b
            from a to b when go
            from b to a after 3 s
            hold when wait
          }
          sequence t {
            initial step any_time
            step on_hold
            step afterwards
            from any_time to on_hold when wait and s is b
            from on_hold to afterwards when not wait
            from afterwards to any_time after 2 s
          }
        }
        require R-1 : can t is afterwards and s is a
        require R-2 : can t is afterwards and s is b
        """;
    Model model = Texts.model(plant);
    assertFalse(Texts.reaches(model, "R-1"));
    assertTrue(Texts.reaches(model, "R-2"));
  }

  @ParameterizedTest
  @CsvSource(
      delimiter = '!',
      value = {
        "can s is c and s is d! true",
        "can s is a and out for 9 s! true",
        "can s is c and out! false",
        "can s is b and out! false",
        "never together s is a, s is b! false",
        "can s is a and not out and not wait for 0.5 s! true",
        // On hold it still aborts.
        "can s is d and wait and out! false",
        "can s is d and wait! true",
      })
  void abortEndsAllStepsWhateverElseIsSo(String promise, boolean reached) {
    String items =
        """
        initial step a; step b; step c { run P-1 }; step d
        from a to b, c when go
        from b to d after 1 s
        from c, d to a after 5 s
        hold when wait
        abort to a when out
        """;
    assertEquals(reached, reaches(0, "", items, promise), promise);
  }

  @ParameterizedTest
  @CsvSource(
      delimiter = '!',
      value = {
        "can phase is first and s is b! true",
        "can phase is blank and s is b! false",
        "can phase is blank and s is a! true",
        "can phase is second and s is a! true",
        "can phase is first and s is a! false",
        // Set by the step at its place in the logic; its own statement stands above.
        "can seen and s is b! true",
        "can not seen and s is b! false",
        "can seen and s is a! false",
      })
  void whatIsStoredIsStoredOnce(String promise, boolean reached) {
    String logic = "latch seen: set by go and not go; cleared by go and not go";
    String items =
        TWO_STEPS.formatted(
            "on entry phase := first; on entry set seen; on exit phase := second;"
                + " on exit clear seen");
    assertEquals(reached, reaches(0, logic, items, promise + " assuming not out"), promise);
  }

  /** The macro takes 1 + 2 s, of which the pump runs 1 s in its own step, 3 s in the one outside. */
  @ParameterizedTest
  @CsvSource(
      delimiter = '!',
      value = {
        "can s is m for 2 s! true",
        "can s is m for 3 s! false",
        "can s is n for 2 s! true",
        "can s is n for 3 s! false",
        "can s is fill for 1 s! false",
        "can s is b and not (s is m or s is n)! false",
        "can phase is first and s is fill! true",
        "can phase is blank and s is m! false",
        "can phase is second and s is m and s is b! false",
        "can phase is second and s is n! true",
        "can P-1 is running and s is n! false",
        "can P-1 is running for 2 s! true",
        "can P-1 is running for 3 s! false",
      })
  void macroStandsInThePlaceOfItsStep(String promise, boolean reached) {
    String items =
        """
        initial step idle
        step m is macro stir { run P-1; on entry phase := first; on exit phase := second }
        step n is macro stir
        from idle to m when go
        from m to n after 2 s
        from n to idle after 2 s
        macro stir {
          entry step fill
          exit step b
          from fill to b after 1 s
        }
        """;
    assertEquals(reached, reaches(0, "", items, promise), promise);
  }

  @ParameterizedTest
  @CsvSource(
      delimiter = '!',
      value = {
        // A command of its own: its demand or a step, its interlock above both.
        "run P-1 when wait { interlock \"x\" : not out }! can P-1 is running and s is a! true",
        "run P-1 when wait { interlock \"x\" : not out }! can P-1 is running and out! false",
        "run P-1 when wait { interlock \"x\" : not out }"
            + "! can P-1 is at rest and s is b and not out! false",
      })
  void stepsAskTheCommandOfTheEquipment(String logic, String promise, boolean reached) {
    // The command stands above the sequence and so follows a scan later, at the same instant.
    assertEquals(reached, reaches(0, logic, TWO_STEPS.formatted(""), promise), promise);
  }

  /** A step may say at which of its values the command shall be; another leaves that open. */
  @Test
  void stepSaysAtWhichSpeed() {
    String plant =
        """
        plant "Steps"
        controller reacts within 0 s
        drive_pump P-3
        panel { button go }
        logic {
          sequence s {
            initial step a
            step b { run P-3 at slow }
            step c { run P-3 }
            from a to b when go
            from b to c after 3 s
            from c to a after 3 s
          }
        }
        require R-1 : can s is b and P-3 is commanded slow
        require R-2 : can s is c and P-3 is commanded full
        require R-3 : can s is b and not P-3 is commanded slow
        require R-4 : can s is c and not P-3 is commanded full
        """;
    Model model = Texts.model(plant);
    assertTrue(Texts.reaches(model, "R-1"));
    assertTrue(Texts.reaches(model, "R-2"));
    assertFalse(Texts.reaches(model, "R-3"));
    assertFalse(Texts.reaches(model, "R-4"));
  }
}
