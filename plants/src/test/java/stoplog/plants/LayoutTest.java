package stoplog.plants;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.stream.Stream;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.MethodSource;
import stoplog.diag.Diagnostic;
import stoplog.dsl.format.Formatter;
import stoplog.source.SourceFile;

/**
 * Plants to start from, and those a reader compares with a source, have the canonical layout: what
 * {@code checker/stoplog format FILE} writes. Variants have that of the plant they vary, and may be off
 * it by their mistake.
 */
class LayoutTest {
  static List<Path> files() throws IOException {
    var files = new ArrayList<Path>();
    for (PlantCase plant : PlantFilesTest.shipped()) {
      files.addAll(below(plant.directory()));
    }
    files.addAll(below(Path.of("src/test/corpus/outside")));
    assertTrue(files.size() > 30, "files " + files);
    return files;
  }

  private static List<Path> below(Path directory) throws IOException {
    try (Stream<Path> files = Files.walk(directory)) {
      return files
          .filter(f -> f.toString().endsWith(".plant") && !f.toString().contains("/defects/"))
          .sorted()
          .toList();
    }
  }

  @ParameterizedTest
  @MethodSource("files")
  void hasTheCanonicalLayout(Path file) {
    String text = PlantCase.text(file);
    var diagnostics = new ArrayList<Diagnostic>();
    assertEquals(text, Formatter.format(new SourceFile(file.toString(), text), diagnostics));
    assertEquals(List.of(), diagnostics);
  }
}
