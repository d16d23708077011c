package stoplog.checker.abstraction;

import java.util.function.Supplier;
import org.jspecify.annotations.Nullable;

/**
 * Has the steps of a system compiled once, for all views of it, as soon as it is worth it: small
 * proofs never pay for it. Safe for several threads.
 *
 * <p>Measured on nets and puzzles, compiling pays from about 4,500 states of a search on, whether the
 * Java machine is warm or not; the helping searches that may see 2,000 states at most never do it. For
 * a large plant both what an interpreted step takes and what compiling takes grow, but an interpreted
 * step often ends at its guard: so the more code, the later.
 */
final class Compilation {
  /** After how many states of one search by one thread its steps are compiled at the earliest. */
  private static final int WORTH_AFTER = 2_000;

  /** How many nodes of expressions are compiled for each state that has been seen. */
  private static final int NODES_PER_STATE = 20;

  private final Supplier<CompilableSystem> system;
  private final int worthAfter;
  private int nodes = -1;
  private @Nullable CompiledSteps steps;

  /**
   * The system property {@code stoplog.compileAfter} lets tests compile at once or never.
   *
   * @param system what is to be compiled
   */
  Compilation(Supplier<CompilableSystem> system) {
    this.system = system;
    this.worthAfter = Integer.getInteger("stoplog.compileAfter", WORTH_AFTER);
  }

  /** Whether a view of the system that has expanded so many states gains by compiled steps. */
  boolean isWorthIt(int expanded) {
    return expanded > worthAfter
        && (worthAfter != WORTH_AFTER || expanded > nodes() / NODES_PER_STATE);
  }

  private synchronized int nodes() {
    if (nodes < 0) {
      nodes = CompiledSteps.nodes(system.get());
    }
    return nodes;
  }

  /** The compiled steps. */
  synchronized CompiledSteps steps() {
    if (steps == null) {
      steps = CompiledSteps.of(system.get());
    }
    return steps;
  }
}
