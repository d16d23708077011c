package stoplog.model;

import java.util.List;

/**
 * A concrete run with concrete times, from a start to the moment a claim's condition has held for too
 * long, or ({@link Claim.Kind#ALWAYS_CAN}) can no longer be reached. It means nothing until the
 * reference interpreter has replayed it.
 *
 * @param ticksPerQuantum the unit of its times: 1 quantum is this many ticks. More than 1 where the
 *     run needs times strictly between quanta.
 * @param start the value of every variable at the start, before reactions
 * @param steps what happens, in order
 * @param endTick when the condition has held for too long (later than its last step), or can no longer
 *     be reached (at its last step or later)
 */
public record Trace(int ticksPerQuantum, List<Integer> start, List<Step> steps, long endTick) {
  public Trace {
    start = List.copyOf(start);
    steps = List.copyOf(steps);
  }

  /**
   * One step.
   *
   * @param tick when, from the start of the run
   * @param change index of the field change, or {@link #SCAN}
   */
  public record Step(long tick, int change) {
    public static final int SCAN = -1;

    public boolean isScan() {
      return change == SCAN;
    }
  }
}
