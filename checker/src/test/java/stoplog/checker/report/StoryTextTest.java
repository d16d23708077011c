package stoplog.checker.report;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.List;
import org.junit.jupiter.api.Test;
import stoplog.model.Model;
import stoplog.model.Verdict;

final class StoryTextTest {
  private final Model model = TwoPumps.model();

  @Test
  void storyTellsWhoLookedAtTheWrongThing() {
    var reached = TwoPumps.reached(TwoPumps.stopAndClean(model, 1, 1));
    assertEquals(
        """
        H-02 can happen: cleaning while the high-pressure pump turns                        5 events, 31.4 s

             0.0 s  start       mode auto, P-201 at rest, P-301 at rest
                    operator    start pressed
                    scan        P-201 commanded on               P-201 running
            31.2 s  operator    stop pressed, mode to clean
            31.4 s  scan        P-201 commanded off,             P-201 coasting (2..5 s)
                                P-301 commanded on               P-301 running
                                                                 interlock "not making water" of P-301
                                                                   reads the command of P-201, but P-201 is
                                                                   coasting
            31.4 s  HAZARD      cleaning while the high-pressure pump turns
                                P-201 running, then coasting: for 31.4 s
                                P-301 running: from this instant on

          Left out: 4 steps that touch nothing this claim depends on.
        """,
        StoryText.render(TwoPumps.story(model, "H-02", reached), Ink.NONE));
  }

  @Test
  void hazardThatMustLastIsToldWhenItHasLastedTooLong() {
    var reached = TwoPumps.reached(TwoPumps.stopAndClean(model, 2, 21));
    assertEquals(
        """
        H-03 can happen: cleaning against the high-pressure pump for long                   5 events, 32.4 s

             0.0 s  start       mode auto, P-201 at rest, P-301 at rest
                    operator    start pressed
                    scan        P-201 commanded on               P-201 running
            31.2 s  operator    stop pressed, mode to clean
            31.4 s  scan        P-201 commanded off,             P-201 coasting (2..5 s)
                                P-301 commanded on               P-301 running
                                                                 interlock "not making water" of P-301
                                                                   reads the command of P-201, but P-201 is
                                                                   coasting
            32.4 s  HAZARD      cleaning against the high-pressure pump for long, for longer than 1 s
                                P-201 running, then coasting: for longer than 32.4 s
                                P-301 running: for longer than 1.0 s

          Left out: 4 steps that touch nothing this claim depends on.
        """,
        StoryText.render(TwoPumps.story(model, "H-03", reached), Ink.NONE));
  }

  @Test
  void commandThatNobodyGuardsIsToldAsSuch() {
    Model unguarded = TwoPumps.withoutInterlock(model);
    var reached = TwoPumps.reached(TwoPumps.stopAndClean(unguarded, 1, 1));
    String text = StoryText.render(TwoPumps.story(unguarded, "H-02", reached), Ink.NONE);
    assertTrue(text.contains("no permissive, interlock or trip of"), text);
    // P-201 starts first, while P-301 stands still: there is nothing to blame it for.
    assertEquals(1, text.split("no permissive", -1).length - 1, text);
  }

  @Test
  void stepsThatBearOnNothingAreLeftOutButCounted() {
    var reached = TwoPumps.reached(TwoPumps.stopAndClean(model, 1, 1));
    String text = StoryText.render(TwoPumps.story(model, "H-02", reached), Ink.NONE);
    assertFalse(text.contains("oxidant"), text);
  }

  @Test
  void everythingIsToldOfAnAnswerThatLeansOnEverything() {
    var kept = model.variables().stream().map(v -> v.name()).toList();
    var reached =
        new Verdict.Reached(
            TwoPumps.stopAndClean(model, 1, 1), 8, 6, kept, new Verdict.Effort(1, 1, 1, 1));
    assertEquals(
        """
        H-02 can happen: cleaning while the high-pressure pump turns                        8 events, 31.4 s

             0.0 s  start       mode auto, P-201 at rest, P-301 at rest
                    operator    start pressed
                    process     oxidant starts
                    scan        P-201 commanded on               P-201 running
            30.0 s  process     oxidant ends
            31.2 s  operator    stop pressed, mode to clean
            31.4 s  scan        P-201 commanded off,             P-201 coasting (2..5 s)
                                P-301 commanded on               P-301 running
                                                                 interlock "not making water" of P-301
                                                                   reads the command of P-201, but P-201 is
                                                                   coasting
            31.4 s  HAZARD      cleaning while the high-pressure pump turns
                                P-201 running, then coasting: for 31.4 s
                                P-301 running: from this instant on

          Left out: 2 steps that touch nothing this claim depends on.
          There may be a shorter run; none has fewer than 6 events.
        """,
        StoryText.render(TwoPumps.story(model, "H-02", reached), Ink.NONE));
  }

  @Test
  void noLineIsWiderThanThePage() {
    var reached = TwoPumps.reached(TwoPumps.stopAndClean(model, 1, 1));
    Story story = TwoPumps.story(model, "H-02", reached);
    String lengthy = "a thing that goes on and on and ".repeat(8) + "on";
    var wordy =
        new Story(
            lengthy, story.measure(),
            story.lines().stream()
                .map(l -> new Story.Line(l.seconds(), l.who(), lengthy, List.of(lengthy, lengthy)))
                .toList(),
            3, 5, 4);
    for (String line : StoryText.render(wordy, Ink.NONE).lines().toList()) {
      assertTrue(line.length() <= 100, line);
    }
  }
}
