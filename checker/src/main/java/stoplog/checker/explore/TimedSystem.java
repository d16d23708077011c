package stoplog.checker.explore;

import java.util.function.BooleanSupplier;
import org.jspecify.annotations.Nullable;
import stoplog.model.Bound;
import stoplog.model.FieldChange;

/**
 * What a search walks through: packed discrete states, numbered steps between them, and clocks that
 * run in some states. Clocks are numbered from 0; the sets of running clocks are ascending.
 *
 * <p>A clock that runs before and after a step runs on, unless the step {@link #restarts} it; a clock
 * that runs only afterwards starts at 0.
 */
public interface TimedSystem {
  /** Words of a packed state. */
  int words();

  int clocks();

  /** Steps are numbered from 0 to this, exclusive. */
  int stepCount();

  /** The deadline of a clock, or {@code null}. */
  @Nullable Bound limit(int clock);

  /** The window a step waits for, with a clock of this system, or {@code null}. */
  FieldChange.@Nullable Timing timing(int step);

  /** The clock that this step starts afresh even if it ran before, or -1. */
  int restarts(int step);

  /** Hands every start state to the sink, as step -1. */
  void starts(Sink sink);

  /** Hands every step from the state to the sink. The sink may see an edge twice. */
  void successors(long[] state, Sink sink);

  /**
   * Hands every step from the state to the sink, but those that sleep, as {@link #sleepSets} says,
   * may be left out.
   */
  default void successors(long[] state, long asleep, Sink sink) {
    successors(state, sink);
  }

  /** Which steps need not be taken from a state; null as long as nothing is known of that. */
  default @Nullable SleepSets sleepSets() {
    return null;
  }

  /** The clocks that run in the state. */
  int[] running(long[] state);

  /** Whether no time may pass in the state. */
  boolean urgent(long[] state);

  /** The clock that must exceed {@link #goalQuanta} for the search to have found what it looks for; -1 for none. */
  int goalClock();

  long goalQuanta();

  /** Whether the goal counts in this state, its clock running there. */
  boolean goal(long[] state);

  /** Whether {@link #goal} is known to be true of every state. */
  default boolean goalCountsEverywhere() {
    return false;
  }

  /**
   * From here on whoever works out steps may ask this now and then, and end with {@link CutShort} if so. A
   * system whose steps take little time need not.
   */
  default void giveUpWhen(BooleanSupplier over) {}

  /** The same system for another thread: shares with this one only what never changes. */
  TimedSystem forAnotherThread();

  /** Receives states; the array is reused by the caller. */
  interface Sink {
    void edge(int step, long[] state);
  }
}
