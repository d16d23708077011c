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
import stoplog.model.Scenario;
import stoplog.source.SourceFile;

/** Scenarios played by every way to decide, all of which have to agree. */
final class Scenes {
  private static final long MOST_STATES = 200_000;

  private Scenes() {}

  /** How the last scenario of a plant comes out: "passes" or "fails". */
  static String played(String plant) {
    Reading reading = PlantReader.read(new SourceFile("scene.plant", plant));
    assertNotNull(
        reading.model(),
        () -> plant + reading.diagnostics().stream().map(Diagnostic::message).toList());
    Scenario s = reading.scenarios().getLast();
    boolean broken = !reached(s.model(), s.course(), plant);
    if (s.certain()) {
      for (Claim look : s.seen()) {
        broken |= reached(s.model(), look, plant);
      }
    }
    return broken ? "fails" : "passes";
  }

  private static boolean reached(Model model, Claim claim, String told) {
    Comparison all = Comparison.of(model, claim, MOST_STATES);
    assertNull(all.problem(), () -> told + claim.text() + all.verdicts());
    assertEquals(false, all.judged() instanceof TickJudge.TooBig, "too big: " + told);
    return all.judged() instanceof TickJudge.Yes;
  }
}
