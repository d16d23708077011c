package stoplog.plants.judges;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertNotEquals;
import static org.junit.jupiter.api.Assertions.assertNotNull;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Duration;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.TreeMap;
import java.util.TreeSet;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.condition.EnabledIfSystemProperty;
import stoplog.checker.abstraction.Decider;
import stoplog.checker.abstraction.Reads;
import stoplog.checker.explore.Budget;
import stoplog.checker.explore.Progress;
import stoplog.model.Claim;
import stoplog.model.Verdict;

/**
 * The SMT library's fixed-point engine on what proofs lean on: from the clauses over those variables
 * alone, which are written from the plant's meaning and not by the engine that proved it, it has to find
 * that the condition cannot be reached.
 *
 * <p>{@code proofs-solved.txt} lists proofs of the plants that ship for which it takes no more than a
 * million of its own steps or so: plant, claim, thousands of steps, and the variables. It has to answer
 * those again, whatever the machine does meanwhile, and no proof is made anew. {@code -Dlarge} proves all claims of all plants and their
 * variants, or with {@code -Dcase=knot-lane,fell-gate} of some, and asks about each proof; {@code
 * -Dstoplog.solver.steps=N} says after how many thousand steps the solver gives up, and {@code
 * -Dgolden.update} writes down what it answers then.
 */
class ProofsSolvedTest {
  private static final Path LIST = Path.of("src/test/corpus/proofs-solved.txt");

  /** Proofs that take more are asked about with {@code -Dlarge} only: a million take about a second. */
  private static final long MOST_LISTED_STEPS = 1_100_000;

  /** Fewer answers than this are no second opinion. */
  private static final int FEWEST_LISTED = 40;

  @Test
  void listedProofsAreFoundAgain() throws IOException {
    Map<String, KnownPlant> plants = new HashMap<>();
    KnownPlant.all("").forEach(k -> plants.put(k.name(), k));
    List<String> lines = Files.readAllLines(LIST);
    for (String line : lines) {
      String[] words = line.split(" ", 4);
      KnownPlant plant = plants.get(words[0]);
      assertNotNull(plant, line);
      assertEquals(false, plant.reachable().get(words[1]), line);
      int steps = 2_000 * Integer.parseInt(words[2]);
      List<String> kept = List.of(words[3].split(","));
      var answered =
          SolverJudge.decideKeeping(plant.model(), plant.model().claim(words[1]), kept, steps);
      assertEquals(SolverJudge.Answer.UNREACHABLE, answered.answer(), line);
    }
    assertTrue(lines.size() >= FEWEST_LISTED, "only " + lines.size() + " are listed");
  }

  @Test
  @EnabledIfSystemProperty(named = "large", matches = ".*")
  void everyProofIsAskedAbout() throws IOException {
    int steps = Integer.getInteger("stoplog.solver.steps", 2_000);
    var listed = new TreeSet<>(Files.readAllLines(LIST));
    for (KnownPlant plant : KnownPlant.all(System.getProperty("case", ""))) {
      var counts = new TreeMap<String, Integer>();
      var reads = new Reads(plant.model());
      listed.removeIf(line -> line.startsWith(plant.name() + " "));
      for (String id : plant.reachable().keySet()) {
        Claim claim = plant.model().claim(id);
        if (!(Decider.decide(reads, claim, budget(), Progress.NONE) instanceof Verdict.Proved p)) {
          counts.merge("no proof", 1, Integer::sum);
          continue;
        }
        var answered =
            SolverJudge.decideKeeping(plant.model(), claim, p.kept(), 1_000 * steps);
        counts.merge(answered.answer().toString(), 1, Integer::sum);
        assertNotEquals(SolverJudge.Answer.REACHABLE, answered.answer(), plant.name() + " " + id);
        boolean quick = answered.steps() <= MOST_LISTED_STEPS;
        if (plant.shipped() && quick && answered.answer() == SolverJudge.Answer.UNREACHABLE) {
          String took = " " + (answered.steps() / 1000 + 1) + " ";
          listed.add(plant.name() + " " + id + took + String.join(",", p.kept()));
        }
      }
      System.out.println(plant.name() + ": " + counts);
    }
    if (System.getProperty("golden.update") != null) {
      Files.write(LIST, listed);
    }
  }

  private static Budget budget() {
    return new Budget(20_000_000, 1L << 30, Duration.ofMinutes(2));
  }
}
