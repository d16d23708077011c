package stoplog.checker.cli;

import java.util.List;
import stoplog.checker.report.Answer;
import stoplog.checker.report.Played;

/** The exit statuses of every command. They never change their meaning: scripts rely on them. */
final class ExitStatus {
  /** Every hazard asked about is proved, every requirement holds and every scenario passes. */
  static final int ALL_GOOD = 0;

  /** Some hazard can happen, some requirement is broken, or some scenario fails. */
  static final int FINDING = 1;

  /** The plant, or the command itself, is wrong. */
  static final int WRONG_INPUT = 2;

  /** Nothing was found, but not everything is decided. */
  static final int UNDECIDED = 3;

  private ExitStatus() {}

  /** What these answers amount to. One finding outweighs any number of open claims. */
  static int of(List<Answer> answers, List<Played> played) {
    int status = ALL_GOOD;
    for (Played p : played) {
      switch (p.outcome()) {
        case PASSES -> {}
        case FAILS -> {
          return FINDING;
        }
        case UNDECIDED -> status = UNDECIDED;
      }
    }
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
