package stoplog.checker.evidence;

import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import stoplog.checker.reference.Replayed;
import stoplog.checker.reference.State;
import stoplog.model.Clock;
import stoplog.model.FieldChange;
import stoplog.model.Model;
import stoplog.model.Trace;

/**
 * For how long a run lets the timers run that take their time from an adjustable setpoint.
 *
 * <p>The model lets each use have a time of its own within the setpoint's window, since an operator may
 * edit it at any time. A run in which one value does for all uses of a setpoint needs no such edit.
 */
public final class SettingUses {
  /**
   * One use.
   *
   * @param setting the setpoint
   * @param step the step of the run that ends it; the number of steps if only the run's end does
   * @param ticks for how long the timer has run by then, in ticks of the run
   * @param elapsed whether it elapsed: then this is the time that was set, else no less was set
   */
  public record Use(String setting, int step, long ticks, boolean elapsed) {
    /** Whether one value of the setpoint does for both. */
    public boolean agrees(Use other) {
      if (elapsed && other.elapsed) {
        return ticks == other.ticks;
      }
      return elapsed ? other.ticks <= ticks : !other.elapsed || ticks <= other.ticks;
    }

    /** The same as a reader can make it out: an end "longer than" counts an instant over whole quanta. */
    public long told(int ticksPerQuantum) {
      return elapsed ? ticks : ticks / ticksPerQuantum * ticksPerQuantum;
    }

    /** Whether a reader sees that no one value does for both. */
    public boolean differs(Use other, int ticksPerQuantum) {
      return !agrees(other) && told(ticksPerQuantum) != other.told(ticksPerQuantum);
    }
  }

  private SettingUses() {}

  /**
   * The uses, each setpoint's in the order in which they end. O(steps * clocks).
   *
   * @param replayed what the reference interpreter made of the trace
   */
  public static Map<String, List<Use>> of(Model model, Trace trace, Replayed.Valid replayed) {
    Map<String, List<Use>> uses = new LinkedHashMap<>();
    List<Clock> set = model.clocks().stream().filter(c -> c.setting() != null).toList();
    List<Replayed.Moment> moments = replayed.moments();
    for (int i = 0; !set.isEmpty() && i < moments.size(); i++) {
      Replayed.Moment m = moments.get(i);
      int changed = m.step().change();
      FieldChange.Timing timing =
          m.step().isScan() ? null : model.changes().get(changed).timing();
      for (Clock c : set) {
        boolean elapsed = timing != null && timing.clock() == c.id();
        if (m.before().isRunning(c.id()) && (elapsed || !m.after().isRunning(c.id()))) {
          add(uses, c, i, m.before(), elapsed);
        }
      }
    }
    for (Clock c : set) {
      if (replayed.end().isRunning(c.id())) {
        add(uses, c, moments.size(), replayed.end(), false);
      }
    }
    return uses;
  }

  private static void add(
      Map<String, List<Use>> uses, Clock c, int step, State at, boolean elapsed) {
    String setting = java.util.Objects.requireNonNull(c.setting());
    uses.computeIfAbsent(setting, s -> new ArrayList<>())
        .add(new Use(setting, step, at.clockTicks(c.id()), elapsed));
  }
}
