package stoplog.plants.random;

import java.util.Random;
import net.jqwik.api.RandomGenerator;
import stoplog.dsl.PlantReader;
import stoplog.model.Model;
import stoplog.source.SourceFile;

/** Random small plants one after the other, the same ones in every run. */
final class PlantStream {
  private final RandomGenerator<SmallPlant> plants = SmallPlants.any(1).generator(1000);
  private int number;
  private String text = "";

  Model next() {
    number++;
    var random = new Random(number * 0x9E3779B97F4A7C15L);
    text = PlantWriter.text(plants.next(random).value());
    Model model = PlantReader.read(new SourceFile("random.plant", text)).model();
    if (model == null) {
      throw new AssertionError(text());
    }
    return model;
  }

  /** The plant handed out last, as it is written. */
  String text() {
    return "plant " + number + "\n" + text;
  }
}
