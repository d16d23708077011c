package stoplog.plants.bench;

import static org.junit.jupiter.api.Assertions.assertEquals;

import java.io.BufferedReader;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.StandardOpenOption;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import org.junit.jupiter.api.Test;

/**
 * All benchmarks, or some of them ({@code -Dbenchmarks.parts=works,trains}), as a table on standard
 * output and in {@code target/benchmarks.txt}. Not among the tests that always run.
 */
class Benchmarks {
  /** What the large works may have; the others take what they need. */
  private static final Map<String, String> MEMORY = Map.of("works", "-Xmx1g");

  @Test
  void printsATable() throws IOException, InterruptedException {
    String parts = System.getProperty("benchmarks.parts", String.join(",", BenchmarkParts.ALL));
    run("full", Path.of("target", "benchmarks.txt"), parts.split(","));
  }

  /** Runs the parts one after the other; each must come to its end. */
  static void run(String extent, Path file, String... parts) throws IOException, InterruptedException {
    Files.deleteIfExists(file);
    for (String part : parts) {
      List<String> command =
          new ArrayList<>(
              List.of(
                  Path.of(System.getProperty("java.home"), "bin", "java").toString(),
                  MEMORY.getOrDefault(part, "-Xmx3g"),
                  "--enable-native-access=ALL-UNNAMED"));
      for (String name : List.of("benchmarks.tags", "benchmarks.solver", "benchmarks.claim", "benchmarks.works")) {
        if (System.getProperty(name) != null) {
          command.add("-D" + name + "=" + System.getProperty(name));
        }
      }
      command.addAll(
          List.of(
              "-cp", System.getProperty("java.class.path"), BenchmarkParts.class.getName(), part, extent));
      Process process = new ProcessBuilder(command).redirectErrorStream(true).start();
      try (BufferedReader lines = process.inputReader()) {
        for (String line = lines.readLine(); line != null; line = lines.readLine()) {
          System.out.println(line);
          Files.writeString(file, line + "\n", StandardOpenOption.CREATE, StandardOpenOption.APPEND);
        }
      }
      assertEquals(0, process.waitFor(), part);
    }
  }
}
