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

/** What a story says of an off-delay: it begins when the input ends, and stops when that is back. */
class OffDelayStoryTest {
  private static final Budget BUDGET = new Budget(200_000, 1L << 28, Duration.ofSeconds(30));

  private static final String PLANT =
      """
      plant "Off-delay"
      controller reacts within 0 s
      pump M-1 "output"
      panel { hold-button input }
      logic {
        memory n: 0..2
        n := n + 1 when input rises
        run M-1 when input held on for 5 s
      }
      hazard H-01 "on" : M-1 is turning and not input
      hazard H-02 "on again" : M-1 is turning and n >= 2
      """;

  @Test
  void timerThatIsOnlySwitchedOnHasNotStopped() {
    String story = story("H-01");
    assertTrue(story.contains("(input held on for 5 s) begins: 5 s"), story);
    assertFalse(story.contains("stops"), story);
  }

  @Test
  void timerWhoseInputIsBackInTimeStops() {
    String story = story("H-02").replaceAll("\\s+", " ");
    assertTrue(story.contains("begins: 5 s"), story);
    assertTrue(story.contains("stops"), story);
  }

  private static String story(String id) {
    Model model = Texts.model(PLANT);
    Claim claim = model.claim(id);
    Verdict verdict = Decider.decide(model, claim, BUDGET, Progress.NONE);
    var reached = assertInstanceOf(Verdict.Reached.class, verdict);
    var valid =
        assertInstanceOf(Replayed.Valid.class, Replay.run(model, claim, reached.trace()));
    return StoryText.render(StoryTeller.tell(model, claim, reached, valid), Ink.NONE);
  }
}
