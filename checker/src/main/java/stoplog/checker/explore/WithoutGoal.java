package stoplog.checker.explore;

import java.util.Arrays;
import org.jspecify.annotations.Nullable;
import stoplog.model.Bound;
import stoplog.model.FieldChange;

/**
 * A system that is not searched for its goal but for all it can do. How long the goal's condition has
 * held matters to no future, so its clock, the last one, is left out.
 */
public final class WithoutGoal implements TimedSystem {
  private final TimedSystem system;

  public WithoutGoal(TimedSystem system) {
    if (system.goalClock() != system.clocks() - 1) {
      throw new IllegalArgumentException("the goal's clock is not the last one");
    }
    this.system = system;
  }

  /** Whether the goal's condition holds in the state. */
  public boolean condition(long[] state) {
    int[] running = system.running(state);
    return running.length > 0 && running[running.length - 1] == system.goalClock();
  }

  @Override
  public int[] running(long[] state) {
    int[] running = system.running(state);
    int count = running.length;
    return count > 0 && running[count - 1] == system.goalClock()
        ? Arrays.copyOf(running, count - 1)
        : running;
  }

  @Override
  public int clocks() {
    return system.clocks() - 1;
  }

  @Override
  public int goalClock() {
    return -1;
  }

  @Override
  public long goalQuanta() {
    return 0;
  }

  @Override
  public boolean goal(long[] state) {
    return false;
  }

  @Override
  public int words() {
    return system.words();
  }

  @Override
  public int stepCount() {
    return system.stepCount();
  }

  @Override
  public @Nullable Bound limit(int clock) {
    return system.limit(clock);
  }

  @Override
  public FieldChange.@Nullable Timing timing(int step) {
    return system.timing(step);
  }

  @Override
  public int restarts(int step) {
    return system.restarts(step);
  }

  @Override
  public void starts(Sink sink) {
    system.starts(sink);
  }

  @Override
  public void successors(long[] state, Sink sink) {
    system.successors(state, sink);
  }

  @Override
  public boolean urgent(long[] state) {
    return system.urgent(state);
  }
}
