package stoplog.checker.report;

import java.util.List;
import java.util.Set;
import stoplog.diag.Diagnostic;
import stoplog.model.Model;

/**
 * All that one {@code stoplog check} has to tell.
 *
 * @param file the plant's file as the user should see it
 * @param answers in the order of the plant, one for each claim that was asked about
 * @param played the scenarios that were asked about, in the order of the plant
 * @param selected whether only some claims were asked about
 * @param whole whether the search was told to keep every variable
 * @param notices warnings and notes about the plant's text
 * @param concerns about the plant itself, the gravest first
 * @param explained labels of the claims for which everything they lean on is to be told
 */
public record CheckRun(
    String file,
    Model model,
    List<Answer> answers,
    List<Played> played,
    boolean selected,
    boolean whole,
    List<Diagnostic> notices,
    List<Concern> concerns,
    Set<String> explained) {
  /** Said under every list of verdicts. */
  public static final String CAUTION =
      "A proof holds for the model, not the plant: it is worth what the plant file, its times and its"
          + " limits are worth. It replaces neither factory test nor licensed engineers, local codes"
          + " or the applicable standards.";

  public CheckRun {
    answers = List.copyOf(answers);
    played = List.copyOf(played);
    notices = List.copyOf(notices);
    concerns = List.copyOf(concerns);
    explained = Set.copyOf(explained);
  }

  /** A run in which no scenario was asked about. */
  public CheckRun(
      String file,
      Model model,
      List<Answer> answers,
      boolean selected,
      boolean whole,
      List<Diagnostic> notices) {
    this(file, model, answers, List.of(), selected, whole, notices, List.of(), Set.of());
  }

  /** How many scenarios came out like this. */
  public int count(Played.Outcome outcome) {
    int count = 0;
    for (Played p : played) {
      count += p.outcome() == outcome ? 1 : 0;
    }
    return count;
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
