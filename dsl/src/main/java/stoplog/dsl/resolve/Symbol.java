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
   */
  record Equipment(
      Word name,
      String text,
      Kind kind,
      boolean byHand,
      Map<String, TimeWindow> windows,
      Kind.@Nullable Fail fail,
      Map<String, Word> feedbacks,
      Span span)
      implements Symbol {
    public Equipment {
      windows = new LinkedHashMap<>(windows);
      feedbacks = new LinkedHashMap<>(feedbacks);
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
