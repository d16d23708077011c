package stoplog.plants.random;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.EnumMap;
import java.util.Map;
import net.jqwik.api.Example;
import stoplog.plants.judges.SolverJudge;

/**
 * The fixed-point engine of an SMT library answers as the judge by ticks does, on random plants, from
 * the clauses that {@code export} writes. {@code -Dstoplog.plants=N} compares N plants.
 */
class SolverAgreesTest {
  private static final int STEPS = 2_000_000;

  @Example
  void solverAnswersAsTheJudgeDoes() {
    int wanted = Integer.getInteger("stoplog.plants", 500);
    Map<SolverJudge.Answer, Integer> counts = new EnumMap<>(SolverJudge.Answer.class);
    JudgedPlant.each(
        wanted,
        p -> {
          SolverJudge.Answer answer =
              SolverJudge.decideWithin(p.model(), p.claim(), STEPS).answer();
          counts.merge(answer, 1, Integer::sum);
          if (answer != SolverJudge.Answer.UNKNOWN) {
            assertEquals(p.reachable(), answer == SolverJudge.Answer.REACHABLE, p.told());
          }
        });
    System.out.println(wanted + " plants, the solver says " + counts);
    assertTrue(counts.getOrDefault(SolverJudge.Answer.UNREACHABLE, 0) > wanted / 10, counts + "");
    assertTrue(counts.getOrDefault(SolverJudge.Answer.REACHABLE, 0) > wanted / 10, counts + "");
    assertTrue(counts.getOrDefault(SolverJudge.Answer.UNKNOWN, 0) < wanted / 10, counts + "");
  }
}
