package stoplog.dsl.resolve;

import java.util.List;
import stoplog.dsl.tree.Word;

/** What to write instead of reading what may not be read. */
final class Remedies {
  private Remedies() {}

  /** How logic can come to know that equipment is in a state. */
  static String seeing(Symbol.Equipment e, String state) {
    Word tag = e.feedbacks().get(state);
    if (tag != null) {
      return "read " + tag + ", which proves it";
    }
    if (e.kind().feedbacks().containsKey(state)) {
      String missing = tagFor(e, state);
      return "add `proves " + state + " " + missing + "` to " + e.name() + " and read " + missing;
    }
    String provable = String.join(", ", e.kind().feedbacks().keySet());
    return "a feedback of " + e.name() + " (" + provable + "), or its command";
  }

  /** A tag that the feedback could have: the usual letters with the equipment's number. */
  static String tagFor(Symbol.Equipment e, String state) {
    String tag = e.name().text();
    return e.kind().feedbacks().getOrDefault(state, "ZS") + tag.substring(tag.indexOf('-'));
  }

  /** How logic can come to know a condition, level or count. */
  static String instrumentFor(Symbol truth) {
    String example =
        truth instanceof Symbol.Level
            ? "`switch LSL-1 follows " + truth.name() + " < ... within 0..2 s`"
            : truth instanceof Symbol.Count
                ? "`switch ZS-1 follows " + truth.name() + " >= ... within 0..2 s`"
                : "`switch FS-1 follows " + truth.name() + " within 0..2 s`";
    return "read an instrument that follows it, such as " + example;
  }

  /** What the process may depend on instead. */
  static String truthBehind(Symbol symbol) {
    return switch (symbol) {
      case Symbol.Equipment e -> "`" + e.name() + " is " + firstState(e) + "`";
      case Symbol.Feedback f -> "`" + f.equipment() + " is " + f.state() + "`";
      case Symbol.Switch s -> "what " + s.name() + " follows";
      case Symbol.Transmitter t -> "what " + t.name() + " follows";
      case Symbol.Analyser a -> "the condition that moves " + a.name();
      default -> "a condition of the process: `condition x comes and goes`";
    };
  }

  private static String firstState(Symbol.Equipment e) {
    return List.copyOf(e.kind().predicates().keySet()).getFirst();
  }
}
