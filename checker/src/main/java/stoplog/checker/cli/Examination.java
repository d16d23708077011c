package stoplog.checker.cli;

import java.time.Duration;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import org.jspecify.annotations.Nullable;
import stoplog.checker.analyse.Health;
import stoplog.checker.analyse.Remembered;
import stoplog.checker.explore.Progress;
import stoplog.checker.report.Answer;
import stoplog.checker.report.Concern;
import stoplog.checker.report.Played;
import stoplog.checker.report.Standing;
import stoplog.model.Claim;
import stoplog.model.Verdict;
import stoplog.source.Span;

/** Looks at the plant itself once its claims are decided. */
final class Examination {
  private static final Duration LEAST = Duration.ofSeconds(5);

  /** How long a user who wants the command to end waits for what may void the proofs told. */
  private static final Duration IMPATIENT = Duration.ofSeconds(2);

  /** What is to be said as long as nobody has looked: a proof is none before that. */
  static final List<Concern> NOT_YET =
      List.of(
          new Concern(
              "blocked", true, "interrupted before all deadlines were looked at", Span.NONE));

  private Examination() {}

  /**
   * What there is to say; after the user lost patience only what voids proofs, or that it is not known.
   *
   * @param selected whether only some claims were asked about: then only what voids proofs is told
   * @param ledger what earlier runs have found out, or null
   */
  static List<Concern> of(
      Engine engine,
      List<Answer> answers,
      boolean selected,
      @Nullable Ledger ledger,
      Progress progress) {
    Remembered remembered = ledger == null ? Remembered.NOTHING : ledger.ofThePlant();
    if (progress.stopped()) {
      return told(engine.examine(null, Duration.ZERO, remembered, new ForAWhile(IMPATIENT)));
    }
    var proved = new ArrayList<Claim>();
    for (Answer a : answers) {
      if (a.standing() == Standing.PROVED) {
        proved.add(a.claim());
      }
    }
    return told(engine.examine(selected ? null : proved, share(answers), remembered, progress));
  }

  private static List<Concern> told(List<Health.Finding> findings) {
    var concerns = new ArrayList<Concern>();
    for (Health.Finding f : findings) {
      String kind = f.kind().name().toLowerCase(Locale.ROOT).replace('_', ' ');
      concerns.add(new Concern(kind, f.kind().voidsProofs(), f.text(), f.at()));
    }
    return concerns;
  }

  /** Goes on, whatever the user wants, but not for long. */
  private static final class ForAWhile implements Progress {
    private final long end;

    ForAWhile(Duration most) {
      this.end = System.nanoTime() + most.toNanos();
    }

    @Override
    public void at(String claim, int level, long states, int kept) {}

    @Override
    public boolean stopped() {
      return System.nanoTime() - end > 0;
    }
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

  /** The same of scenarios: that every run shows a thing is a proof, too. */
  static List<Played> voidedRuns(List<Played> played, List<Concern> concerns) {
    return played.stream()
        .map(
            p ->
                new Played(
                    p.scenario(),
                    voided(List.of(p.course()), concerns).getFirst(),
                    voided(p.seen(), concerns)))
        .toList();
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
