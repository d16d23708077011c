package stoplog.checker.report;

import java.util.HashMap;
import java.util.Map;
import stoplog.model.Assignment;
import stoplog.model.FieldChange;
import stoplog.model.Model;
import stoplog.model.Role;
import stoplog.model.Variable;

/**
 * How a story calls the timers of the logic: {@code timer of P-201 (PS-120 for start_delay)}, and for the
 * time of a step {@code firing in purging for 65..300 s}.
 *
 * <p>What a timer waits for is told in full where it is short; of more only the last part is told, enough
 * to find it in the plant and to tell it from the others of its owner. An owner's only timer needs none.
 */
final class TimerWords {
  /** As much as stands beside the owner on one line of a story's column, or a little more. */
  private static final int LONGEST = 36;

  private static final String OWNER = "timer of ";
  private static final String ELAPSED = " elapsed (";

  private final Map<Integer, FieldChange> elapsing = new HashMap<>();
  private final Map<String, Integer> timersOf = new HashMap<>();
  private final Map<Integer, Integer> timed = new HashMap<>();
  private final Model model;

  TimerWords(Model model) {
    this.model = model;
    for (FieldChange change : model.changes()) {
      if (change.cause() == FieldChange.Cause.TIMER) {
        for (Assignment a : change.effects()) {
          if (model.variable(a.variable()).role() == Role.TIMER
              && elapsing.putIfAbsent(a.variable(), change) == null) {
            timed.put(change.id(), a.variable());
            timersOf.merge(owner(change), 1, Integer::sum);
          }
        }
      }
    }
  }

  /** The timer's name. */
  String name(Variable timer) {
    FieldChange change = elapsing.get(timer.id());
    return change == null ? "timer " + timer.name() : shortened(change, " (");
  }

  /** What a change of the field is, told as the elapsing of a timer if it is that. */
  String told(FieldChange change) {
    Integer timer = timed.get(change.id());
    if (timer == null) {
      return change.text();
    }
    return isOfStep(model.variable(timer))
        ? change.text().replaceFirst(" in ", " has been in ")
        : shortened(change, ELAPSED);
  }

  /** Whether it measures how long a step of a sequence has been active. */
  static boolean isOfStep(Variable timer) {
    return timer.name().matches(".*\\.time\\d+");
  }

  private static String owner(FieldChange change) {
    int end = change.text().indexOf(ELAPSED);
    return end < 0 ? change.text() : change.text().substring(0, end);
  }

  private String shortened(FieldChange change, String between) {
    String text = change.text();
    int end = text.indexOf(ELAPSED);
    if (!text.startsWith(OWNER) || end < 0) {
      return text;
    }
    String owner = text.substring(0, end);
    String input = text.substring(end + ELAPSED.length(), text.length() - 1);
    String last = input.length() <= LONGEST ? input : last(input);
    boolean only = timersOf.getOrDefault(owner, 0) == 1;
    return last.length() > LONGEST && only
        ? owner + between.replaceFirst(" \\($", "")
        : owner + between + last + ")";
  }

  /** From the last outermost "and" or "or" on; all of it if there is none. */
  private static String last(String input) {
    int depth = 0;
    for (int i = input.length() - 1; i > 0; i--) {
      char c = input.charAt(i);
      depth += c == ')' ? 1 : c == '(' ? -1 : 0;
      if (depth == 0 && (input.startsWith(" and ", i) || input.startsWith(" or ", i))) {
        return ".." + input.substring(i);
      }
    }
    return input;
  }
}
