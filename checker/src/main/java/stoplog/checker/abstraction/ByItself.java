package stoplog.checker.abstraction;

import org.jspecify.annotations.Nullable;
import stoplog.checker.reference.Interpreter;
import stoplog.checker.reference.State;
import stoplog.model.Bound;
import stoplog.model.FieldChange;
import stoplog.model.Model;

/** What a plant does by itself in a run that is driven move by move: what its clocks bring about. */
final class ByItself {
  /** Ticks of a quantum in such a run: enough to tell an open end of a window from a closed one. */
  static final int TICKS = 2;

  private final Model model;
  private final Interpreter interpreter;
  private final boolean faults;

  /** @param faults whether faults that have their time strike too, as a scenario says */
  ByItself(Model model, Interpreter interpreter, boolean faults) {
    this.model = model;
    this.interpreter = interpreter;
    this.faults = faults;
  }

  /**
   * A change that its clock lets come now, and that is waited for no longer; null if there is none.
   *
   * @param quick whether what the process does not bring about comes as soon as it may, not as late
   */
  @Nullable FieldChange due(State state, boolean quick) {
    for (FieldChange c : model.changes()) {
      FieldChange.Timing t = c.timing();
      boolean excluded = c.cause() == FieldChange.Cause.FAULT && !faults;
      if (t == null || excluded || !state.isRunning(t.clock())) {
        continue;
      }
      Bound limit = model.clocks().get(t.clock()).limit();
      boolean last =
          limit != null
              && state.clockTicks(t.clock()) >= limit.quanta() * TICKS - (limit.closed() ? 0 : 1);
      boolean early = quick && c.cause() != FieldChange.Cause.PROCESS;
      if ((last || early) && interpreter.whyNotApply(state, c) == null) {
        return c;
      }
    }
    return null;
  }

  /** Ticks until another change's window opens; {@link Long#MAX_VALUE} if none will. */
  long untilNext(State state) {
    long least = Long.MAX_VALUE;
    for (FieldChange c : model.changes()) {
      FieldChange.Timing t = c.timing();
      if (t != null && state.isRunning(t.clock())) {
        Bound e = t.earliest();
        long opens = e.quanta() * TICKS + (e.closed() ? 0 : 1) - state.clockTicks(t.clock());
        least = opens > 0 ? Math.min(least, opens) : least;
      }
    }
    return least;
  }
}
