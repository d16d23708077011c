package stoplog.plants.outside;

import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertInstanceOf;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.time.Duration;
import org.junit.jupiter.api.Test;
import stoplog.checker.abstraction.Decider;
import stoplog.checker.explore.Budget;
import stoplog.checker.explore.Progress;
import stoplog.checker.reference.Replay;
import stoplog.checker.reference.Replayed;
import stoplog.checker.report.Ink;
import stoplog.checker.report.StoryTeller;
import stoplog.checker.report.StoryText;
import stoplog.model.Claim;
import stoplog.model.Model;
import stoplog.model.Verdict;

/** What stories of plants as people write them say, and what they leave unsaid. */
class StoryWordsTest {
  private static final Budget BUDGET = new Budget(100_000, 1L << 28, Duration.ofSeconds(20));

  @Test
  void whatIsForgottenWithoutPowerIsTold() {
    String story =
        story(
            """
            plant "Forgetful"
            controller reacts within 0 s
            power may fail
            pump P-1 "product pump"
            panel { button soil, rinse; hold-button go }
            logic {
              latch dirty: set by soil; cleared by rinse
              signal clean = not dirty
              run P-1 when go and clean
            }
            require R-1 "rinsed first" : once dirty and P-1 is at rest, P-1 is at rest stays until rinse
            """,
            "R-1");
    assertTrue(story.contains("forgotten without power: dirty off"), story);
    // A signal only says what something else is: there is nothing to forget.
    assertFalse(story.contains("dirty off, clean"), story);
    assertTrue(story.contains("\"P-1 is at rest\" has to stay until \"rinse\""), story);
  }

  @Test
  void longTimersAreToldByTheirLastPart() {
    String story =
        story(
            """
            plant "Two timers"
            controller reacts within 0 s
            pump P-1 "pump"
            condition flow comes and goes
            condition warm comes and goes
            switch FS-1 follows flow
            switch TS-1 follows warm
            panel { hold-button go; button reset }
            logic {
              run P-1 when go {
                permissive "flow has stood" : FS-1 for 2 s
                trip "cold and without flow" : P-1 is commanded on and not FS-1 and not TS-1 for 5 s
              }
            }
            hazard H-1 "runs cold without flow" : P-1 is turning and not flow and not warm for 4 s
            """,
            "H-1");
    String flat = story.replaceAll("\\s+", " ");
    assertTrue(flat.contains("timer of P-1 (FS-1 for 2 s) begins: 2 s"), story);
    assertTrue(flat.contains("timer of P-1 (.. and not TS-1 for 5 s) begins: 5 s"), story);
    assertTrue(flat.contains("runs cold without flow, for longer than 4 s"), story);
  }

  @Test
  void thatAButtonIsPressedOverAndOverIsToldOnce() {
    String story =
        story(
            """
            plant "Reset wins"
            controller reacts within 500 ms
            pump P-1 "pump"
            condition dry "the well is dry" comes and goes
            switch LS-1 follows dry
            panel { button reset }
            logic {
              latch locked: set by LS-1; cleared by reset
              run P-1 when not locked
            }
            hazard H-1 "runs dry for longer than 3 s" : P-1 is turning and dry for 3 s
            """,
            "H-1");
    assertTrue(story.contains("reset pressed, 6 times until "), story);
    assertFalse(story.contains("than 3 s, for longer"), story);
    assertTrue(story.contains("runs dry for longer than 3 s"), story);
  }

  private static String story(String plant, String id) {
    Model model = Texts.model(plant);
    Claim claim = model.claim(id);
    Verdict verdict = Decider.decide(model, claim, BUDGET, Progress.NONE);
    var reached = assertInstanceOf(Verdict.Reached.class, verdict);
    var valid = assertInstanceOf(Replayed.Valid.class, Replay.run(model, claim, reached.trace()));
    return StoryText.render(StoryTeller.tell(model, claim, reached, valid), Ink.NONE);
  }
}
