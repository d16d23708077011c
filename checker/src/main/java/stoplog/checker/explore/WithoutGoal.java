package stoplog.checker.explore;

import java.util.Arrays;

/**
 * A system that is not searched for its goal but for all it can do. How long the goal's condition has
 * held matters to no future, so its clock, the last one, is left out.
 */
public final class WithoutGoal extends SystemBeneath {
  private final TimedSystem system;

  public WithoutGoal(TimedSystem system) {
    super(system);
    if (system.goalClock() != system.clocks() - 1) {
      throw new IllegalArgumentException("the goal's clock is not the last one");
    }
    this.system = system;
  }

  @Override
  public WithoutGoal forAnotherThread() {
    return new WithoutGoal(system.forAnotherThread());
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
}
