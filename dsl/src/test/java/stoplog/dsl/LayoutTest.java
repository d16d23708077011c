package stoplog.dsl;

import static org.junit.jupiter.api.Assertions.assertFalse;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.Map;
import java.util.stream.Stream;
import org.junit.jupiter.api.Test;

/** Which package of the language may know which. */
class LayoutTest {
  private static final Path SOURCES = Path.of("src/main/java/stoplog/dsl");

  /** What the sources of each package never name. */
  private static final Map<String, List<String>> NEVER =
      Map.of(
          "tree", List.of("org.antlr", "dsl.syntax", "dsl.resolve", "dsl.rules", "dsl.lower"),
          "kinds", List.of("org.antlr", "dsl.tree", "dsl.syntax", "dsl.resolve", "dsl.lower"),
          "syntax", List.of("dsl.resolve", "dsl.rules", "dsl.lower", "dsl.kinds"),
          "resolve", List.of("org.antlr", "dsl.syntax", "dsl.rules", "dsl.lower"),
          "rules", List.of("org.antlr", "dsl.syntax", "dsl.lower"),
          "lower", List.of("org.antlr", "dsl.syntax", "dsl.rules"));

  @Test
  void packagesKnowOnlyWhatStandsBeforeThem() throws IOException {
    for (Map.Entry<String, List<String>> e : NEVER.entrySet()) {
      for (Path file : sources(e.getKey())) {
        String text = Files.readString(file);
        for (String never : e.getValue()) {
          assertFalse(text.contains("import " + never), file + " knows " + never);
          assertFalse(text.contains("import stoplog." + never), file + " knows " + never);
        }
      }
    }
  }

  @Test
  void noKindOfEquipmentIsKnownOutsideItsTable() throws IOException {
    for (String part : List.of("syntax", "resolve", "rules", "lower")) {
      for (Path file : sources(part)) {
        String text = Files.readString(file);
        assertFalse(text.contains("\"valve\"") || text.contains("\"pump\""), file.toString());
      }
    }
  }

  private static List<Path> sources(String part) throws IOException {
    try (Stream<Path> files = Files.list(SOURCES.resolve(part))) {
      return files.filter(f -> f.toString().endsWith(".java")).toList();
    }
  }
}
