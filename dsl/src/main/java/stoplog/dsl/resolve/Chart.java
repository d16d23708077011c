package stoplog.dsl.resolve;

import java.util.ArrayList;
import java.util.List;
import org.jspecify.annotations.Nullable;
import stoplog.dsl.tree.Word;
import stoplog.source.Span;

/**
 * A sequence after IEC 60848, its macros put in their places. Steps are known by their index.
 *
 * @param holds while one of these holds, no transition is cleared and no action is asked for
 * @param aborts the first whose condition holds decides
 * @param whole whether everything in it could be read; if not, nothing can be said of what is
 *     missing
 */
public record Chart(
    Symbol.Sequence sequence,
    List<Step> steps,
    List<Transition> transitions,
    List<Term> holds,
    List<Abort> aborts,
    List<Action> actions,
    boolean whole,
    Span span)
    implements Statement {
  public Chart {
    steps = List.copyOf(steps);
    transitions = List.copyOf(transitions);
    holds = List.copyOf(holds);
    aborts = List.copyOf(aborts);
    actions = List.copyOf(actions);
  }

  /**
   * @param name as told to a person: {@code drain}, or {@code rinse.fill} for one of a macro
   * @param word where it was written
   */
  public record Step(String name, String text, boolean initial, Word word) {}

  /**
   * @param when {@code null} for always
   * @param after how long all of {@code from} must have been active; {@code null} for no time
   */
  public record Transition(
      List<Integer> from,
      List<Integer> to,
      @Nullable Term when,
      @Nullable TimeWindow after,
      Span span) {
    public Transition {
      from = List.copyOf(from);
      to = List.copyOf(to);
    }
  }

  /** Whatever is active, only {@code to} is from then on. */
  public record Abort(int to, Term when) {}

  /** What is done while one of some steps is active, or when that begins or ends. */
  public sealed interface Action {
    /** More than one where it was written at a step that stands for a macro. */
    List<Integer> steps();

    Span span();
  }

  /**
   * A command to equipment.
   *
   * @param value what the command shall be; {@code null} for what its own statement says
   */
  public record Continuous(
      List<Integer> steps,
      Symbol.Equipment equipment,
      Word verb,
      Word tag,
      @Nullable Integer value,
      Span span)
      implements Action {}

  /** A memory is given a value. */
  public record Stored(List<Integer> steps, boolean onEntry, Keeping.Assign assign, Span span)
      implements Action {}

  /** A latch is set or cleared. */
  public record StoredLatch(
      List<Integer> steps, boolean onEntry, boolean set, Symbol.Latch latch, Span span)
      implements Action {}

  @Override
  public List<Term> terms() {
    var terms = new ArrayList<Term>(holds);
    aborts.forEach(a -> terms.add(a.when()));
    for (Transition t : transitions) {
      if (t.when() != null) {
        terms.add(t.when());
      }
    }
    for (Action a : actions) {
      if (a instanceof Stored s && s.assign().when() != null) {
        terms.add(s.assign().when());
      }
    }
    return terms;
  }
}
