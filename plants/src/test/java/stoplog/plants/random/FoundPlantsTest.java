package stoplog.plants.random;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertNotNull;
import static org.junit.jupiter.api.Assertions.assertNull;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.stream.Stream;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.MethodSource;
import stoplog.dsl.PlantReader;
import stoplog.dsl.Reading;
import stoplog.model.Claim;
import stoplog.model.Model;

/**
 * Plants on which something was once wrong, one directory each: {@code plant.plant}, whose first
 * comment says what, and {@code verdicts.txt} with a line for each claim. {@code -Dcase=TEXT} runs
 * those whose name holds the text.
 */
class FoundPlantsTest {
  private static final Path FOUND = Path.of("src/test/corpus/found");
  private static final long MOST_STATES = 200_000;

  static List<Path> cases() throws IOException {
    String wanted = System.getProperty("case", "");
    try (Stream<Path> all = Files.list(FOUND)) {
      return all.filter(p -> p.getFileName().toString().contains(wanted)).sorted().toList();
    }
  }

  @ParameterizedTest
  @MethodSource("cases")
  void nothingIsWrongAnyMore(Path directory) throws IOException {
    Reading reading = PlantReader.read(directory.resolve("plant.plant"));
    Model model = reading.model();
    assertNotNull(model, () -> reading.diagnostics().toString());
    var verdicts = new StringBuilder();
    for (Claim c : model.claims()) {
      Comparison comparison = Comparison.of(model, c, MOST_STATES);
      assertNull(comparison.problem(), () -> c.id() + ":\n" + comparison.verdicts());
      verdicts.append(c.id()).append(' ').append(word(comparison.kind())).append('\n');
    }
    assertEquals(Files.readString(directory.resolve("verdicts.txt")), verdicts.toString());
  }

  private static String word(Comparison.Kind kind) {
    return switch (kind) {
      case REACHABLE -> "reachable";
      case UNREACHABLE -> "unreachable";
      case MAY_NOT_SETTLE -> "may not settle";
      case TOO_BIG -> "too big";
    };
  }
}
