package stoplog.plants.random;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertNotNull;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.EnumMap;
import java.util.Map;
import java.util.Random;
import net.jqwik.api.Example;
import net.jqwik.api.RandomGenerator;
import stoplog.checker.reference.TickJudge;
import stoplog.dsl.PlantReader;
import stoplog.model.Claim;
import stoplog.model.Model;
import stoplog.plants.judges.SolverJudge;
import stoplog.source.SourceFile;

/**
 * The fixed-point engine of an SMT library answers as the judge by ticks does, on random plants, from
 * the clauses that {@code export} writes. {@code -Dstoplog.plants=N} compares N plants.
 */
class SolverAgreesTest {
  private static final int MOST_STATES = 1_500;
  private static final int STEPS = 2_000_000;

  @Example
  void solverAnswersAsTheJudgeDoes() {
    int wanted = Integer.getInteger("stoplog.plants", 500);
    RandomGenerator<SmallPlant> plants = SmallPlants.any(1).generator(1000);
    Map<SolverJudge.Answer, Integer> counts = new EnumMap<>(SolverJudge.Answer.class);
    int compared = 0;
    for (int number = 1; compared < wanted; number++) {
      var random = new Random(number * 0x9E3779B97F4A7C15L);
      String text = PlantWriter.text(plants.next(random).value());
      Model model = PlantReader.read(new SourceFile("random.plant", text)).model();
      assertNotNull(model, text);
      Claim claim = model.claims().getFirst();
      if (claim.kind() == Claim.Kind.ALWAYS_CAN) {
        // No question of reachability.
        continue;
      }
      TickJudge.Answer judged = TickJudge.reachable(model, claim, MOST_STATES);
      if (judged instanceof TickJudge.TooBig) {
        continue;
      }
      compared++;
      SolverJudge.Answer answer = SolverJudge.decideWithin(model, claim, STEPS).answer();
      counts.merge(answer, 1, Integer::sum);
      if (answer != SolverJudge.Answer.UNKNOWN) {
        boolean reachable = judged instanceof TickJudge.Yes;
        assertEquals(
            reachable, answer == SolverJudge.Answer.REACHABLE, "plant " + number + "\n" + text);
      }
    }
    System.out.println(compared + " plants, the solver says " + counts);
    assertTrue(counts.getOrDefault(SolverJudge.Answer.UNREACHABLE, 0) > wanted / 10, counts + "");
    assertTrue(counts.getOrDefault(SolverJudge.Answer.REACHABLE, 0) > wanted / 10, counts + "");
    assertTrue(counts.getOrDefault(SolverJudge.Answer.UNKNOWN, 0) < wanted / 10, counts + "");
  }
}
