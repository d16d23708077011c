package stoplog.plants.judges;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertNotNull;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.EnumMap;
import java.util.HashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.TreeSet;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.condition.EnabledIfSystemProperty;

/**
 * The SMT library's fixed-point engine on the claims of shipped plants, of their variants with a mistake
 * and of the plants from published rules, against the verdicts that stand beside them.
 *
 * <p>{@code solved.txt} lists the claims that it answers, with what it takes, in thousands of its own
 * steps: it has to answer those again, whatever the machine does meanwhile. {@code -Dlarge} asks it
 * about every claim there is, or with {@code -Dcase=knot-lane,fell-gate} about those of directories
 * whose path contains this; {@code -Dstoplog.solver.steps=N} says after how many thousand steps it
 * gives up, and {@code -Dgolden.update} writes down what it answers then.
 */
class SmallPlantsSolvedTest {
  private static final Path LIST = Path.of("src/test/corpus/solved.txt");

  /** Answers that take more are not listed, twice that for plants that ship: a million take about a second. */
  private static final long MOST_LISTED_STEPS = 1_200_000;

  /** Fewer answers than this are no second opinion. */
  private static final int FEWEST_LISTED = 30;

  private final Map<SolverJudge.Answer, Integer> counts = new EnumMap<>(SolverJudge.Answer.class);

  @Test
  void listedClaimsAreAnsweredAsTheVerdictsSay() throws IOException {
    Map<String, KnownPlant> plants = new HashMap<>();
    KnownPlant.all("").forEach(k -> plants.put(k.name(), k));
    List<String> lines = Files.readAllLines(LIST);
    for (String line : lines) {
      String[] words = line.split(" ");
      KnownPlant plant = plants.get(words[0]);
      assertNotNull(plant, line);
      int steps = 2_000 * Integer.parseInt(words[3]);
      var answered = SolverJudge.decideWithin(plant.model(), plant.model().claim(words[1]), steps);
      assertEquals(words[2], compared(plant, words[1], answered), line);
    }
    System.out.println(lines.size() + " listed claims, the solver says " + counts);
    assertTrue(lines.size() >= FEWEST_LISTED, "only " + lines.size() + " are listed");
    assertTrue(counts.containsKey(SolverJudge.Answer.UNREACHABLE), "none of them unreachable");
    assertTrue(counts.containsKey(SolverJudge.Answer.REACHABLE), "none of them reachable");
  }

  @Test
  @EnabledIfSystemProperty(named = "large", matches = ".*")
  void everyClaimIsAsked() throws IOException {
    int steps = Integer.getInteger("stoplog.solver.steps", 1_000);
    var listed = new TreeSet<>(Files.readAllLines(LIST));
    for (KnownPlant plant : KnownPlant.all(System.getProperty("case", ""))) {
      var before = new EnumMap<>(counts);
      listed.removeIf(line -> line.startsWith(plant.name() + " "));
      for (String claim : plant.reachable().keySet()) {
        var answered =
            SolverJudge.decideWithin(plant.model(), plant.model().claim(claim), 1_000 * steps);
        String word = compared(plant, claim, answered);
        boolean quick = answered.steps() <= (plant.shipped() ? 2 : 1) * MOST_LISTED_STEPS;
        if (quick && answered.answer() != SolverJudge.Answer.UNKNOWN) {
          listed.add(plant.name() + " " + claim + " " + word + " " + (answered.steps() / 1000 + 1));
        }
      }
      System.out.println(plant.name() + ": " + before + " -> " + counts);
    }
    System.out.println("within " + steps + " thousand steps the solver says " + counts);
    if (System.getProperty("golden.update") != null) {
      Files.write(LIST, listed);
    }
  }

  /** The solver's answer in one word, which fails if a verdict says otherwise. */
  private String compared(KnownPlant plant, String claim, SolverJudge.Counted answered) {
    counts.merge(answered.answer(), 1, Integer::sum);
    if (answered.answer() != SolverJudge.Answer.UNKNOWN) {
      assertEquals(
          plant.reachable().get(claim),
          answered.answer() == SolverJudge.Answer.REACHABLE,
          plant.name() + " " + claim);
    }
    return answered.answer().name().toLowerCase(Locale.ROOT);
  }
}
