package stoplog.plants;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import stoplog.model.Claim;
import stoplog.model.Model;
import stoplog.model.Verdict;

/**
 * How large a plant is and what its verdicts took, as it stands beside them: of each claim how many
 * variables carried it and how many states were looked at.
 *
 * <p>What is less than expected is welcome, and a little more no finding: how a verdict is found may
 * change. Much more is a loss that somebody should know of.
 */
final class PlantSizes {
  private static final Pattern LINE = Pattern.compile("(\\S+) (\\d+) variables?, (\\d+) states?");

  /** So many times what is expected is too much, with a few for what is small. */
  private static final int TOO_MANY_TIMES = 2;

  private static final int FEW_VARIABLES = 5;
  private static final int FEW_STATES = 300;

  private final List<String> lines = new ArrayList<>();

  PlantSizes(Model model) {
    lines.add(
        "plant " + counted(model.variables().size(), "variable") + ", "
            + counted(model.clocks().size(), "clock") + ", "
            + counted(model.claims().size(), "claim"));
  }

  void add(Claim claim, Verdict verdict) {
    lines.add(
        claim.id() + " " + counted(verdict.kept().size(), "variable") + ", "
            + counted(verdict.effort().states(), "state"));
  }

  private static String counted(long count, String thing) {
    return count + " " + thing + (count == 1 ? "" : "s");
  }

  void write(Path file) throws IOException {
    Files.writeString(file, String.join("\n", lines) + "\n");
  }

  /** Fails if the plant is another, or if something took much more. */
  void assertNotMuchMoreThan(Path file) {
    List<String> expected = PlantCase.text(file).lines().toList();
    assertEquals(expected.getFirst(), lines.getFirst());
    assertEquals(expected.size(), lines.size(), "claims in " + file);
    for (int i = 1; i < lines.size(); i++) {
      Matcher then = LINE.matcher(expected.get(i));
      Matcher now = LINE.matcher(lines.get(i));
      assertTrue(then.matches() && now.matches(), expected.get(i));
      assertEquals(then.group(1), now.group(1));
      String both = lines.get(i) + " instead of " + expected.get(i);
      assertTrue(number(now, 2) <= TOO_MANY_TIMES * number(then, 2) + FEW_VARIABLES, both);
      assertTrue(number(now, 3) <= TOO_MANY_TIMES * number(then, 3) + FEW_STATES, both);
    }
  }

  private static long number(Matcher line, int group) {
    return Long.parseLong(line.group(group));
  }
}
