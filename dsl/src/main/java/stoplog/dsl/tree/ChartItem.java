package stoplog.dsl.tree;

import java.util.List;
import org.jspecify.annotations.Nullable;
import stoplog.source.Span;

/** An entry of a sequence or macro, after IEC 60848. */
public sealed interface ChartItem {
  Span span();

  /** What marks a step. */
  enum Mark {
    PLAIN,
    /** Active at the start of the sequence. */
    INITIAL,
    /** The step at which a macro begins. */
    ENTRY,
    /** The step at which a macro ends. */
    EXIT
  }

  /**
   * {@code initial step idle "waiting" { ... }}.
   *
   * @param macro the macro it stands for; {@code null} for a plain step
   */
  record Step(
      Word name, String text, Mark mark, @Nullable Word macro, List<Action> actions, Span span)
      implements ChartItem {
    public Step {
      actions = List.copyOf(actions);
    }
  }

  /** {@code from a, b to c when E after 5 min}: either of the last two may be missing. */
  record Transition(
      List<Word> from,
      List<Word> to,
      @Nullable Expression when,
      Expression.@Nullable Delay after,
      Span span)
      implements ChartItem {
    public Transition {
      from = List.copyOf(from);
      to = List.copyOf(to);
    }
  }

  /** {@code hold when E}. */
  record Hold(Expression when, Span span) implements ChartItem {}

  /** {@code abort to idle when E}. */
  record Abort(Word to, Expression when, Span span) implements ChartItem {}

  /** {@code macro rinse { ... }}. */
  record Macro(Word name, String text, List<ChartItem> items, Span span) implements ChartItem {
    public Macro {
      items = List.copyOf(items);
    }
  }

  /** What a step does. */
  sealed interface Action {
    Span span();
  }

  /**
   * {@code run P-201 at slow}, as long as the step is active.
   *
   * @param at {@code null} for the command's usual state
   */
  record Continuous(Word verb, Word tag, @Nullable Word at, Span span) implements Action {}

  /** {@code on entry phase := filling}, stored. */
  record Stored(boolean onEntry, LogicItem.Assign assignment, Span span) implements Action {}

  /** {@code on exit set flush_due} or {@code clear}, of a latch, stored. */
  record StoredLatch(boolean onEntry, boolean set, Word latch, Span span) implements Action {}
}
