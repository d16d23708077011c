package stoplog.plants.judges;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertNotNull;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.time.Duration;
import java.util.ArrayList;
import java.util.List;
import org.junit.jupiter.api.Test;
import stoplog.checker.abstraction.Decider;
import stoplog.checker.abstraction.Reads;
import stoplog.checker.certificate.Certificate;
import stoplog.checker.explore.Budget;
import stoplog.checker.explore.Progress;
import stoplog.dsl.PlantReader;
import stoplog.model.Claim;
import stoplog.model.Model;
import stoplog.plants.works.Works;
import stoplog.source.SourceFile;

/**
 * The proofs of the plants that ship, as {@code export --proof} writes them: an SMT library's solver
 * confirms each.
 *
 * <p>Plants whose proofs take long are left to {@code -Dlarge}, which asks about all plants and their
 * variants, or with {@code -Dcase=knot-lane,fell-gate} about some; {@code -Dstoplog.mostStates=N} leaves
 * out larger proofs.
 */
class ProofsConfirmedTest {
  private static final int STEPS = 300_000_000;
  private static final String QUICK = "dunlin-creek,fell-gate,heron-quay,kestrel-ford,thorn-reach,whin-moor";

  @Test
  void theSolverConfirmsProofs() throws IOException {
    boolean large = System.getProperty("large") != null;
    int most = Integer.getInteger("stoplog.mostStates", large ? 100_000 : 300);
    var unanswered = new ArrayList<String>();
    int confirmed = 0;
    int larger = 0;
    for (KnownPlant plant : KnownPlant.all(System.getProperty("case", large ? "" : QUICK))) {
      if (!large && !plant.shipped()) {
        continue;
      }
      var reads = new Reads(plant.model());
      for (String id : plant.reachable().keySet()) {
        Claim claim = plant.model().claim(id);
        if (plant.reachable().get(id)) {
          continue;
        }
        Certificate proof = Decider.decideCertified(reads, claim, budget(), Progress.NONE).certificate();
        if (proof == null || proof.size() > most) {
          larger++;
          continue;
        }
        var examined = SolverJudge.examine(plant.model(), proof, STEPS);
        assertEquals(0, examined.failing(), plant.name() + " " + id + ": " + examined);
        if (examined.confirmed()) {
          confirmed++;
        } else {
          unanswered.add(plant.name() + " " + id);
        }
      }
    }
    System.out.println(
        confirmed + " proofs confirmed, " + larger + " too large or not made, not answered " + unanswered);
    assertEquals(List.of(), unanswered);
    assertTrue(large || confirmed > 40, confirmed + " confirmed");
  }

  /** What is kept of several latches at once is told by the text too. */
  @Test
  void theSolverConfirmsProofsOverGroups() {
    String text = Works.alarmGroup(8);
    Model model = PlantReader.read(new SourceFile("alarms.plant", text)).model();
    assertNotNull(model, text);
    int groups = 0;
    for (String id : List.of("R-02", "R-03", "R-04")) {
      Claim claim = model.claim(id);
      Certificate proof =
          Decider.decideCertified(new Reads(model), claim, budget(), Progress.NONE).certificate();
      assertNotNull(proof, id);
      groups += proof.groups().size();
      var examined = SolverJudge.examine(model, proof, STEPS);
      assertTrue(examined.confirmed(), id + ": " + examined);
      assertTrue(SolverJudge.examine(model, halved(proof), STEPS).failing() > 0, id);
    }
    assertTrue(groups > 1, groups + " groups");
  }

  private static Certificate halved(Certificate c) {
    return new Certificate(
        c.plant(), c.fingerprint(), c.claim(), c.keeps(), c.follows(), c.groups(), c.due(),
        c.states().subList(0, c.states().size() / 2));
  }

  private static Budget budget() {
    return new Budget(20_000_000, 1L << 30, Duration.ofMinutes(2));
  }
}
