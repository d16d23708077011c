package stoplog.plants;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertNotNull;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Duration;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.TreeMap;
import java.util.TreeSet;
import org.jspecify.annotations.Nullable;
import org.junit.jupiter.api.parallel.Execution;
import org.junit.jupiter.api.parallel.ExecutionMode;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.MethodSource;
import stoplog.checker.abstraction.Decider;
import stoplog.checker.abstraction.Family;
import stoplog.checker.abstraction.Reads;
import stoplog.checker.evidence.QuieterRun;
import stoplog.checker.explore.Budget;
import stoplog.checker.explore.Progress;
import stoplog.checker.reference.Replay;
import stoplog.checker.reference.Replayed;
import stoplog.checker.report.Answer;
import stoplog.checker.report.Ink;
import stoplog.checker.report.Played;
import stoplog.checker.report.Standing;
import stoplog.checker.report.Story;
import stoplog.checker.report.StoryTeller;
import stoplog.checker.report.StoryText;
import stoplog.diag.Diagnostic;
import stoplog.dsl.PlantReader;
import stoplog.dsl.Reading;
import stoplog.model.Claim;
import stoplog.model.Model;
import stoplog.model.Scenario;
import stoplog.model.Verdict;

/**
 * Every shipped plant and every variant of it is read, decided and told, and its scenarios played.
 *
 * <p>{@code -Dcase=copied-tag} tries the directories whose path contains this; several with commas. {@code
 * -Dlarge} asks every claim of the variants, too; otherwise they are asked what their mistake breaks, once of like
 * things. {@code -Dgolden.update} writes stories and sizes anew, to be read before they are committed; where
 * {@code CI} is set it is refused. Verdicts are written by hand and never updated.
 */
@Execution(ExecutionMode.CONCURRENT)
class PlantVerdictsTest {
  private static final Budget BUDGET =
      new Budget(5_000_000, 1L << 30, Duration.ofMinutes(2));

  static List<PlantCase> plants() {
    String wanted = System.getProperty("case", "");
    List<String> parts = List.of(wanted.split(","));
    return PlantCase.all().stream()
        .filter(c -> parts.stream().anyMatch(c.toString()::contains))
        .toList();
  }

  @ParameterizedTest
  @MethodSource("plants")
  void plantIsDecidedAndTold(PlantCase plant) throws IOException {
    Reading reading = PlantReader.read(plant.directory());
    Model model = reading.model();
    assertNotNull(model, () -> reading.diagnostics().toString());
    // A note tells how the plant is read; only errors and warnings say that something is amiss.
    assertTrue(
        reading.diagnostics().stream().allMatch(d -> d.severity() == Diagnostic.Severity.NOTE),
        () -> reading.diagnostics().toString());
    var reads = new Reads(model);
    var verdicts = new StringBuilder();
    var stories = new TreeMap<String, String>();
    var sizes = new PlantSizes(model);
    Set<String> asked = asked(plant, model, reads);
    var families = new Family.Finder(reads);
    for (Claim claim : model.claims()) {
      if (!asked.contains(claim.id())) {
        continue;
      }
      Verdict verdict = decided(reads, families.familyOf(claim), claim);
      verdicts.append(claim.id()).append(' ').append(word(claim, verdict)).append('\n');
      if (verdict instanceof Verdict.Proved proved) {
        assertTrue(proved.effort().states() > 0, claim.id() + " is proved, and nothing was looked at");
      }
      sizes.add(claim, verdict);
      if (verdict instanceof Verdict.Reached reached) {
        Verdict.Reached shown = QuieterRun.of(model, claim, reached);
        stories.put(claim.id(), StoryText.render(told(model, claim, shown), Ink.NONE));
      }
    }
    for (Scenario scenario : reading.scenarios()) {
      if (!asked.contains(scenario.id())) {
        continue;
      }
      verdicts.append(scenario.id()).append(' ').append(word(play(scenario))).append('\n');
    }
    assertEquals(plant.expected(asked), verdicts.toString());
    if (System.getProperty("golden.update") != null) {
      update(plant, asked, stories, sizes);
    }
    if (plant.isShipped()) {
      sizes.assertNotMuchMoreThan(plant.sizes());
    }
    var standing = new TreeSet<>(plant.stories());
    standing.retainAll(asked);
    assertEquals(standing, stories.keySet(), "stories that stand there, and that are told");
    stories.forEach((id, story) -> assertEquals(PlantCase.text(plant.story(id)), story));
  }

  /** Of a variant one of several claims about like things tells what its mistake breaks. */
  private static Set<String> asked(PlantCase plant, Model model, Reads reads) {
    Set<String> asked = plant.asked();
    if (plant.isShipped() || System.getProperty("large") != null) {
      return asked;
    }
    List<Claim> broken = model.claims().stream().filter(c -> asked.contains(c.id())).toList();
    for (Family family : Family.of(reads, broken)) {
      family.claims().stream().skip(1).forEach(c -> asked.remove(c.id()));
    }
    return asked;
  }

  /** As the command decides it. */
  private static Verdict decided(Reads reads, Family family, Claim claim) {
    Family.Carried carried = family.carriedOver(claim);
    if (carried != null) {
      return carried.verdict();
    }
    Decider.Decision decision = Decider.decideRecorded(reads, claim, false, BUDGET, Progress.NONE);
    family.add(claim, decision);
    return decision.verdict();
  }

  private static String word(Claim claim, Verdict verdict) {
    String word = Standing.of(claim, verdict).key();
    return verdict instanceof Verdict.Undecided u ? word + ": " + u.reason() : word;
  }

  /** What is to be seen is asked only where the course does not tell: its answer covers it all. */
  private static Played play(Scenario scenario) {
    var reads = new Reads(scenario.model());
    Answer course = answer(reads, scenario.model(), scenario.course());
    boolean open = scenario.certain() && course.verdict() instanceof Verdict.Reached;
    List<Claim> looks = open ? scenario.seen() : List.of();
    return new Played(scenario, course, looks.stream().map(l -> answer(reads, scenario.model(), l)).toList());
  }

  private static Answer answer(Reads reads, Model model, Claim claim) {
    Verdict verdict = Decider.decide(reads, claim, BUDGET, Progress.NONE);
    @Nullable Story story =
        verdict instanceof Verdict.Reached reached ? told(model, claim, reached) : null;
    return new Answer(claim, verdict, story);
  }

  private static String word(Played played) {
    return switch (played.outcome()) {
      case PASSES -> "shown";
      case FAILS -> "failed";
      case UNDECIDED -> "undecided: " + played.reason();
    };
  }

  private static Story told(Model model, Claim claim, Verdict.Reached reached) {
    return switch (Replay.run(model, claim, reached.trace())) {
      case Replayed.Valid valid -> StoryTeller.tell(model, claim, reached, valid);
      case Replayed.Invalid invalid ->
          throw new AssertionError(
              claim.id() + " fails at step " + invalid.step() + ": " + invalid.reason());
    };
  }

  private static void update(
      PlantCase plant, Set<String> asked, Map<String, String> stories, PlantSizes sizes)
      throws IOException {
    @Nullable String ci = System.getenv("CI");
    assertTrue(ci == null || ci.isEmpty(), "nothing is updated in continuous integration");
    if (plant.isShipped()) {
      sizes.write(plant.sizes());
    }
    for (String old : plant.stories()) {
      if (asked.contains(old)) {
        Files.delete(plant.story(old));
      }
    }
    for (var story : stories.entrySet()) {
      Path file = plant.story(story.getKey());
      Files.createDirectories(file.getParent());
      Files.writeString(file, story.getValue());
    }
  }
}
