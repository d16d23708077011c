package stoplog.plants.random;

import java.util.List;
import stoplog.plants.random.SmallPlant.Said;
import stoplog.plants.random.SmallPlant.Window;

/**
 * A construct of the language that a random plant may have beside its machines, with what can be said
 * about it elsewhere in the plant. Its names end in {@code n}.
 */
sealed interface Extra permits ProcessExtra, EquipmentExtra, LogicExtra {
  /** What may be said of its truth: things, and forms of each. */
  default List<List<String>> truth(String n) {
    return List.of();
  }

  /** What the logic may say of it. */
  default List<List<String>> field(String n) {
    return List.of();
  }

  void write(String n, Lines lines);

  /** Where an extra writes itself, and how it says conditions. */
  interface Lines {
    void process(String line);

    void panel(String line);

    void logic(String line);

    /** A condition over the truth. */
    String truth(Said said);

    /** A condition over what the logic sees. */
    String field(Said said);

    default String window(Window w, String unit) {
      return w.low() + ".." + (w.low() + w.more()) + " " + unit;
    }
  }
}
