package stoplog.dsl.resolve;

import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import org.jspecify.annotations.Nullable;
import stoplog.dsl.kinds.Kind;
import stoplog.dsl.tree.Word;
import stoplog.source.Span;

/** Something a plant text gives a name to. {@code text} is its description, empty if none. */
public sealed interface Symbol {
  /** Its tag or name, and where it was declared. */
  Word name();

  String text();

  /** What it is, with an article, as told to a person. */
  String what();

  /**
   * A valve, pump or the like.
   *
   * @param windows the time windows the plant states, by their word
   * @param fail what it does without power; {@code null} if the plant does not say
   * @param feedbacks tag of the feedback for each state that is proven
   * @param lags how late a feedback follows, by its state; at once where there is none
   */
  record Equipment(
      Word name,
      String text,
      Kind kind,
      boolean byHand,
      Map<String, TimeWindow> windows,
      Kind.@Nullable Fail fail,
      Map<String, Word> feedbacks,
      Map<String, TimeWindow> lags,
      Span span)
      implements Symbol {
    public Equipment {
      windows = new LinkedHashMap<>(windows);
      feedbacks = new LinkedHashMap<>(feedbacks);
      lags = new LinkedHashMap<>(lags);
    }

    /** The name of the variable of one of its commands. */
    public String commandVariable(int command) {
      List<Kind.Command> commands = kind.commands();
      String verb = commands.size() == 1 ? "" : "." + commands.get(command).verb();
      return name + ".command" + verb;
    }

    @Override
    public String what() {
      return kind.withArticle();
    }
  }

  /** A contact that proves one state of a piece of equipment. */
  record Feedback(Word name, Word equipment, String state) implements Symbol {
    @Override
    public String text() {
      return equipment.text() + " proven " + state;
    }

    @Override
    public String what() {
      return "a feedback";
    }
  }

  /** A condition of the process; a derived one holds when something else does. */
  record Condition(Word name, String text, boolean derived) implements Symbol {
    @Override
    public String what() {
      return "a condition";
    }
  }

  /** A level, or an analog value under a name in lower case. */
  record Level(Word name, String text, Unit unit) implements Symbol {
    /** Whether it is a value of the process with a name of its own, and no level in a vessel. */
    public boolean isAnalog() {
      return Character.isLowerCase(name.text().charAt(0));
    }

    @Override
    public String what() {
      return isAnalog() ? "a value of the process" : "a level";
    }
  }

  /** A number of things, from {@code low} to {@code high}. */
  record Count(Word name, String text, int low, int high) implements Symbol {
    @Override
    public String what() {
      return "a count";
    }
  }

  record Transmitter(Word name, String text, Unit unit) implements Symbol {
    @Override
    public String what() {
      return "a transmitter";
    }
  }

  /**
   * @param normallyOpen how its contact is wired; {@code null} if the plant does not say
   */
  record Switch(Word name, String text, @Nullable Boolean normallyOpen) implements Symbol {
    @Override
    public String what() {
      return "a switch";
    }
  }

  record Analyser(Word name, String text, Unit unit) implements Symbol {
    @Override
    public String what() {
      return "an analyser";
    }
  }

  record Selector(Word name, String text, List<String> positions) implements Symbol {
    public Selector {
      positions = List.copyOf(positions);
    }

    @Override
    public String what() {
      return "a selector";
    }
  }

  record Button(Word name, String text, boolean hold) implements Symbol {
    @Override
    public String what() {
      return "a button";
    }
  }

  /** An adjustable value; its window is in the base unit of its dimension. */
  record Setpoint(Word name, String text, Unit unit, Ratio low, Ratio high, Span window)
      implements Symbol {
    @Override
    public String what() {
      return "a setpoint";
    }
  }

  record Latch(Word name, String text, boolean retained) implements Symbol {
    @Override
    public String what() {
      return "a latch";
    }
  }

  record Signal(Word name, String text) implements Symbol {
    @Override
    public String what() {
      return "a signal";
    }
  }

  /** A two-position switch of the panel, worked with a key, which stays as it is turned. */
  record Key(Word name, String text) implements Symbol {
    @Override
    public String what() {
      return "a key";
    }
  }

  /**
   * A sequence.
   *
   * @param steps how many steps it has
   * @param states what it can be said to be in, and which of its steps that is
   */
  record Sequence(Word name, String text, int steps, Map<String, List<Integer>> states)
      implements Symbol {
    public Sequence {
      states = new LinkedHashMap<>(states);
    }

    @Override
    public String what() {
      return "a sequence";
    }
  }

  /** What the logic remembers from scan to scan under a name of its own. */
  sealed interface Kept extends Symbol {}

  /**
   * A memory of the logic.
   *
   * @param values what its values are called, in order
   * @param low the number of the first value; {@code null} if its values are words
   * @param starts the index of the value it begins with
   */
  record Memory(
      Word name,
      String text,
      boolean retained,
      List<String> values,
      @Nullable Integer low,
      int starts)
      implements Kept {
    public Memory {
      values = List.copyOf(values);
    }

    @Override
    public String what() {
      return "a memory";
    }
  }

  /**
   * A counter of the logic.
   *
   * @param to its greatest value, 1 to 63
   */
  record Counter(Word name, String text, boolean retained, int to) implements Kept {
    @Override
    public String what() {
      return "a counter";
    }
  }

  /** Equipment that takes turns; one of it is on duty, the others stand by. */
  record Duty(Word name, String text, boolean retained, List<Word> tags) implements Kept {
    public Duty {
      tags = List.copyOf(tags);
    }

    @Override
    public String what() {
      return "a duty";
    }
  }

  /**
   * An alarm.
   *
   * @param latched whether it waits for a reset once it is back to normal and acknowledged
   * @param group the group it is in; {@code null} if it stands alone
   */
  record Alarm(Word name, String text, boolean latched, @Nullable Word group) implements Kept {
    @Override
    public String what() {
      return "an alarm";
    }
  }

  /**
   * Alarms that are acknowledged and reset together.
   *
   * @param firstOut whether it remembers which of them came first
   */
  record AlarmGroup(Word name, String text, boolean firstOut, List<Alarm> alarms)
      implements Kept {
    public AlarmGroup {
      alarms = List.copyOf(alarms);
    }

    @Override
    public String what() {
      return "an alarm group";
    }
  }

  record Claim(Word name, String text) implements Symbol {
    @Override
    public String what() {
      return "a claim";
    }
  }

  record Scenario(Word name, String text) implements Symbol {
    @Override
    public String what() {
      return "a scenario";
    }
  }
}
