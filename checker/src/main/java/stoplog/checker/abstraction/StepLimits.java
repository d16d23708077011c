package stoplog.checker.abstraction;

import java.util.function.BooleanSupplier;
import stoplog.checker.explore.CutShort;

/**
 * How much may be done for one step from one state before it is cut short.
 *
 * @param tried operations carried out one choice after the other
 * @param nodes of the diagrams that follow all choices at once; then choices are tried
 * @param told values of different results that are told apart, all together
 * @param over whether there is no time left; asked now and then
 */
record StepLimits(long tried, int nodes, int told, BooleanSupplier over) {
  /** Some seconds, and 64 MiB of results. */
  static final StepLimits STANDARD =
      new StepLimits(50_000_000, Diagram.MOST_NODES, 1 << 24, () -> false);

  /** Milliseconds, where it is tried whether a search is easy. */
  static final StepLimits EASY = new StepLimits(100_000, 1 << 16, 1 << 18, () -> false);

  private static final String OVER = "the time budget is used up, or the run was interrupted";

  StepLimits withNodes(int fewer) {
    return new StepLimits(tried, Math.min(nodes, fewer), told, over);
  }

  StepLimits until(BooleanSupplier end) {
    return new StepLimits(tried, nodes, told, end);
  }

  /** @throws CutShort if there is no time left */
  void check() {
    if (over.getAsBoolean()) {
      throw new CutShort(OVER);
    }
  }

  static CutShort tooManyChoices() {
    return new CutShort("a step has more choices than are tried");
  }
}
