package stoplog.plants.random;

import java.util.ArrayList;
import java.util.List;
import java.util.Random;
import stoplog.model.Model;
import stoplog.model.Variable;

/** Starts of random walks. */
final class Starts {
  private Starts() {}

  /** Some value that it may start with, for every variable. */
  static List<Integer> any(Model model, Random random) {
    var values = new ArrayList<Integer>();
    for (Variable v : model.variables()) {
      int value = random.nextInt(v.size());
      while ((v.initial() >>> value & 1) == 0) {
        value = random.nextInt(v.size());
      }
      values.add(value);
    }
    return values;
  }
}
