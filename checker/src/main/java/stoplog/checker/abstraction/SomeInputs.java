package stoplog.checker.abstraction;

import java.util.BitSet;
import java.util.List;
import stoplog.checker.explore.SystemBeneath;

/**
 * The whole model with only some of its inputs, from chosen starts. Its runs are runs of the model; that
 * it has none says nothing.
 */
final class SomeInputs extends SystemBeneath {
  /** In place of a time: it is not asked for how long anything holds. */
  static final long FOR_NO_TIME = -1;

  private final KeptSystem whole;
  private final List<int[]> starts;
  private final BitSet left;
  private final long quanta;

  /**
   * @param starts values before the start assignments
   * @param left the steps that are left out
   * @param quanta how long the claim's condition is to hold
   */
  SomeInputs(KeptSystem whole, List<int[]> starts, BitSet left, long quanta) {
    super(whole);
    this.whole = whole;
    this.starts = starts;
    this.left = left;
    this.quanta = quanta;
  }

  @Override
  public SomeInputs forAnotherThread() {
    return new SomeInputs(whole.forAnotherThread(), starts, left, quanta);
  }

  @Override
  public void starts(Sink sink) {
    starts.forEach(initial -> whole.startsFrom(initial, sink));
  }

  @Override
  public void successors(long[] state, Sink sink) {
    whole.successors(
        state,
        (step, s) -> {
          if (!left.get(step)) {
            sink.edge(step, s);
          }
        });
  }

  @Override
  public int goalClock() {
    return quanta == FOR_NO_TIME ? -1 : super.goalClock();
  }

  @Override
  public long goalQuanta() {
    return Math.max(0, quanta);
  }
}
