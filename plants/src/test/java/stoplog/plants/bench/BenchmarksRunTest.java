package stoplog.plants.bench;

import java.io.IOException;
import java.nio.file.Path;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/** Each part of the benchmarks comes to its end on small plants. No time is asserted. */
class BenchmarksRunTest {
  @ParameterizedTest
  @ValueSource(strings = {"untimed", "alarms", "trains", "works", "edit", "threads", "solver"})
  void partComesToItsEnd(String part) throws IOException, InterruptedException {
    Benchmarks.run("quick", Path.of("target", "benchmarks-quick-" + part + ".txt"), part);
  }
}
