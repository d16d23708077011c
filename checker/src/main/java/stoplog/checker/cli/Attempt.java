package stoplog.checker.cli;

import stoplog.checker.explore.Budget;
import stoplog.checker.report.Given;
import stoplog.model.Verdict;

/**
 * A claim that was tried to the end of what it was given, and not decided. It says nothing of the plant but
 * what the search has covered.
 *
 * @param question fingerprint of all that an answer can depend on
 * @param verdict that it came to
 * @param given what it was given
 */
record Attempt(String question, Verdict.Undecided verdict, Given given) {
  /**
   * What a claim is given.
   *
   * @param threads on which it can count
   */
  static Given given(Budget budget, int threads) {
    return new Given(budget.states(), budget.bytes(), budget.time().toMillis(), threads);
  }

  /** The same; threads matter only where time has run out, since all else is counted. */
  static Attempt of(String question, Verdict.Undecided verdict, Given given) {
    boolean timed = verdict.reason().contains("time budget");
    int threads = timed ? given.threads() : 0;
    return new Attempt(
        question, verdict, new Given(given.states(), given.bytes(), given.millis(), threads));
  }

  /** Whether another attempt with this is one with no more. */
  boolean hadAsMuchAs(Given now) {
    return now.states() <= given.states()
        && now.bytes() <= given.bytes()
        && now.millis() <= given.millis()
        && (given.threads() == 0 || now.threads() <= given.threads());
  }
}
