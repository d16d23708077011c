package stoplog.plants.judges;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertNotNull;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.EnumMap;
import java.util.HashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.TreeMap;
import java.util.TreeSet;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.condition.EnabledIfSystemProperty;
import stoplog.dsl.PlantReader;
import stoplog.model.Claim;
import stoplog.model.Model;
import stoplog.plants.PlantCase;

/**
 * The SMT library's fixed-point engine on the claims of shipped plants, of their variants with a mistake
 * and of the smallest plants from published rules, against the verdicts that stand beside them.
 *
 * <p>{@code solved.txt} lists the claims that it answers, with what it takes, in thousands of its own
 * steps: it has to answer those again, whatever the machine does meanwhile. {@code -Dlarge} asks it
 * about every claim there is, or with {@code -Dcase=knot-lane,fell-gate} about those of directories
 * whose path contains this; {@code -Dstoplog.solver.steps=N} says after how many thousand steps it
 * gives up, and {@code -Dgolden.update} writes down what it answers then.
 */
class SmallPlantsSolvedTest {
  private static final Path LIST = Path.of("src/test/corpus/solved.txt");
  private static final Path PUBLISHED = Path.of("src/test/corpus/outside");
  private static final List<String> SMALLEST =
      List.of("acid-hose", "bottom-valve", "fluoride-overdose");

  /** Fewer answers than this are no second opinion. */
  private static final int FEWEST_LISTED = 16;

  private final Map<SolverJudge.Answer, Integer> counts = new EnumMap<>(SolverJudge.Answer.class);

  /**
   * A plant and what is known of its claims.
   *
   * @param reachable for each claim about what can be reached whether its condition can
   */
  private record Known(String name, Model model, Map<String, Boolean> reachable) {}

  @Test
  void listedClaimsAreAnsweredAsTheVerdictsSay() throws IOException {
    Map<String, Known> plants = new HashMap<>();
    known("").forEach(k -> plants.put(k.name(), k));
    List<String> lines = Files.readAllLines(LIST);
    for (String line : lines) {
      String[] words = line.split(" ");
      Known plant = plants.get(words[0]);
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
    for (Known plant : known(System.getProperty("case", ""))) {
      var before = new EnumMap<>(counts);
      listed.removeIf(line -> line.startsWith(plant.name() + " "));
      for (String claim : plant.reachable().keySet()) {
        var answered =
            SolverJudge.decideWithin(plant.model(), plant.model().claim(claim), 1_000 * steps);
        String word = compared(plant, claim, answered);
        if (answered.answer() != SolverJudge.Answer.UNKNOWN) {
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
  private String compared(Known plant, String claim, SolverJudge.Counted answered) {
    counts.merge(answered.answer(), 1, Integer::sum);
    if (answered.answer() != SolverJudge.Answer.UNKNOWN) {
      assertEquals(
          plant.reachable().get(claim),
          answered.answer() == SolverJudge.Answer.REACHABLE,
          plant.name() + " " + claim);
    }
    return answered.answer().name().toLowerCase(Locale.ROOT);
  }

  private static List<Known> known(String wanted) throws IOException {
    List<String> parts = List.of(wanted.split(","));
    var all = new ArrayList<Known>();
    for (PlantCase c : PlantCase.all()) {
      var verdicts = new HashMap<String, Boolean>();
      for (String line : Files.readAllLines(c.verdicts())) {
        String[] words = line.split(" ");
        verdicts.put(words[0], words[1].matches("proved|holds"));
      }
      add(all, parts, c.toString(), c.directory(), verdicts);
    }
    for (String plant : SMALLEST) {
      add(all, parts, "published/" + plant, PUBLISHED.resolve(plant + ".plant"), Map.of());
    }
    return all;
  }

  /** @param verdicts whether a claim is good; where none stands, the plant's remarks say it */
  private static void add(
      List<Known> all, List<String> parts, String name, Path file, Map<String, Boolean> verdicts) {
    if (parts.stream().noneMatch(name::contains)) {
      return;
    }
    Model model = PlantReader.read(file).model();
    assertNotNull(model, name);
    var reachable = new TreeMap<String, Boolean>();
    for (Claim claim : model.claims()) {
      String remarks = String.join(" ", claim.basis().remarks());
      Boolean good = verdicts.getOrDefault(claim.id(), remarks.matches("published: (proved|holds)"));
      if (claim.kind() != Claim.Kind.ALWAYS_CAN) {
        reachable.put(claim.id(), claim.kind().wanted() == good);
      }
    }
    all.add(new Known(name, model, reachable));
  }
}
