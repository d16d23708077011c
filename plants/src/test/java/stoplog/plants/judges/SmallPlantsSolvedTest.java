package stoplog.plants.judges;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertNotNull;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import org.junit.jupiter.api.Test;
import stoplog.dsl.PlantReader;
import stoplog.model.Claim;
import stoplog.model.Model;

/**
 * The SMT library's fixed-point engine on every claim of the small shipped plants, against the verdicts
 * that stand beside them. What it does not answer in its time is counted and said, no more.
 */
class SmallPlantsSolvedTest {
  private static final List<String> PLANTS =
      List.of("knot-lane", "plover-cross", "ruff-quarry", "snipe-shaft");
  private static final int MILLISECONDS = 500;

  @Test
  void solverAnswersAsTheVerdictsSay() throws IOException {
    int agreed = 0;
    int unknown = 0;
    for (String plant : PLANTS) {
      Model model = PlantReader.read(Path.of(plant)).model();
      assertNotNull(model, plant);
      List<String> verdicts = Files.readAllLines(Path.of(plant, "verdicts.txt"));
      for (Claim claim : model.claims()) {
        if (claim.kind() == Claim.Kind.ALWAYS_CAN) {
          // No question of reachability.
          continue;
        }
        boolean good =
            verdicts.stream().anyMatch(v -> v.matches(claim.id() + " (proved|holds)"));
        switch (SolverJudge.decide(model, claim, MILLISECONDS)) {
          case UNKNOWN -> unknown++;
          case REACHABLE -> {
            assertEquals(good, claim.kind().wanted(), plant + " " + claim.id());
            agreed++;
          }
          case UNREACHABLE -> {
            assertEquals(good, !claim.kind().wanted(), plant + " " + claim.id());
            agreed++;
          }
        }
      }
    }
    System.out.println(
        agreed + " claims of small plants are answered as we do, " + unknown + " not in time");
    assertTrue(agreed > 0, "the solver answers nothing at all");
  }
}
