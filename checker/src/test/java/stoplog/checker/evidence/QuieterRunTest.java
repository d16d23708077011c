package stoplog.checker.evidence;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertInstanceOf;
import static org.junit.jupiter.api.Assertions.assertNotNull;
import static org.junit.jupiter.api.Assertions.assertSame;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Duration;
import java.util.ArrayList;
import java.util.List;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import stoplog.checker.abstraction.Decider;
import stoplog.checker.differential.RandomModel;
import stoplog.checker.explore.Budget;
import stoplog.checker.explore.Progress;
import stoplog.checker.reference.EarliestTimes;
import stoplog.checker.reference.Replay;
import stoplog.checker.reference.Replayed;
import stoplog.dsl.PlantReader;
import stoplog.model.Claim;
import stoplog.model.FieldChange;
import stoplog.model.Model;
import stoplog.model.Trace;
import stoplog.model.Verdict;

/** What a run that is shown has left out of it. {@code -Dseeds=N} and {@code -Dseed=S}. */
final class QuieterRunTest {
  private static final Budget BUDGET = new Budget(100_000, 1L << 28, Duration.ofSeconds(20));
  private static final Verdict.Effort EFFORT = new Verdict.Effort(1, 1, 1, 0);
  private static final String SCAN = "scan";

  private static final String SKID =
      """
      plant "Small skid"
      controller reacts within 200 ms
      power may fail
      pump P-1 "feed pump" { coast 1..2 s }
      pump P-2 "cleaning pump"
      condition foam "foam in the tank" comes and goes
      panel { selector mode: off, water, clean }
      logic {
        run P-1 when mode is water
        run P-2 when mode is clean
      }
      hazard H-1 "cleaning while the feed pump turns" : P-1 is turning and P-2 is turning
      hazard H-2 "without power" : P-1 is coasting and P-1 is commanded off for 1 s
      require R-1 "can always clean" : always can P-2 is running
      require R-2 "can clean" : can P-2 is running
      """;

  @TempDir Path directory;

  private Model skid() throws IOException {
    Path file = Files.writeString(directory.resolve("skid.plant"), SKID);
    Model model = PlantReader.read(file).model();
    assertNotNull(model);
    return model;
  }

  private static Verdict.Reached shown(Model model, String claim, String... steps) {
    Claim c = model.claim(claim);
    List<Integer> changes = List.of(steps).stream().map(s -> change(model, s)).toList();
    var start = new ArrayList<Integer>();
    model.variables().forEach(v -> start.add(Long.numberOfTrailingZeros(v.initial())));
    start.set(model.variable("mode").id(), 1);
    Trace trace = EarliestTimes.of(model, c, start, changes);
    assertNotNull(trace);
    Replayed replayed = Replay.run(model, c, trace);
    assertInstanceOf(Replayed.Valid.class, replayed, replayed.toString());
    return new Verdict.Reached(
        trace, steps.length, 1, List.of("P-1", "P-2", "mode", "P-1.command", "P-2.command"), EFFORT);
  }

  private static int change(Model model, String text) {
    return text.equals(SCAN)
        ? Trace.Step.SCAN
        : model.changes().stream()
            .filter(c -> c.text().equals(text))
            .mapToInt(FieldChange::id)
            .findFirst()
            .orElseThrow();
  }

  private static List<String> told(Model model, Verdict.Reached r) {
    return r.trace().steps().stream()
        .map(s -> s.isScan() ? SCAN : model.changes().get(s.change()).text())
        .toList();
  }

  @Test
  void powerFailureByTheWayIsLeftOutWithWhatItLedTo() throws IOException {
    Model model = skid();
    Verdict.Reached found =
        shown(
            model, "H-1", SCAN, "foam starts", "power fails", "P-1 at rest", "power returns", SCAN,
            "mode to clean", SCAN);
    Verdict.Reached quiet = QuieterRun.of(model, model.claim("H-1"), found);
    assertEquals(List.of(SCAN, "mode to clean", SCAN), told(model, quiet));
    assertEquals(3, quiet.events());
    assertEquals(0, quiet.trace().steps().getLast().tick(), "and nothing waits for it any more");
    assertEquals(found.kept(), quiet.kept());
  }

  @Test
  void runThatNeedsAllOfItIsLeftAsItIs() throws IOException {
    Model model = skid();
    Verdict.Reached found = shown(model, "H-2", SCAN, "power fails");
    assertSame(found, QuieterRun.of(model, model.claim("H-2"), found));
  }

  @Test
  void runIntoALockOutAndRunThatIsWantedAreLeftAsTheyAre() throws IOException {
    Model model = skid();
    Verdict.Reached found = shown(model, "R-1", SCAN, "power fails", "P-1 at rest", "power returns");
    assertSame(found, QuieterRun.of(model, model.claim("R-1"), found));
    Verdict.Reached wanted = shown(model, "R-2", SCAN, "foam starts", "mode to clean", SCAN);
    assertSame(wanted, QuieterRun.of(model, model.claim("R-2"), wanted));
  }

  @Test
  void whatIsLeftReplaysAndIsNoLonger() {
    long first = Long.getLong("seed", 1);
    long count = Long.getLong("seeds", 1000);
    int shorter = 0;
    for (long seed = first; seed < first + count; seed++) {
      Model model = RandomModel.of(seed);
      Claim claim = model.claims().getFirst();
      if (Decider.decide(model, claim, BUDGET, Progress.NONE) instanceof Verdict.Reached found) {
        Verdict.Reached quiet = QuieterRun.of(model, claim, found);
        String name = "seed " + seed;
        assertInstanceOf(
            Replayed.Valid.class, Replay.run(model, claim, quiet.trace()), name);
        assertTrue(quiet.trace().steps().size() <= found.trace().steps().size(), name);
        assertTrue(quiet.events() <= found.events() && quiet.events() >= found.fewest(), name);
        shorter += quiet == found ? 0 : 1;
      }
    }
    assertTrue(shorter > 0 || count < 500, "no run had anything to leave out");
  }
}
