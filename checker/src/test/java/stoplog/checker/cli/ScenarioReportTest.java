package stoplog.checker.cli;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Duration;
import java.util.List;
import java.util.Map;
import java.util.function.Function;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import stoplog.checker.analyse.Health;
import stoplog.checker.analyse.Remembered;
import stoplog.checker.explore.Budget;
import stoplog.checker.explore.Progress;
import stoplog.model.Claim;
import stoplog.model.Model;
import stoplog.model.Verdict;
import stoplog.source.Span;
import tools.jackson.jr.ob.JSON;

/** What {@code check} says of scenarios and of what a claim is made for. */
final class ScenarioReportTest {
  private static final String PLANT =
      """
      plant "Delays"
      controller reacts within 0 s
      condition call "water is called for" comes and goes
      switch LS-1 "call" follows call
      pump P-1 "feed pump"
      logic { run P-1 when LS-1 for 5 s }
      scenario S-1 "the pump waits" certain {
        at 1 s: call starts
        from 1 s to 6 s see P-1 is at rest
        at 6 s see P-1 is running
      }
      scenario S-2 "the pump does not wait" certain {
        at 1 s: call starts
        by 4 s see P-1 is running
      }
      scenario S-3 "pump in time" possible {
        at 1 s: call starts
        at 2 s see call
        by 4 s see P-1 is running
      }
      hazard H-1 "the pump runs" : P-1 is running
        severity major source "study 3, item 7" remark "only if the tank is full"
      """;

  @TempDir Path directory;

  private String plant() throws IOException {
    Path file = directory.resolve("delays.plant");
    Files.writeString(file, PLANT);
    return file.toString();
  }

  @Test
  void scenariosComeFirstAndAFailureIsTold() throws IOException {
    Ran ran = Ran.stoplog("check", plant());

    assertEquals(1, ran.status(), ran.err());
    String out = ran.out();
    assertTrue(out.contains("S-1  passes      the pump waits"), out);
    assertTrue(out.contains("S-2  fails       the pump does not wait"), out);
    assertTrue(out.contains("\"by 4 s see P-1 is running\": some run does not show it"), out);
    assertTrue(out.contains("no run that has shown all before shows it"), out);
    assertTrue(out.contains("S-2.1 broken: by 4 s see P-1 is running"), out);
    assertTrue(out.contains("Some run gets this far. None goes on to show: by 4 s see"), out);
    assertTrue(out.contains("Scenarios: 1 passes, 2 fail. Hazards: 1 can happen."), out);
    assertTrue(out.indexOf("S-3  fails") < out.indexOf("H-1  can happen"), out);
    assertFalse(out.contains(".course"), "the script is nothing to tell: " + out);
  }

  @Test
  void findingIsToldWithWhatItIsMadeFor() throws IOException {
    String out = Ran.stoplog("check", "--claim", "H-1", plant()).out();

    assertTrue(out.contains("\n  Severity: major\n"), out);
    assertTrue(out.contains("\n  Source: study 3, item 7\n"), out);
    assertTrue(out.contains("\n  Remark: only if the tank is full\n"), out);
    assertFalse(out.contains("\nS-1"), out);
  }

  @Test
  void oneScenarioCanBeAskedFor() throws IOException {
    Ran ran = Ran.stoplog("check", "--claim", "S-1", plant());

    assertEquals(0, ran.status(), ran.err());
    assertTrue(ran.out().contains("Scenarios: 1 passes."), ran.out());
    assertFalse(ran.out().contains("S-2"), ran.out());
  }

  /** That every run shows it is a proof, and goes the way of all proofs of the plant. */
  @Test
  void scenarioDoesNotPassWhereThePlantVoidsProofs() throws IOException {
    Function<Model, Engine> blocked =
        model -> {
          Engine shipped = Engine.shipped(model);
          return new Engine() {
            @Override
            public Verdict decide(Claim claim, boolean whole, Budget budget, Progress progress) {
              return shipped.decide(claim, whole, budget, progress);
            }

            @Override
            public List<Health.Finding> examine(
                List<Claim> proved, Duration most, Remembered remembered, Progress progress) {
              return List.of(new Health.Finding(Health.Kind.BLOCKED, "nothing ends it", Span.NONE));
            }
          };
        };
    Ran ran = Ran.with(blocked, new Interruption(), "check", "--claim", "S-1", plant());

    assertEquals(3, ran.status(), ran.err());
    assertTrue(ran.out().contains("Scenarios: 1 undecided."), ran.out());
    assertTrue(ran.out().contains("proved but for this: nothing ends it"), ran.out());
    ran = Ran.with(blocked, new Interruption(), "check", "--claim", "S-2", plant());
    assertTrue(ran.out().contains("Scenarios: 1 fails."), ran.out());
  }

  @Test
  void jsonHasOneEntryForEachScenario() throws IOException {
    Ran ran = Ran.stoplog("check", "--json", plant());

    assertEquals(1, ran.status(), ran.err());
    Map<String, Object> document = JSON.std.mapFrom(ran.out());
    var scenarios = (List<?>) document.get("scenarios");
    assertEquals(3, scenarios.size());
    var passes = (Map<?, ?>) scenarios.get(0);
    assertEquals("passes", passes.get("verdict"));
    assertFalse(passes.containsKey("reason"));
    var fails = (Map<?, ?>) scenarios.get(1);
    assertEquals("fails", fails.get("verdict"));
    assertFalse(((List<?>) fails.get("story")).isEmpty());
    var claim = (Map<?, ?>) ((List<?>) document.get("claims")).getFirst();
    assertEquals("major", claim.get("severity"));
    assertEquals("study 3, item 7", claim.get("source"));
    assertEquals(List.of("only if the tank is full"), claim.get("remarks"));
  }
}
