package stoplog.checker.cli;

import java.util.List;
import org.jspecify.annotations.Nullable;
import stoplog.checker.abstraction.Decider;
import stoplog.checker.analyse.Remedies;
import stoplog.checker.certificate.Fingerprint;
import stoplog.checker.explore.Budget;
import stoplog.checker.explore.Progress;
import stoplog.checker.report.Answer;
import stoplog.checker.report.Given;
import stoplog.model.Claim;
import stoplog.model.Model;
import stoplog.model.Trace;
import stoplog.model.Verdict;

/**
 * What earlier runs have left in the ledger beside verdicts, and what this one leaves to later ones: attempts
 * that came to nothing, and interlocks that were looked for. May be used by any thread.
 */
final class EarlierRuns {
  private final Model model;
  private final Deciding.Wishes wishes;
  private @Nullable String plant;

  EarlierRuns(Model model, Deciding.Wishes wishes) {
    this.model = model;
    this.wishes = wishes;
  }

  /**
   * The answer of an earlier run that had as much time, states and memory for the same question; null if
   * there is none.
   *
   * @param sharers how many claims are decided at a time
   */
  @Nullable Answer triedBefore(Engine engine, Claim claim, int sharers) {
    Ledger ledger = wishes.believed();
    Attempt attempt = ledger == null ? null : ledger.attempt(claim.id());
    return attempt != null
            && attempt.hadAsMuchAs(given(sharers))
            && attempt.question().equals(engine.question(claim))
        ? new Answer(
            claim, attempt.verdict(), null, null, Answer.ProofCheck.NOT_WANTED,
            new Answer.Carried(null, attempt.given()))
        : null;
  }

  /** A claim that shared the memory is given all of it before it counts as one that wants more. */
  private Given given(int sharers) {
    return Attempt.given(wishes.budget(), Math.max(1, wishes.threads() / sharers));
  }

  /**
   * Notes what did not lead to an answer, if it was all that the user allows.
   *
   * @param budget that it had
   */
  void noteTried(
      Engine engine, Claim claim, Verdict.Undecided verdict, Budget budget, int sharers) {
    Ledger ledger = wishes.believed();
    boolean cutShort =
        budget.time().compareTo(wishes.budget().time()) < 0
            || verdict.reason().equals(Decider.MEMORY_RAN_OUT)
            || (sharers > 1 && Deciding.isForMemory(verdict));
    String question = ledger == null || cutShort ? null : engine.question(claim);
    if (question != null) {
      ledger.put(claim.id(), Attempt.of(question, verdict, given(sharers)));
    }
  }

  /** {@link Remedies} for a run, found now or earlier on the same plant; null if not looked for to the end. */
  @Nullable List<String> remedies(Claim hazard, Trace run, Progress progress) {
    Ledger ledger = wishes.believed();
    // They hang on all that the plant is required to be able to do.
    String question =
        ledger == null ? null : Fingerprint.of(plant() + "\n" + hazard.id() + "\n" + run);
    Ledger.Remedied before = ledger == null ? null : ledger.remedies(hazard.id());
    if (before != null && before.question().equals(question)) {
      return before.found();
    }
    List<String> found = Remedies.of(model, hazard, run, progress);
    if (progress.stopped()) {
      return found.isEmpty() ? null : found;
    }
    if (ledger != null && question != null) {
      ledger.put(hazard.id(), new Ledger.Remedied(question, found));
    }
    return found;
  }

  private synchronized String plant() {
    if (plant == null) {
      plant = Fingerprint.of(model);
    }
    return plant;
  }
}
