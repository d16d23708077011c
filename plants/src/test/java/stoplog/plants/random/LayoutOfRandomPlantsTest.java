package stoplog.plants.random;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertNotNull;

import java.util.ArrayList;
import java.util.Random;
import net.jqwik.api.Example;
import net.jqwik.api.RandomGenerator;
import org.jspecify.annotations.Nullable;
import stoplog.diag.Diagnostic;
import stoplog.dsl.PlantReader;
import stoplog.dsl.format.Formatter;
import stoplog.model.Model;
import stoplog.model.ModelText;
import stoplog.source.SourceFile;

/**
 * The canonical layout of any plant is stable and means the same. {@code -Dstoplog.plants=N} sets N
 * plants.
 */
class LayoutOfRandomPlantsTest {
  @Example
  void layoutIsStableAndChangesNoModel() {
    int plants = Integer.getInteger("stoplog.plants", 1_000);
    RandomGenerator<SmallPlant> generator = SmallPlants.any(3).generator(1000);
    for (int number = 1; number <= plants; number++) {
      var random = new Random(number * 0x9E3779B97F4A7C15L);
      String text = PlantWriter.text(generator.next(random).value());
      String once = set(text);
      assertEquals(once, set(once));
      assertEquals(model(text), model(once), once);
    }
  }

  private static String set(String text) {
    var diagnostics = new ArrayList<Diagnostic>();
    String set = Formatter.format(new SourceFile("random.plant", text), diagnostics);
    assertNotNull(set, () -> text + diagnostics);
    return set;
  }

  private static @Nullable String model(String text) {
    Model model = PlantReader.read(new SourceFile("random.plant", text)).model();
    return model == null ? null : ModelText.of(model);
  }
}
