package stoplog.dsl;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Random;
import net.jqwik.api.ForAll;
import net.jqwik.api.Property;
import stoplog.diag.Diagnostic;
import stoplog.diag.JsonRenderer;
import stoplog.diag.TextRenderer;
import stoplog.source.SourceFile;

/** Whatever the text: a model or an error, never both, never neither, never an exception. */
class DamagedPlantTest {
  private static Reading read(String text) {
    return PlantReader.read(new SourceFile("x.plant", text));
  }

  @Property(tries = 300, seed = "4711")
  void aDamagedPlantGivesDiagnosticsOrAModel(@ForAll long seed) throws IOException {
    var random = new Random(seed);
    var text =
        new StringBuilder(
            Files.readString(Path.of("src/test/corpus/accept/sample-plant/plant.plant")));
    for (int damage = 1 + random.nextInt(4); damage > 0; damage--) {
      int from = random.nextInt(text.length());
      int to = Math.min(text.length(), from + random.nextInt(12));
      String put =
          new String[] {"", "}", "{", "\"", " ", ";", "(", "for", "x", "P-201", "\n", "--"}
              [random.nextInt(12)];
      text.replace(from, to, put);
    }
    Reading reading = read(text.toString());
    boolean errors = reading.diagnostics().stream().anyMatch(Diagnostic::isError);
    assertEquals(errors, reading.model() == null);
    assertFalse(new TextRenderer(true).render(reading.diagnostics()).contains("Exception"));
    assertTrue(new JsonRenderer().render(reading.diagnostics()).endsWith("]\n"));
  }

  @Property(tries = 300, seed = "4712")
  void anyTextGivesDiagnosticsOrAModel(@ForAll String text) {
    Reading reading = read(text);
    assertEquals(
        reading.diagnostics().stream().anyMatch(Diagnostic::isError), reading.model() == null);
  }
}
