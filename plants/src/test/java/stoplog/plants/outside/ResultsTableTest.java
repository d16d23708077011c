package stoplog.plants.outside;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;
import static org.junit.jupiter.api.Assumptions.assumeTrue;

import java.io.IOException;
import java.nio.file.Files;
import java.util.List;
import java.util.Set;
import java.util.TreeSet;
import org.junit.jupiter.api.Order;
import org.junit.jupiter.api.Test;

/**
 * Writes the table of all checks from outside and holds the README to it. Runs after them all. {@code
 * -Dgolden.update} puts the table into the README, to be read before it is committed.
 */
@Order(Integer.MAX_VALUE)
class ResultsTableTest {
  private static final Set<String> CHECKS =
      Set.of(
          "DosingWithoutFlowTest",
          "JobShopTest",
          "LargeCountsTest",
          "PublishedCountsTest",
          "PublishedPlantsTest",
          "SequenceEvolutionTest",
          "ShortestRunsTest",
          "TimedClassicsTest",
          "TimerWaveformsTest");

  @Test
  void readmeQuotesTheTableAsItComesOut() throws IOException {
    if (System.getProperty("test") != null) {
      assumeTrue(Results.recorders().equals(new TreeSet<>(CHECKS)), "only some checks were run");
    }
    assertEquals(new TreeSet<>(CHECKS), Results.recorders(), "checks that ran before this one");
    List<String> rows = Results.rows();
    Files.createDirectories(Results.TABLE.getParent());
    Files.writeString(Results.TABLE, Results.HEAD + String.join("\n", rows) + "\n");
    if (System.getProperty("golden.update") != null) {
      String ci = System.getenv("CI");
      assertTrue(ci == null || ci.isEmpty(), "nothing is updated in continuous integration");
      update(rows);
    }
    assertEquals(rows, Results.quoted());
  }

  private static void update(List<String> rows) throws IOException {
    String readme = Results.text(Results.README);
    int from = readme.indexOf(Results.HEAD) + Results.HEAD.length();
    int to = readme.indexOf("\n\n", from - 1);
    Files.writeString(
        Results.README, readme.substring(0, from) + String.join("\n", rows) + readme.substring(to));
  }
}
