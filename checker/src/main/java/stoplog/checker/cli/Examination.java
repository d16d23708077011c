package stoplog.checker.cli;

import java.time.Duration;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import stoplog.checker.analyse.Health;
import stoplog.checker.explore.Progress;
import stoplog.checker.report.Answer;
import stoplog.checker.report.Concern;
import stoplog.checker.report.Standing;
import stoplog.model.Claim;
import stoplog.model.Verdict;

/** Looks at the plant itself once its claims are decided. */
final class Examination {
  private static final Duration LEAST = Duration.ofSeconds(5);

  private Examination() {}

  /**
   * What there is to say; nothing after the user lost patience.
   *
   * @param selected whether only some claims were asked about: then only what voids proofs is told
   */
  static List<Concern> of(
      Engine engine, List<Answer> answers, boolean selected, Progress progress) {
    if (progress.stopped()) {
      return List.of();
    }
    var proved = new ArrayList<Claim>();
    for (Answer a : answers) {
      if (a.standing() == Standing.PROVED) {
        proved.add(a.claim());
      }
    }
    var concerns = new ArrayList<Concern>();
    Duration most = share(answers);
    for (Health.Finding f : engine.examine(selected ? null : proved, most, progress)) {
      String kind = f.kind().name().toLowerCase(Locale.ROOT).replace('_', ' ');
      concerns.add(new Concern(kind, f.kind().voidsProofs(), f.text(), f.at()));
    }
    return concerns;
  }

  /** No longer than the claims took, but some seconds even where they took less. */
  private static Duration share(List<Answer> answers) {
    long nanos = 0;
    for (Answer a : answers) {
      nanos += a.verdict().effort().nanos();
    }
    return Duration.ofNanos(Math.max(nanos, LEAST.toNanos()));
  }

  /** The answers, without the proofs where something voids them. */
  static List<Answer> voided(List<Answer> answers, List<Concern> concerns) {
    for (Concern c : concerns) {
      if (c.voidsProofs()) {
        return answers.stream().map(a -> voided(a, c)).toList();
      }
    }
    return answers;
  }

  private static Answer voided(Answer answer, Concern concern) {
    return answer.verdict() instanceof Verdict.Proved p
        ? new Answer(
            answer.claim(),
            new Verdict.Undecided(
                "proved but for this: " + concern.text(), 0, p.kept(), p.effort()),
            null)
        : answer;
  }
}
