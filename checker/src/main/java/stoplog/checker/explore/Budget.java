package stoplog.checker.explore;

import java.time.Duration;

/**
 * How much a question may cost before its answer is "undecided".
 *
 * @param states discrete states stored in one search, at most 500 million
 * @param bytes memory of the search's tables
 * @param time wall time of the whole question
 */
public record Budget(long states, long bytes, Duration time) {
  /** Enough for a plant of this kind on a small machine; half of the memory the process may use. */
  public static Budget standard() {
    return new Budget(20_000_000, Runtime.getRuntime().maxMemory() / 2, Duration.ofMinutes(5));
  }

  /** The same budget with fewer states. */
  public Budget withStates(long fewer) {
    return new Budget(Math.min(states, fewer), bytes, time);
  }
}
