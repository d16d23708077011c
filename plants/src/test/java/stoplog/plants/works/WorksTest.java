package stoplog.plants.works;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertInstanceOf;
import static org.junit.jupiter.api.Assertions.assertNotNull;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.time.Duration;
import java.util.List;
import java.util.Map;
import java.util.TreeMap;
import org.junit.jupiter.api.DynamicTest;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.TestFactory;
import stoplog.checker.abstraction.Decider;
import stoplog.checker.abstraction.Reads;
import stoplog.checker.explore.Budget;
import stoplog.checker.explore.Progress;
import stoplog.checker.report.Standing;
import stoplog.diag.Diagnostic;
import stoplog.diag.TextRenderer;
import stoplog.dsl.PlantReader;
import stoplog.dsl.Reading;
import stoplog.model.Claim;
import stoplog.model.Model;
import stoplog.model.Verdict;
import stoplog.source.SourceFile;

/** The large plants can be read, and mean what the small ones mean. */
class WorksTest {
  private static final Budget BUDGET = new Budget(200_000, 1L << 29, Duration.ofSeconds(20));

  @TestFactory
  List<DynamicTest> plantsAreReadWithoutAWarning() {
    return Map.of(
            "100 tags", Works.of(100),
            "500 tags", Works.of(500),
            "2,000 tags", Works.of(2_000),
            "one train", Works.trains(1),
            "two trains", Works.trains(2),
            "sixteen trains", Works.trains(16),
            "five latches", Works.alarmGroup(5),
            "sixty-three latches", Works.alarmGroup(63))
        .entrySet()
        .stream()
        .map(e -> DynamicTest.dynamicTest(e.getKey(), () -> read(e.getValue())))
        .toList();
  }

  /** So that works of different sizes can be compared. */
  @Test
  void areasOfASmallWorksAreTheFirstOfALargeOne() {
    List<String> small = Works.of(500).lines().filter(l -> l.matches("use \\w+\\(n = \\d+\\)")).toList();
    List<String> large = Works.of(2_000).lines().filter(l -> l.matches("use \\w+\\(n = \\d+\\)")).toList();
    assertEquals(small, large.subList(0, small.size()));
  }

  @Test
  void tagsAreCountedAsThePlantHasThem() {
    String title = Works.of(1_000).lines().findFirst().orElseThrow();
    int counted = Integer.parseInt(title.replaceAll("\\D", ""));
    long tags =
        read(Works.of(1_000)).variables().stream()
            .map(v -> v.name().replaceAll("[.?].*", ""))
            .filter(name -> name.matches("[A-Z]+-\\d+"))
            .distinct()
            .count();
    // Levels and alarms have variables of other names.
    assertTrue(counted >= 1_000 && counted < 1_060 && tags <= counted + 10, counted + " and " + tags);
  }

  /** Hazards only: finding a run may take longer the more there is beside it. */
  @Test
  void claimsOfATrainAreAnsweredAlikeBesideAnother() {
    Map<String, String> alone = answers(Works.trains(1), "H-101[134]");
    assertEquals(alone, answers(Works.trains(2), "H-101[134]"));
    assertEquals(3, alone.size());
  }

  /** What is asked of all trains is answered by what each of them does, however many there are. */
  @Test
  void claimsOfAllTrainsAreProved() {
    String proved = Standing.PROVED.key();
    assertEquals(Map.of("H-01", proved, "H-03", proved, "H-04", proved), answers(Works.trains(1), "H-0."));
    assertEquals(
        Map.of("H-01", proved, "H-02", proved, "H-03", proved, "H-04", proved),
        answers(Works.trains(4), "H-0."));
    assertEquals(
        Map.of("H-1015", proved, "H-03", proved, "H-04", proved),
        answers(Works.trains(16), "H-0[34]|H-1015"));
  }

  /** Each train waits for all others: so many states that one more train adds as many as the one before. */
  @Test
  void thatNoTwoTrainsAreCleanedAtOnceTakesOneSearch() {
    for (int n : new int[] {2, 5, 8, 16}) {
      Model model = read(Works.trains(n));
      Verdict verdict = Decider.decide(model, model.claim("H-02"), BUDGET, Progress.NONE);
      assertInstanceOf(Verdict.Proved.class, verdict, n + " trains");
      assertEquals(1, verdict.effort().searches(), n + " trains");
      assertEquals(5 * n + 1, verdict.effort().states(), n + " trains");
    }
  }

  /** Whatever is beside it: a run is driven where a search for one would be long. */
  @Test
  void whatOneOfManyShouldDoItDoes() {
    String holds = Standing.HOLDS.key();
    for (int n : new int[] {2, 4}) {
      assertEquals(Map.of("R-1011", holds, "R-1012", holds), answers(Works.trains(n), "R-101."));
    }
    for (int n : new int[] {5, 10, 20, 40}) {
      assertEquals(Map.of("R-01", holds), answers(Works.alarmGroup(n), "R-01"));
    }
  }

  private static Map<String, String> answers(String plant, String ids) {
    Model model = read(plant);
    var reads = new Reads(model);
    Map<String, String> answers = new TreeMap<>();
    for (Claim c : model.claims()) {
      if (c.id().matches(ids)) {
        answers.put(c.id(), Standing.of(c, Decider.decide(reads, c, BUDGET, Progress.NONE)).key());
      }
    }
    return answers;
  }

  private static Model read(String text) {
    Reading reading = PlantReader.read(new SourceFile("works.plant", text));
    List<Diagnostic> amiss =
        reading.diagnostics().stream().filter(d -> d.severity() != Diagnostic.Severity.NOTE).toList();
    assertTrue(amiss.isEmpty(), () -> new TextRenderer(false).render(amiss));
    Model model = reading.model();
    assertNotNull(model);
    return model;
  }
}
