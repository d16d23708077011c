package stoplog.plants;

import static org.junit.jupiter.api.Assertions.assertEquals;

import java.time.Duration;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.condition.EnabledIfSystemProperty;
import stoplog.checker.abstraction.Decider;
import stoplog.checker.abstraction.Reads;
import stoplog.checker.explore.Budget;
import stoplog.checker.testkit.Helped;
import stoplog.dsl.PlantReader;
import stoplog.model.Claim;
import stoplog.model.Model;

/** Each claim of each shipped plant: the same verdict, run and size for any number of threads. {@code -Dlarge} runs it. */
@EnabledIfSystemProperty(named = "large", matches = ".*")
class PlantThreadsTest {
  /** Ends by states, never by time, so that it ends at the same place. */
  private static final Budget BUDGET = new Budget(20_000, 1L << 30, Duration.ofMinutes(10));

  @Test
  void helpersChangeNothing() {
    for (PlantCase plant : PlantCase.all()) {
      Model model = plant.isShipped() ? PlantReader.read(plant.directory()).model() : null;
      if (model == null) {
        continue;
      }
      var reads = new Reads(model);
      for (Claim claim : model.claims()) {
        String alone = text(reads, claim, 0);
        for (int helpers : new int[] {1, 2, 7}) {
          assertEquals(alone, text(reads, claim, helpers), plant.directory() + " " + claim.id());
        }
      }
    }
  }

  private static String text(Reads reads, Claim claim, int helpers) {
    return Decider.decide(reads, claim, BUDGET, new Helped(helpers, 2))
        .toString()
        .replaceAll("nanos=\\d+", "");
  }
}
