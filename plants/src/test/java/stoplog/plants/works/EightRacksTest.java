package stoplog.plants.works;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertInstanceOf;
import static org.junit.jupiter.api.Assertions.assertNotNull;

import java.nio.file.Path;
import java.time.Duration;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;
import stoplog.checker.abstraction.Decider;
import stoplog.checker.abstraction.Reads;
import stoplog.checker.explore.Budget;
import stoplog.checker.explore.Progress;
import stoplog.dsl.PlantReader;
import stoplog.model.Model;
import stoplog.model.Verdict;

/** Eight racks of one template: what is claimed of each is proved, at the same cost for each. */
class EightRacksTest {
  private static final Budget BUDGET = new Budget(50_000, 256L << 20, Duration.ofMinutes(1));
  private static final int RACKS = 8;

  /** {@code #} stands for the number of the rack. */
  @ParameterizedTest
  @ValueSource(strings = {"H-#1", "H-#4", "H-#6", "R-#5"})
  void everyRackCostsTheSame(String label) {
    Model model = PlantReader.read(Path.of("gannet-hall")).model();
    assertNotNull(model);
    var reads = new Reads(model);
    Verdict first = decide(reads, label, 1);
    for (int rack = 2; rack <= RACKS; rack++) {
      Verdict other = decide(reads, label, rack);
      assertEquals(first.effort().states(), other.effort().states(), "rack " + rack);
      assertEquals(first.kept().size(), other.kept().size(), "rack " + rack);
    }
  }

  private static Verdict decide(Reads reads, String label, int rack) {
    String id = label.replace("#", Integer.toString(rack));
    Verdict verdict = Decider.decide(reads, reads.model().claim(id), BUDGET, Progress.NONE);
    return assertInstanceOf(Verdict.Proved.class, verdict, id);
  }
}
