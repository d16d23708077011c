package stoplog.checker.cli;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import org.junit.jupiter.api.Test;
import stoplog.checker.report.CheckRun;

/** What the README promises is what there is. */
final class ReadmeTest {
  @Test
  void continuousIntegrationRunsTheTestCommandOfTheReadme() throws IOException {
    String command = Files.readString(Path.of("../.ci/run")).lines().toList().getLast();
    assertEquals("mvn -B verify", command);
    assertTrue(Files.readString(Path.of("../README.md")).contains("\n    " + command + "\n"));
  }

  @Test
  void plantOfTheReadmeShips() throws IOException {
    assertTrue(
        Files.readString(Path.of("../README.md"))
            .contains("\n    checker/stoplog check plants/marram-point\n"));
    assertTrue(Files.isDirectory(Path.of("../plants/marram-point")));
  }

  @Test
  void cautionIsTheOneThatTheReportGives() throws IOException {
    String readme = Files.readString(Path.of("../README.md")).replaceAll("[\\s*]+", " ");
    String firstSentence = CheckRun.CAUTION.substring(0, CheckRun.CAUTION.indexOf(':'));
    assertTrue(readme.contains(firstSentence), firstSentence);
  }
}
