package stoplog.checker.abstraction;

import stoplog.checker.explore.StateCount;
import stoplog.model.Model;

/** Measures of a whole model, nothing hidden. */
public final class WholeModel {
  private WholeModel() {}

  /**
   * Counts the discrete states of a model without clocks and without claims' monitors.
   *
   * @throws IllegalArgumentException if the model has clocks or a controller that takes time to react
   * @throws IllegalStateException if there are more than {@code most} states
   */
  public static StateCount count(Model model, long most) {
    var reads = new Reads(model);
    return StateCount.of(new KeptSystem(reads, null, Kept.everything(reads)), most);
  }
}
