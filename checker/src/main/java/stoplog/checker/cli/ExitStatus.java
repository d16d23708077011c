package stoplog.checker.cli;

import java.util.List;
import stoplog.checker.report.Answer;

/** The exit statuses of every command. They never change their meaning: scripts rely on them. */
final class ExitStatus {
  /** Every hazard asked about is proved and every requirement holds. */
  static final int ALL_GOOD = 0;

  /** Some hazard can happen, or some requirement is broken. */
  static final int FINDING = 1;

  /** The plant, or the command itself, is wrong. */
  static final int WRONG_INPUT = 2;

  /** Nothing was found, but not everything is decided. */
  static final int UNDECIDED = 3;

  private ExitStatus() {}

  /** What these answers amount to. One finding outweighs any number of open claims. */
  static int of(List<Answer> answers) {
    int status = ALL_GOOD;
    for (Answer a : answers) {
      if (a.standing().finding()) {
        return FINDING;
      }
      if (!a.standing().good()) {
        status = UNDECIDED;
      }
    }
    return status;
  }
}
