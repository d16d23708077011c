package stoplog.plants;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertInstanceOf;
import static org.junit.jupiter.api.Assertions.assertNotNull;

import java.nio.file.Path;
import java.util.List;
import org.junit.jupiter.api.Test;
import stoplog.checker.abstraction.Decider;
import stoplog.checker.analyse.Remedies;
import stoplog.checker.explore.Budget;
import stoplog.checker.explore.Progress;
import stoplog.dsl.PlantReader;
import stoplog.model.Claim;
import stoplog.model.Model;
import stoplog.model.Verdict;

/** The interlock that a variant lacks is what is named as its remedy. */
class RemediesTest {
  @Test
  void theMissingFlowInterlockIsNamed() {
    assertEquals(
        List.of("interlock of P-401: PS-120", "interlock of P-401: FS-202"),
        remedies("flow-interlock-missing", "H-08"));
  }

  @Test
  void theInterlockOnTheTruthIsNamedWhereOneReadsAMemory() {
    assertEquals(
        List.of("interlock of FV-501: SS-201"),
        remedies("selector-change-while-coasting", "H-05"));
  }

  private static List<String> remedies(String defect, String claim) {
    Model model = PlantReader.read(Path.of("marram-point/defects", defect)).model();
    assertNotNull(model);
    Claim hazard = model.claim(claim);
    Verdict verdict = Decider.decide(model, hazard, Budget.standard(), Progress.NONE);
    var reached = assertInstanceOf(Verdict.Reached.class, verdict);
    return Remedies.of(model, hazard, reached.trace(), Progress.NONE);
  }
}
