package stoplog.checker.evidence;

import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import org.jspecify.annotations.Nullable;
import stoplog.model.FieldChange;
import stoplog.model.Model;
import stoplog.model.Trace;
import stoplog.model.Variable;

/**
 * A run told by names instead of numbers, so that it can be tried on a plant that was edited since. It
 * means nothing there before it has been replayed.
 *
 * @param ticksPerQuantum as in {@link Trace}
 * @param start the value of each variable that does not start with the first it may start with
 * @param steps as in {@link Trace}
 * @param endTick as in {@link Trace}
 */
public record NamedRun(
    int ticksPerQuantum, Map<String, Integer> start, List<Step> steps, long endTick) {
  public NamedRun {
    start = Map.copyOf(start);
    steps = List.copyOf(steps);
  }

  /**
   * One step.
   *
   * @param change what the change is called; null for a scan
   * @param among how many changes of the model come before it that are called the same
   */
  public record Step(long tick, @Nullable String change, int among) {}

  /** O(model). */
  public static NamedRun of(Model model, Trace trace) {
    var start = new HashMap<String, Integer>();
    for (Variable v : model.variables()) {
      int value = trace.start().get(v.id());
      if (value != first(v)) {
        start.put(v.name(), value);
      }
    }
    var steps = new ArrayList<Step>();
    for (Trace.Step s : trace.steps()) {
      if (s.isScan()) {
        steps.add(new Step(s.tick(), null, 0));
      } else {
        String text = model.changes().get(s.change()).text();
        int among =
            (int) model.changes().subList(0, s.change()).stream().filter(c -> c.text().equals(text)).count();
        steps.add(new Step(s.tick(), text, among));
      }
    }
    return new NamedRun(trace.ticksPerQuantum(), start, steps, trace.endTick());
  }

  /** The run in this model; null if it lacks what happens in the run. O(model). */
  public @Nullable Trace in(Model model) {
    var changes = new HashMap<String, List<Integer>>();
    for (FieldChange c : model.changes()) {
      changes.computeIfAbsent(c.text(), t -> new ArrayList<>()).add(c.id());
    }
    var values = new ArrayList<Integer>();
    for (Variable v : model.variables()) {
      values.add(Math.min(start.getOrDefault(v.name(), first(v)), v.size() - 1));
    }
    var numbered = new ArrayList<Trace.Step>();
    for (Step s : steps) {
      if (s.change() == null) {
        numbered.add(new Trace.Step(s.tick(), Trace.Step.SCAN));
      } else {
        List<Integer> called = changes.getOrDefault(s.change(), List.of());
        if (s.among() >= called.size()) {
          return null;
        }
        numbered.add(new Trace.Step(s.tick(), called.get(s.among())));
      }
    }
    return new Trace(ticksPerQuantum, values, numbered, endTick);
  }

  private static int first(Variable v) {
    return Long.numberOfTrailingZeros(v.initial());
  }
}
