package stoplog.checker.reference;

import java.util.List;
import stoplog.model.Trace;

/** What came of following a trace. */
public sealed interface Replayed {
  /**
   * It is a run of the plant, and at its end the claim's condition has held for too long (unless the
   * claim asks for what can always be).
   *
   * @param start the state right after the start
   * @param moments one for every step of the trace
   * @param end the state at the trace's end
   */
  record Valid(State start, List<Moment> moments, State end) implements Replayed {
    public Valid {
      moments = List.copyOf(moments);
    }
  }

  /**
   * It is no run of the plant, or the claim's condition has not held for too long at its end.
   *
   * @param step index of the offending step; -1 for the start, the number of steps for the end
   * @param reason the rule that forbids it, a sentence without full stop
   */
  record Invalid(int step, String reason) implements Replayed {}

  /**
   * One step of a valid trace.
   *
   * @param before the state at its instant, before it
   * @param after the state at its instant, after it
   */
  record Moment(Trace.Step step, State before, State after) {
    /** When, in the trace's ticks. */
    public long tick() {
      return step.tick();
    }
  }
}
