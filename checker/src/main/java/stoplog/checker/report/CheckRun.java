package stoplog.checker.report;

import java.util.List;
import stoplog.diag.Diagnostic;
import stoplog.model.Model;

/**
 * All that one {@code stoplog check} has to tell.
 *
 * @param file the plant's file as the user should see it
 * @param answers in the order of the plant, one for each claim that was asked about
 * @param selected whether only some claims were asked about
 * @param whole whether the search was told to keep every variable
 * @param notices warnings and notes about the plant's text
 */
public record CheckRun(
    String file,
    Model model,
    List<Answer> answers,
    boolean selected,
    boolean whole,
    List<Diagnostic> notices) {
  /** Said under every list of verdicts. */
  public static final String CAUTION =
      "A proof holds for the model, not the plant: it is worth what the plant file, its times and its"
          + " limits are worth. It replaces neither factory test nor licensed engineers, local codes"
          + " or the applicable standards.";

  public CheckRun {
    answers = List.copyOf(answers);
    notices = List.copyOf(notices);
  }

  /** How many claims stand like this. */
  public int count(Standing standing) {
    int count = 0;
    for (Answer a : answers) {
      if (a.standing() == standing) {
        count++;
      }
    }
    return count;
  }
}
