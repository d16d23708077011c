package stoplog.dsl.tree;

import java.util.List;
import org.jspecify.annotations.Nullable;
import stoplog.source.Span;

/** A statement of the logic. {@code text} is the description, empty if none. */
public sealed interface LogicItem {
  Span span();

  /** {@code retained latch x: set by A when B; cleared by C; set wins}. */
  record Latch(
      Word name,
      String text,
      boolean retained,
      Expression setBy,
      @Nullable Expression guard,
      Expression clearedBy,
      boolean setWins,
      Span span)
      implements LogicItem {}

  record Signal(Word name, String text, Expression value, Span span) implements LogicItem {}

  /**
   * {@code retained memory phase: idle, filling starts idle}, or {@code memory tries: 0..5}.
   *
   * @param values the names of its values; empty if they are numbers
   * @param low the least number; {@code null} if its values have names
   * @param high the greatest number; {@code null} if its values have names
   * @param starts the value it begins with; {@code null} for the first
   */
  record Memory(
      Word name,
      String text,
      boolean retained,
      List<Word> values,
      @Nullable Quantity low,
      @Nullable Quantity high,
      @Nullable Word starts,
      Span span)
      implements LogicItem {
    public Memory {
      values = List.copyOf(values);
    }
  }

  /** {@code phase := filling when E}. */
  record Assign(Word name, Assigned value, @Nullable Expression when, Span span)
      implements LogicItem {}

  /**
   * {@code filling}, {@code 3}, {@code tries + 1}.
   *
   * @param value a name or number
   * @param by what is added to it, 0 for nothing
   */
  record Assigned(Word value, int by, Span span) {}

  /** {@code counter strokes to 5: up by E; down by F; cleared by G}, CTUD of IEC 61131-3. */
  record Counter(
      Word name,
      String text,
      boolean retained,
      Quantity to,
      Expression up,
      @Nullable Expression down,
      Expression clearedBy,
      Span span)
      implements LogicItem {}

  /** {@code duty feed: P-201A, P-201B; alternates when E}. */
  record Duty(
      Word name, String text, boolean retained, List<Word> tags, Expression alternates, Span span)
      implements LogicItem {
    public Duty {
      tags = List.copyOf(tags);
    }
  }

  /** {@code alarm A-01 "suction pressure low": E latched}. */
  record Alarm(Word tag, String text, Expression condition, boolean latched, Span span)
      implements LogicItem {}

  /** {@code alarm group feed first-out { alarm ...; acknowledged by E; reset by F }}. */
  record AlarmGroup(
      Word name,
      String text,
      boolean firstOut,
      List<Alarm> alarms,
      List<Expression> acknowledgedBy,
      List<Expression> resetBy,
      Span span)
      implements LogicItem {
    public AlarmGroup {
      alarms = List.copyOf(alarms);
      acknowledgedBy = List.copyOf(acknowledgedBy);
      resetBy = List.copyOf(resetBy);
    }
  }

  /** {@code sequence backwash "backwash of the filter" { ... }}. */
  record Sequence(Word name, String text, List<ChartItem> items, Span span) implements LogicItem {
    public Sequence {
      items = List.copyOf(items);
    }
  }

  /**
   * {@code run P-201 when E { ... }}.
   *
   * @param demand {@code null} if only steps of sequences ask for it
   */
  record Command(
      Word verb,
      Word tag,
      @Nullable Expression demand,
      List<AtState> states,
      List<Inhibit> inhibits,
      Span span)
      implements LogicItem {
    public Command {
      states = List.copyOf(states);
      inhibits = List.copyOf(inhibits);
    }
  }

  /** {@code at slow when E}: which of several states a command asks for. */
  record AtState(Word state, Expression when, Span span) {}

  /**
   * {@code trip "low level" : E reset by F bypassable by G}; only a trip can have a reset.
   *
   * @param bypass the key or signal that takes its place; {@code null} for none
   */
  record Inhibit(
      stoplog.model.Inhibit.Kind kind,
      String text,
      Expression condition,
      @Nullable Expression resetBy,
      @Nullable Word bypass,
      Span span) {}
}
