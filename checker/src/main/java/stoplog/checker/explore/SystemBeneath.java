package stoplog.checker.explore;

import java.util.function.BooleanSupplier;
import org.jspecify.annotations.Nullable;
import stoplog.model.Bound;
import stoplog.model.FieldChange;

/** A system seen through another: what a subclass does not say otherwise is as in the one beneath. */
public abstract class SystemBeneath implements TimedSystem {
  private final TimedSystem beneath;

  protected SystemBeneath(TimedSystem beneath) {
    this.beneath = beneath;
  }

  @Override
  public int words() {
    return beneath.words();
  }

  @Override
  public int clocks() {
    return beneath.clocks();
  }

  @Override
  public int stepCount() {
    return beneath.stepCount();
  }

  @Override
  public @Nullable Bound limit(int clock) {
    return beneath.limit(clock);
  }

  @Override
  public FieldChange.@Nullable Timing timing(int step) {
    return beneath.timing(step);
  }

  @Override
  public int restarts(int step) {
    return beneath.restarts(step);
  }

  @Override
  public void giveUpWhen(BooleanSupplier over) {
    beneath.giveUpWhen(over);
  }

  @Override
  public void starts(Sink sink) {
    beneath.starts(sink);
  }

  @Override
  public void successors(long[] state, Sink sink) {
    beneath.successors(state, sink);
  }

  @Override
  public int[] running(long[] state) {
    return beneath.running(state);
  }

  @Override
  public boolean urgent(long[] state) {
    return beneath.urgent(state);
  }

  @Override
  public int goalClock() {
    return beneath.goalClock();
  }

  @Override
  public long goalQuanta() {
    return beneath.goalQuanta();
  }

  @Override
  public boolean goal(long[] state) {
    return beneath.goal(state);
  }
}
