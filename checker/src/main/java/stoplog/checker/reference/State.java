package stoplog.checker.reference;

import java.util.Arrays;

/**
 * A state of the plant at one instant, and what the claim in question and the controller's reaction
 * time need to know of the past. Immutable; made by an {@link Interpreter}, whose ticks it counts in.
 */
public final class State {
  /** The reading of a clock that does not run. */
  public static final long NOT_RUNNING = -1;

  private final int[] values;
  private final long[] clockTicks;
  private final int due;
  private final long dueTicks;
  private final long conditionTicks;
  private final int faults;

  /** Takes the arrays over: the caller must not keep them. */
  State(
      int[] values, long[] clockTicks, int due, long dueTicks, long conditionTicks, int faults) {
    this.values = values;
    this.clockTicks = clockTicks;
    this.due = due;
    this.dueTicks = dueTicks;
    this.conditionTicks = conditionTicks;
    this.faults = faults;
  }

  /** The value of the variable with this index. */
  public int value(int variable) {
    return values[variable];
  }

  /** How long the clock with this index has run, or {@link #NOT_RUNNING}. */
  public long clockTicks(int clock) {
    return clockTicks[clock];
  }

  public boolean isRunning(int clock) {
    return clockTicks[clock] != NOT_RUNNING;
  }

  /** What the controller has not yet seen; see {@link stoplog.model.Controller}. */
  public int due() {
    return due;
  }

  /** How long a scan has been due, or {@link #NOT_RUNNING}. */
  public long dueTicks() {
    return dueTicks;
  }

  /** How long the claim's condition has held without a break, or {@link #NOT_RUNNING}. */
  public long conditionTicks() {
    return conditionTicks;
  }

  /** How many faults have struck. */
  public int faults() {
    return faults;
  }

  /** The values themselves, for evaluation; not to be written to. */
  int[] values() {
    return values;
  }

  /** The same state with other clock readings. */
  State withTicks(long[] clocks, long scan, long condition) {
    return new State(values, clocks, due, scan, condition, faults);
  }

  @Override
  public boolean equals(Object other) {
    return other instanceof State s
        && due == s.due
        && dueTicks == s.dueTicks
        && conditionTicks == s.conditionTicks
        && faults == s.faults
        && Arrays.equals(values, s.values)
        && Arrays.equals(clockTicks, s.clockTicks);
  }

  @Override
  public int hashCode() {
    int hash = Arrays.hashCode(values) * 31 + Arrays.hashCode(clockTicks);
    hash = hash * 31 + due;
    hash = hash * 31 + Long.hashCode(dueTicks);
    hash = hash * 31 + Long.hashCode(conditionTicks);
    return hash * 31 + faults;
  }

  @Override
  public String toString() {
    return "values " + Arrays.toString(values)
        + " clocks " + Arrays.toString(clockTicks)
        + " due " + due + " for " + dueTicks
        + " condition " + conditionTicks
        + " faults " + faults;
  }
}
