package stoplog.checker.abstraction;

import stoplog.checker.explore.Budget;
import stoplog.checker.explore.Progress;
import stoplog.checker.explore.Search;
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

  /** Searches all states of a whole model, without a claim, until they are exhausted or the budget is. */
  public static Search search(Model model, Budget budget, Progress progress) {
    var reads = new Reads(model);
    Kept everything = Kept.everything(reads);
    var search =
        new Search(
            new KeptSystem(reads, null, everything),
            Search.Zoning.FOR_REACHING,
            budget,
            System.nanoTime() + budget.time().toNanos(),
            progress,
            model.name(),
            everything.size());
    search.run();
    return search;
  }
}
