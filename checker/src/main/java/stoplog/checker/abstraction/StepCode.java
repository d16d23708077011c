package stoplog.checker.abstraction;

import stoplog.checker.explore.TimedSystem;

/**
 * Some steps of one system, in succession, as code written for them alone: what a hidden class of
 * {@link CompiledSteps} implements.
 *
 * <p>It has no state of its own, so that views of a system on several threads share it. The arrays are
 * the caller's: {@code out} has the words of a packed state, {@code scratch} as many as {@link
 * CompiledSteps#scratchWords}.
 */
interface StepCode {
  /**
   * Hands out the results of the steps, in their order, but of none that sleeps ({@link
   * Commuting}).
   */
  void steps(long[] state, long[] out, long[] scratch, TimedSystem.Sink sink, long asleep);

  /** Puts the numbers of the clocks that run into an array, ascending, and tells how many there are. */
  int running(long[] state, long[] scratch, int[] into);
}
