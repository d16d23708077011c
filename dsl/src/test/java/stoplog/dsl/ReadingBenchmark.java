package stoplog.dsl;

import java.util.ArrayList;
import java.util.function.IntFunction;
import org.junit.jupiter.api.Test;
import stoplog.dsl.format.Formatter;
import stoplog.dsl.syntax.TreeReader;
import stoplog.source.SourceFile;

/**
 * How long it takes to read, to lower and to set plants of 1,000, 3,000 and 10,000 tags, written out
 * and by templates. Not among the tests that always run; its command is in {@code DEVELOPERS.md}.
 * Linear time shows as ratios of 3.0 and 3.3; {@link LinearTimeTest} guards it.
 */
class ReadingBenchmark {
  private static final int[] TAGS = {1_000, 3_000, 10_000};
  private static final int ROUNDS = 7;

  @Test
  void printsATable() {
    System.out.printf(
        "%n%-12s %7s | %9s %6s | %9s %6s | %9s %6s%n",
        "plant", "tags", "parsed", "ratio", "lowered", "ratio", "set", "ratio");
    table("written out", LinearTimeTest::plant);
    table("templates", LinearTimeTest::trains);
  }

  private static void table(String how, IntFunction<String> plant) {
    measure(plant.apply(TAGS[0]));
    double[] before = {};
    for (int tags : TAGS) {
      double[] now = measure(plant.apply(tags));
      var line = new StringBuilder("%-12s %,7d".formatted(how, tags));
      for (int i = 0; i < now.length; i++) {
        String ratio = before.length == 0 ? "" : "%.1f".formatted(now[i] / before[i]);
        line.append(" | %6.1f ms %6s".formatted(now[i], ratio));
      }
      System.out.println(line);
      before = now;
    }
  }

  /** The best of some rounds, in ms: to the syntax tree; from text to model; to the layout. */
  private static double[] measure(String text) {
    var file = new SourceFile("big.plant", text);
    double[] best = {Double.MAX_VALUE, Double.MAX_VALUE, Double.MAX_VALUE};
    for (int round = 0; round < ROUNDS; round++) {
      Runnable[] parts = {
        () -> TreeReader.read(file, new ArrayList<>()),
        () -> PlantReader.read(file),
        () -> Formatter.format(file, new ArrayList<>())
      };
      for (int i = 0; i < parts.length; i++) {
        long start = System.nanoTime();
        parts[i].run();
        best[i] = Math.min(best[i], (System.nanoTime() - start) / 1e6);
      }
    }
    return best;
  }
}
