package stoplog.checker.report;

import java.math.BigDecimal;
import java.util.List;
import stoplog.model.Model;
import stoplog.model.Trace;

/**
 * A run told to a person: who did what when, what it led to, and how it ends in what the claim speaks
 * of.
 *
 * @param heading one line: the claim, how it stands, its title
 * @param measure how many events, and when it ends: {@code 5 events, 31.4 s}
 * @param lines in the order of the run; the last one is the end
 * @param leftOut how many steps of the run are not told because they touch nothing that the claim
 *     depends on
 * @param fewest no run has fewer events than this; 0 if that is not known
 * @param events how many events this run has
 */
public record Story(
    String heading, String measure, List<Line> lines, int leftOut, int events, int fewest) {
  public Story {
    lines = List.copyOf(lines);
  }

  /** When the run ends. */
  public BigDecimal end() {
    return lines.getLast().seconds();
  }

  /**
   * One line of the story: a scan, or field changes of one cause at one instant.
   *
   * @param seconds when, from the start of the run
   * @param who who or what did it
   * @param what what happened
   * @param ledTo what followed from it at once, one thing each
   */
  public record Line(BigDecimal seconds, Who who, String what, List<String> ledTo) {
    public Line {
      ledTo = List.copyOf(ledTo);
    }
  }

  /** The second column. */
  public enum Who {
    START("start"),
    OPERATOR("operator"),
    PROCESS("process"),
    EQUIPMENT("equipment"),
    INSTRUMENT("instrument"),
    TIMER("timer"),
    SCAN("scan"),
    POWER("power"),
    FAULT("fault"),
    /** The end of a run that reaches a hazard. */
    HAZARD("HAZARD"),
    /** The end of a run that breaks a requirement. */
    BROKEN("BROKEN"),
    /** The end of a run that shows that a requirement can be met. */
    REACHED("REACHED");

    private final String word;

    Who(String word) {
      this.word = word;
    }

    public String word() {
      return word;
    }

    /** Who makes this step. */
    static Who of(Model model, Trace.Step step) {
      if (step.isScan()) {
        return SCAN;
      }
      return switch (model.changes().get(step.change()).cause()) {
        case OPERATOR -> OPERATOR;
        case PROCESS -> PROCESS;
        case EQUIPMENT -> EQUIPMENT;
        case INSTRUMENT -> INSTRUMENT;
        case TIMER -> TIMER;
        case FAULT -> FAULT;
        case POWER -> POWER;
      };
    }

    /** Whether the line closes the story. */
    public boolean end() {
      return this == HAZARD || this == BROKEN || this == REACHED;
    }
  }
}
