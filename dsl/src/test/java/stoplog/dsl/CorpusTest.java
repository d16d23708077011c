package stoplog.dsl;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;

import java.io.IOException;
import java.io.UncheckedIOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.stream.Stream;
import org.junit.jupiter.api.DynamicTest;
import org.junit.jupiter.api.TestFactory;
import stoplog.diag.TextRenderer;
import stoplog.model.ModelText;
import stoplog.model.Scenario;

/**
 * One case for each directory of the corpus. {@code -Dcase=TEXT} runs those whose path holds the
 * text; {@code -Dgolden.update} writes what comes out as what is expected, and is refused under CI.
 */
class CorpusTest {
  private static final Path CORPUS = Path.of("src/test/corpus");

  @TestFactory
  Stream<DynamicTest> everyCaseSaysWhatIsExpected() throws IOException {
    List<Path> cases;
    try (Stream<Path> tree = Files.walk(CORPUS, 2)) {
      String wanted = System.getProperty("case", "");
      cases =
          tree.filter(p -> p.getNameCount() == CORPUS.getNameCount() + 2)
              .filter(p -> p.toString().contains(wanted))
              .sorted()
              .toList();
    }
    return cases.stream()
        .map(c -> DynamicTest.dynamicTest(CORPUS.relativize(c).toString(), () -> run(c)));
  }

  private static void run(Path directory) throws IOException {
    boolean accept = directory.getParent().endsWith("accept");
    Path path = directory.resolve("path.txt");
    String plant = Files.exists(path) ? Files.readString(path).strip() : "plant.plant";
    Reading reading = PlantReader.read(plant.equals(".") ? directory : directory.resolve(plant));
    String said =
        new TextRenderer(false)
            .render(reading.diagnostics())
            .replace(directory + "/", "")
            .replace(directory.toString(), ".");
    assertEquals(accept, reading.model() != null, said);
    expect(directory.resolve("diagnostics.txt"), said);
    if (reading.model() != null) {
      var models = new StringBuilder(ModelText.of(reading.model()));
      for (Scenario scenario : reading.scenarios()) {
        String how = scenario.certain() ? " certain" : " possible";
        models.append("\nscenario ").append(scenario.id()).append(how).append("\n\n");
        models.append(ModelText.of(scenario.model()));
      }
      expect(directory.resolve("model.txt"), models.toString());
    }
  }

  private static void expect(Path file, String actual) {
    try {
      if (System.getProperty("golden.update") != null) {
        assertFalse(System.getenv().containsKey("CI"), "expected files are not written under CI");
        if (actual.isEmpty()) {
          Files.deleteIfExists(file);
        } else {
          Files.writeString(file, actual);
        }
      }
      assertEquals(Files.exists(file) ? Files.readString(file) : "", actual, file.toString());
    } catch (IOException e) {
      throw new UncheckedIOException(e);
    }
  }
}
