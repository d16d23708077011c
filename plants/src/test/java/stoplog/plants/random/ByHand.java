package stoplog.plants.random;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertNotNull;
import static org.junit.jupiter.api.Assertions.assertNull;

import stoplog.checker.reference.TickJudge;
import stoplog.diag.Diagnostic;
import stoplog.dsl.PlantReader;
import stoplog.dsl.Reading;
import stoplog.model.Claim;
import stoplog.model.Model;
import stoplog.source.SourceFile;

/**
 * Small plants in words, asked for what was worked out by hand: every way to decide must say so, with
 * evidence that holds.
 *
 * <p>A switch that follows within exactly N seconds is the stop watch, as in {@link
 * HandComputedTimesTest}.
 */
final class ByHand {
  private static final long MOST_STATES = 300_000;

  private ByHand() {}

  static Model model(String entries) {
    String text = "plant \"by hand\"\n" + entries;
    Reading reading = PlantReader.read(new SourceFile("hand.plant", text));
    Model model = reading.model();
    assertNotNull(
        model, () -> text + reading.diagnostics().stream().map(Diagnostic::message).toList());
    return model;
  }

  /** The last claim, decided in every way. */
  static void reaches(boolean expected, String plant) {
    reaches(expected, model(plant), plant);
  }

  private static void reaches(boolean expected, Model model, String told) {
    Claim claim = model.claims().getLast();
    Comparison all = Comparison.of(model, claim, MOST_STATES);
    assertNull(all.problem(), () -> told + all.verdicts());
    if (all.judged() instanceof TickJudge.TooBig) {
      throw new AssertionError("too big: " + told);
    }
    assertEquals(expected, all.judged() instanceof TickJudge.Yes, () -> told + all.verdicts());
  }

  /** B comes no sooner than so long after A, no later than so long after it, and at both ends. */
  static void between(int least, int most, String after, String then, String plant) {
    if (least > 0) {
      reaches(false, plant + early(after, then, least));
    }
    reaches(true, plant + early(after, then, least + 1));
    reaches(false, plant + late(after, then, most));
    reaches(true, plant + late(after, then, most - 1));
  }

  /** B can be so early, or earlier, after A. */
  static String early(String after, String then, int seconds) {
    return watch(after, seconds) + "hazard H-1 : " + then + " and not FS-99\n";
  }

  /** B can be missing so long after A, and longer. */
  static String late(String after, String then, int seconds) {
    return watch(after, seconds) + "hazard H-1 : FS-99 and not (" + then + ")\n";
  }

  private static String watch(String after, int seconds) {
    return "switch FS-99 follows %s within %d..%d s\n".formatted(after, seconds, seconds);
  }
}
