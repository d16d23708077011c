package stoplog.plants.outside;

import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertInstanceOf;
import static org.junit.jupiter.api.Assertions.assertNotNull;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.time.Duration;
import java.util.Set;
import java.util.TreeSet;
import stoplog.checker.abstraction.Decider;
import stoplog.checker.explore.Budget;
import stoplog.checker.explore.Progress;
import stoplog.checker.reference.TickJudge;
import stoplog.dsl.PlantReader;
import stoplog.dsl.Reading;
import stoplog.model.Claim;
import stoplog.model.Model;
import stoplog.model.Verdict;
import stoplog.source.SourceFile;

/** Small plants written as text inside a test, and questions about them. */
final class Texts {
  private static final Budget BUDGET = new Budget(200_000, 1L << 28, Duration.ofSeconds(30));

  private Texts() {}

  static Model model(String plant) {
    Reading reading = PlantReader.read(new SourceFile("test.plant", plant));
    Model model = reading.model();
    assertNotNull(model, () -> reading.diagnostics().toString());
    return model;
  }

  /**
   * Whether the claim's condition can be reached. One search of the whole plant, the localised search
   * and, where it comes to an end, the enumeration of every tick have to agree.
   */
  static boolean reaches(Model model, String id) {
    return reaches(model, id, new TreeSet<>());
  }

  /**
   * @param judges is told who agreed: {@code ticks}, or {@code search} where they come to no end
   */
  static boolean reaches(Model model, String id, Set<String> judges) {
    Claim claim = ShortestRunsTest.claim(model, id);
    boolean reached =
        switch (Decider.decideWhole(model, claim, BUDGET, Progress.NONE)) {
          case Verdict.Reached r -> true;
          case Verdict.Proved p -> false;
          case Verdict.Undecided u -> throw new AssertionError(id + ": " + u.reason());
        };
    Class<?> expected = reached ? Verdict.Reached.class : Verdict.Proved.class;
    assertInstanceOf(expected, Decider.decide(model, claim, BUDGET, Progress.NONE), id);
    switch (TickJudge.reachable(model, claim, 50_000)) {
      case TickJudge.Yes yes -> {
        assertTrue(reached, id + " is reached tick by tick");
        judges.add("ticks");
      }
      case TickJudge.No no -> {
        assertFalse(reached, id + " is not reached tick by tick");
        judges.add("ticks");
      }
      case TickJudge.TooBig big -> judges.add("search");
    }
    return reached;
  }
}
