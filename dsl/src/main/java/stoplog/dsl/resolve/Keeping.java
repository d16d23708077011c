package stoplog.dsl.resolve;

import java.util.ArrayList;
import java.util.List;
import org.jspecify.annotations.Nullable;
import stoplog.dsl.tree.Word;
import stoplog.source.Span;

/** A statement of the logic about something that it remembers under a name of its own. */
public sealed interface Keeping extends Statement {
  /** There is such a memory. Nothing is done here. */
  record Hold(Symbol.Memory memory, Span span) implements Keeping {
    @Override
    public List<Term> terms() {
      return List.of();
    }
  }

  /**
   * Gives a memory a value.
   *
   * @param when only where this holds; {@code null} for in every scan
   */
  record Assign(Symbol.Memory memory, Value value, @Nullable Term when, Span span)
      implements Keeping {
    @Override
    public List<Term> terms() {
      return when == null ? List.of() : List.of(when);
    }
  }

  /**
   * What a memory is given: the value number {@code index}, or, with a source, the value number of
   * that plus {@code index}, which may be below 0. A number beyond the last value of the memory
   * gives its last, one below its first its first.
   *
   * @param source the variable that is read; {@code null} for a fixed value
   */
  record Value(@Nullable String source, int index) {}

  /** Counts the rising edges of {@code up} and, downwards, of {@code down}. */
  record Count(
      Symbol.Counter counter, Term.Edge up, Term.@Nullable Edge down, Term clearedBy, Span span)
      implements Keeping {
    @Override
    public List<Term> terms() {
      return down == null ? List.of(up, clearedBy) : List.of(up, down, clearedBy);
    }
  }

  /**
   * Passes the duty on.
   *
   * @param equipment what takes turns, in their order
   */
  record Alternate(
      Symbol.Duty duty, List<Symbol.Equipment> equipment, Term.Edge when, Span span)
      implements Keeping {
    public Alternate {
      equipment = List.copyOf(equipment);
    }

    @Override
    public List<Term> terms() {
      return List.of(when);
    }
  }

  /**
   * Keeps the alarms of a group, or one that stands alone, up to date, in the order written.
   *
   * @param group {@code null} for one that stands alone
   * @param resetBy {@code null} if none of the alarms is latched
   */
  record Alarms(
      Symbol.@Nullable AlarmGroup group,
      List<Watched> alarms,
      Term acknowledgedBy,
      @Nullable Term resetBy,
      Span span)
      implements Keeping {
    public Alarms {
      alarms = List.copyOf(alarms);
    }

    @Override
    public List<Term> terms() {
      var terms = new ArrayList<Term>();
      terms.add(acknowledgedBy);
      if (resetBy != null) {
        terms.add(resetBy);
      }
      alarms.forEach(a -> terms.add(a.condition()));
      return terms;
    }
  }

  /** An alarm and what it is about. */
  record Watched(Symbol.Alarm alarm, Term condition) {}

  /** What the states of an alarm are called, after ANSI/ISA-18.2, in the order of their values. */
  List<String> ALARM_STATES =
      List.of("normal", "unacknowledged", "acknowledged", "returned", "latched");

  /** The variable that says which alarm of a group came first. */
  static String firstOf(Word group) {
    return group + ".first";
  }
}
