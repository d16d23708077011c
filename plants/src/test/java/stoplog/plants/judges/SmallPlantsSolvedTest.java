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
 * The SMT library's fixed-point engine on every claim of the small shipped plants and of the smallest
 * plants from published rules, against the verdicts that stand beside them. What it does not answer in
 * its time is counted and said, no more.
 */
class SmallPlantsSolvedTest {
  private static final List<String> SHIPPED =
      List.of("knot-lane", "plover-cross", "ruff-quarry", "snipe-shaft");
  private static final List<String> PUBLISHED =
      List.of("acid-hose", "bottom-valve", "fluoride-overdose");

  private int agreed;
  private int unknown;

  @Test
  void solverAnswersAsTheVerdictsSay() throws IOException {
    for (String plant : PUBLISHED) {
      Model model = model(Path.of("src/test/corpus/outside", plant + ".plant"));
      for (Claim claim : model.claims()) {
        String remarks = String.join(" ", claim.basis().remarks());
        compare(plant, model, claim, remarks.matches("published: (proved|holds)"), 5_000);
      }
    }
    assertTrue(agreed > 0, "the solver answers nothing at all");
    for (String plant : SHIPPED) {
      Model model = model(Path.of(plant));
      List<String> verdicts = Files.readAllLines(Path.of(plant, "verdicts.txt"));
      for (Claim claim : model.claims()) {
        boolean good =
            verdicts.stream().anyMatch(v -> v.matches(claim.id() + " (proved|holds)"));
        compare(plant, model, claim, good, 500);
      }
    }
    System.out.println(
        agreed + " claims of small plants are answered as we do, " + unknown + " not in time");
  }

  private static Model model(Path plant) {
    Model model = PlantReader.read(plant).model();
    assertNotNull(model, plant.toString());
    return model;
  }

  private void compare(String plant, Model model, Claim claim, boolean good, int milliseconds) {
    if (claim.kind() == Claim.Kind.ALWAYS_CAN) {
      // No question of reachability.
      return;
    }
    switch (SolverJudge.decide(model, claim, milliseconds)) {
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
