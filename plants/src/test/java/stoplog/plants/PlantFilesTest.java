package stoplog.plants;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.ArrayList;
import java.util.List;
import java.util.Set;
import java.util.TreeSet;
import java.util.regex.Pattern;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.MethodSource;

/** What has to stand beside a plant, and nothing else. Decides nothing. */
class PlantFilesTest {
  /** A mistake is a slip of a line or two, not another plant. */
  private static final int MOST_LINES_OF_A_MISTAKE = 2;

  static List<PlantCase> plants() {
    return PlantCase.all();
  }

  static List<PlantCase> shipped() {
    return PlantCase.all().stream().filter(PlantCase::isShipped).toList();
  }

  static List<PlantCase> variants() {
    return PlantCase.all().stream().filter(c -> !c.isShipped()).toList();
  }

  @Test
  void everyShippedPlantHasVariantsWithMistakes() {
    assertFalse(plants().isEmpty());
    for (PlantCase plant : plants()) {
      long count = variants().stream().filter(v -> v.shipped().equals(plant.shipped())).count();
      assertTrue(count >= 5, plant.shipped() + " has " + count + " variants");
    }
  }

  @ParameterizedTest
  @MethodSource("plants")
  void nothingLiesAroundUnread(PlantCase plant) {
    Set<String> expected =
        new TreeSet<>(
            List.of(plant.plant().getFileName().toString(), "README.md", "verdicts.txt", "traces"));
    if (plant.isShipped()) {
      expected.add("defects");
      expected.add("sizes.txt");
    }
    if (plant.stories().isEmpty()) {
      expected.remove("traces");
    }
    if (plant.wholeText().contains("include \"parts/")) {
      expected.add("parts");
    }
    assertEquals(expected, plant.entries());
  }

  @ParameterizedTest
  @MethodSource("plants")
  void verdictsAreWordsOfWhatIsDecided(PlantCase plant) {
    for (String line : PlantCase.text(plant.verdicts()).lines().toList()) {
      assertTrue(
          line.matches(
              "H-\\d+ (proved|reachable)|R-\\d+ (holds|broken|proved|reachable)|S-\\d+ (shown|failed)"),
          line);
    }
  }

  @ParameterizedTest
  @MethodSource("plants")
  void onlyMistakesFail(PlantCase plant) {
    assertEquals(plant.isShipped(), failing(plant).isEmpty());
  }

  /** A limit is worth what it leans on; that nothing stands behind it is to be said too. */
  @ParameterizedTest
  @MethodSource("shipped")
  void readmeNamesStandardsOrSaysThatThereAreNone(PlantCase plant) {
    String[] parts = PlantCase.text(plant.readme()).split("(?m)^## Standards$");
    assertEquals(2, parts.length, "sections on standards");
    String standards = parts[1].replaceFirst("(?ms)^## .*", "");
    assertTrue(
        Pattern.compile("\\d{3}|common practice, no source|from memory").matcher(standards).find(),
        standards);
  }

  @ParameterizedTest
  @MethodSource("variants")
  void readmeOfAMistakeNamesWhatFails(PlantCase variant) {
    String fails = "Fails: " + String.join(", ", failing(variant)) + ".";
    assertTrue(PlantCase.text(variant.readme()).contains(fails), fails);
  }

  /** So that a change of the shipped plant cannot be forgotten in a variant. */
  @ParameterizedTest
  @MethodSource("variants")
  void variantDiffersInItsMistakeOnly(PlantCase variant) {
    assertEquals(
        variant.plant().getFileName(), variant.shippedCase().plant().getFileName());
    List<String> theirs = variant.wholeText().lines().toList();
    List<String> ours = variant.shippedCase().wholeText().lines().toList();
    int kept = longestCommon(ours, theirs);
    int taken = ours.size() - kept;
    int given = theirs.size() - kept;
    assertTrue(taken + given > 0, "no mistake at all");
    assertTrue(
        taken <= MOST_LINES_OF_A_MISTAKE && given <= MOST_LINES_OF_A_MISTAKE,
        taken + " lines taken out, " + given + " put in");
  }

  private static List<String> failing(PlantCase plant) {
    List<String> failing = new ArrayList<>();
    for (String line : PlantCase.text(plant.verdicts()).lines().toList()) {
      String[] words = line.split(" ");
      if (Set.of("reachable", "broken", "failed").contains(words[1])) {
        failing.add(words[0]);
      }
    }
    return failing;
  }

  /** How many lines the longest common subsequence has. */
  private static int longestCommon(List<String> a, List<String> b) {
    int[][] length = new int[a.size() + 1][b.size() + 1];
    for (int i = a.size() - 1; i >= 0; i--) {
      for (int j = b.size() - 1; j >= 0; j--) {
        length[i][j] =
            a.get(i).equals(b.get(j))
                ? 1 + length[i + 1][j + 1]
                : Math.max(length[i + 1][j], length[i][j + 1]);
      }
    }
    return length[0][0];
  }
}
