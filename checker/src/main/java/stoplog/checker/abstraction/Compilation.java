package stoplog.checker.abstraction;

import java.util.function.Supplier;
import org.jspecify.annotations.Nullable;

/**
 * Has the steps of a system compiled once, for all views of it, as soon as it is worth it: small
 * proofs never pay for it. Safe for several threads.
 */
final class Compilation {
  /** After how many states a search has its steps compiled. */
  private static final int WORTH_AFTER = 5_000;

  private final Supplier<CompilableSystem> system;
  private final int worthAfter;
  private @Nullable CompiledSteps steps;

  /**
   * The system property {@code stoplog.compileAfter} lets tests compile at once or never.
   *
   * @param system what is to be compiled; asked for once
   */
  Compilation(Supplier<CompilableSystem> system) {
    this.system = system;
    this.worthAfter = Integer.getInteger("stoplog.compileAfter", WORTH_AFTER);
  }

  /** Whether a view of the system that has expanded so many states gains by compiled steps. */
  boolean isWorthIt(int expanded) {
    return expanded > worthAfter;
  }

  /** The compiled steps. */
  synchronized CompiledSteps steps() {
    if (steps == null) {
      steps = CompiledSteps.of(system.get());
    }
    return steps;
  }
}
