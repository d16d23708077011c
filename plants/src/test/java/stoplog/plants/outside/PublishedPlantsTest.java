package stoplog.plants.outside;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertNotNull;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Duration;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.stream.Stream;
import org.junit.jupiter.api.DynamicTest;
import org.junit.jupiter.api.TestFactory;
import stoplog.checker.abstraction.Decider;
import stoplog.checker.abstraction.Reads;
import stoplog.checker.explore.Budget;
import stoplog.checker.explore.Progress;
import stoplog.checker.report.Standing;
import stoplog.dsl.PlantReader;
import stoplog.dsl.Reading;
import stoplog.model.Claim;
import stoplog.model.Model;
import stoplog.model.Scenario;
import stoplog.model.Verdict;

/**
 * Plants written from published rules, in {@code src/test/corpus/outside}: each claim carries its source
 * and, as a remark, the published verdict; where ours is another the remark {@code differs: ..} says why.
 * Scenarios are to pass. Anyone can ask the same: {@code checker/stoplog check FILE}.
 */
class PublishedPlantsTest {
  private static final Path PLANTS = Path.of("src/test/corpus/outside");
  private static final Budget BUDGET =
      new Budget(2_000_000, 1L << 30, Duration.ofSeconds(60));
  private static final long MOST_STATES = 5_000;

  /** Which group of facts a plant belongs to; the group names the rows of the table. */
  private static final Map<String, String> GROUPS =
      Map.ofEntries(
          Map.entry("alarm-states", "G2"),
          Map.entry("burner-ignition", "G2"),
          Map.entry("burner-purge", "G2"),
          Map.entry("emergency-stop", "G2"),
          Map.entry("stop-race", "G2"),
          Map.entry("two-hand-chart", "G2"),
          Map.entry("chemical-feed", "G3"),
          Map.entry("common-practice", "G3"),
          Map.entry("compact-unit", "G3"),
          Map.entry("membrane-flush", "G3"),
          Map.entry("membrane-limits", "G3"),
          Map.entry("membrane-pressure", "G3"),
          Map.entry("quality-diversion", "G3"),
          Map.entry("trip-table", "G3"),
          Map.entry("turbidity", "G3"),
          Map.entry("ultraviolet", "G3"),
          Map.entry("acid-hose", "G4"),
          Map.entry("bottom-valve", "G4"),
          Map.entry("chlorine-cut-off", "G4"),
          Map.entry("dosing-without-flow", "G4"),
          Map.entry("fluoride-overdose", "G4"),
          Map.entry("gas-wash", "G4"),
          Map.entry("magnet-window", "G4"),
          Map.entry("swat", "G4"),
          Map.entry("swat-defects", "G4"));

  @TestFactory
  List<DynamicTest> verdictsAreThePublishedOnes() throws IOException {
    List<DynamicTest> tests = new ArrayList<>();
    try (Stream<Path> files = Files.list(PLANTS)) {
      for (Path file : files.sorted().toList()) {
        String plant = file.getFileName().toString().replace(".plant", "");
        tests.add(DynamicTest.dynamicTest(plant, () -> check(file, plant)));
      }
    }
    assertEquals(GROUPS.size(), tests.size());
    return tests;
  }

  private static void check(Path file, String plant) {
    Reading reading = PlantReader.read(file);
    Model model = reading.model();
    assertNotNull(model, () -> reading.diagnostics().toString());
    var reads = new Reads(model);
    for (Claim claim : model.claims()) {
      Decider.Decision decision =
          Decider.decideCertified(reads, claim, BUDGET, Progress.NONE);
      Verdict verdict = decision.verdict();
      assertFalse(verdict instanceof Verdict.Undecided, () -> claim.id() + ": " + verdict);
      String ours = Standing.of(claim, verdict).key();
      String published = remark(claim, "published: ");
      String differs = remark(claim, "differs: ");
      assertEquals(differs.isEmpty(), ours.equals(published), claim.id() + " is " + ours);
      row(plant, claim.id(), claim.text(), claim.basis().source(), published,
          differs.isEmpty() ? ours : differs, Judged.by(model, claim, decision, MOST_STATES));
    }
    String source = Results.text(file).lines().findFirst().orElseThrow().replaceFirst("^-- Source: ", "");
    for (Scenario scenario : reading.scenarios()) {
      assertTrue(passes(scenario), scenario.id());
      row(plant, scenario.id(), scenario.text(), source.replaceFirst("[(:,;].*", "").strip(), "so",
          "so", "search");
    }
  }

  private static void row(
      String plant, String id, String text, String source, String published, String ours, String judge) {
    String group = GROUPS.get(plant);
    assertNotNull(group, plant);
    assertFalse(source.isEmpty(), id + " has no source");
    Results.row(
        PublishedPlantsTest.class,
        group + " " + plant + " " + id,
        group + " " + plant + " " + id + ": " + text,
        source,
        published,
        ours,
        judge);
  }

  private static String remark(Claim claim, String key) {
    return claim.basis().remarks().stream()
        .filter(r -> r.startsWith(key))
        .map(r -> r.substring(key.length()))
        .findFirst()
        .orElse("");
  }

  private static boolean passes(Scenario scenario) {
    var reads = new Reads(scenario.model());
    boolean course = reached(reads, scenario.course());
    boolean every =
        !scenario.certain() || scenario.seen().stream().noneMatch(l -> reached(reads, l));
    return course && every;
  }

  private static boolean reached(Reads reads, Claim claim) {
    Verdict verdict = Decider.decide(reads, claim, BUDGET, Progress.NONE);
    assertFalse(verdict instanceof Verdict.Undecided, claim.id());
    return verdict instanceof Verdict.Reached;
  }
}
