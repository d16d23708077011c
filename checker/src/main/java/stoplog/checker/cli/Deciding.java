package stoplog.checker.cli;

import java.util.ArrayList;
import java.util.IdentityHashMap;
import java.util.List;
import java.util.Map;
import java.util.concurrent.atomic.AtomicInteger;
import org.jspecify.annotations.Nullable;
import stoplog.checker.abstraction.Decider;
import stoplog.checker.abstraction.Family;
import stoplog.checker.abstraction.Precedent;
import stoplog.checker.certificate.Certificate;
import stoplog.checker.certificate.CertificateChecker;
import stoplog.checker.evidence.QuieterRun;
import stoplog.checker.explore.Budget;
import stoplog.checker.explore.DeepThread;
import stoplog.checker.explore.Progress;
import stoplog.checker.reference.Replay;
import stoplog.checker.reference.Replayed;
import stoplog.checker.report.Answer;
import stoplog.checker.report.Story;
import stoplog.checker.report.StoryTeller;
import stoplog.model.Claim;
import stoplog.model.Model;
import stoplog.model.Verdict;

/**
 * Decides claims, several at a time, and always has an answer for each: a claim that was not reached
 * before the user lost patience, memory ran out or something broke is undecided, with the reason.
 *
 * <p>Each claim is decided by one thread. While several share the memory each has its part; a claim
 * for which that was not enough is decided once more when it can have all of it, so that the answers
 * do not depend on the number of threads.
 *
 * <p>Nothing is believed that the reference interpreter has not followed: a found run that does not
 * replay is an internal error and its claim stays undecided. So is a proof whose certificate was to be
 * checked and is refused.
 *
 * <p>{@link #answers} may be called from another thread while {@link #run} is under way.
 */
final class Deciding {
  private static final Verdict.Effort NONE = new Verdict.Effort(0, 0, 0, 0);

  private final Model model;
  private final List<Claim> claims;
  private final Map<Claim, Integer> indices = new IdentityHashMap<>();
  private final Wishes wishes;
  private final EarlierRuns earlier;
  // Guarded by this, one for each claim.
  private final @Nullable Answer[] decided;
  private final @Nullable Throwable[] broken;
  private final boolean[] shortOfMemory;
  private @Nullable Certificate certificate;

  /**
   * How to decide.
   *
   * @param whole whether to search the whole model
   * @param budget for each claim; its memory is for all that are decided at a time
   * @param threads how many claims to decide at a time, at least 1
   * @param certificate whether to keep the certificate of the last proof
   * @param verifying whether to have the certificate of every proof checked
   * @param remedies whether to look for interlocks that would stop a hazard found
   * @param total the time for all claims together
   * @param ledger the proofs of earlier runs, and of this one; null for none
   */
  record Wishes(
      boolean whole,
      Budget budget,
      int threads,
      boolean certificate,
      boolean verifying,
      boolean remedies,
      TotalTime total,
      @Nullable Ledger ledger) {
    /** Without a limit on the time for all claims. */
    Wishes(
        boolean whole,
        Budget budget,
        int threads,
        boolean certificate,
        boolean verifying,
        boolean remedies) {
      this(whole, budget, threads, certificate, verifying, remedies, new TotalTime(null), null);
    }

    /** The ledger where it is to spare work; null where all is to be found anew. */
    @Nullable Ledger believed() {
      return whole || certificate || verifying ? null : ledger;
    }

    private String whyNotReached() {
      return total.over() ? TotalTime.USED_UP : "interrupted";
    }
  }

  Deciding(Model model, List<Claim> claims, Wishes wishes) {
    this.model = model;
    this.claims = List.copyOf(claims);
    this.claims.forEach(c -> indices.put(c, indices.size()));
    this.wishes = wishes;
    this.earlier = new EarlierRuns(model, wishes);
    this.decided = new @Nullable Answer[claims.size()];
    this.broken = new @Nullable Throwable[claims.size()];
    this.shortOfMemory = new boolean[claims.size()];
  }

  Model model() {
    return model;
  }

  void run(Engine engine, ProgressLine progress) {
    progress.threads(wishes.threads());
    // A family is of one thread, so that what is carried over does not depend on their number.
    List<Family> families = carryingOver() ? engine.families(claims) : alone();
    int workers = Math.min(wishes.threads(), families.size());
    var next = new AtomicInteger();
    Runnable work =
        () -> {
          int family = next.getAndIncrement();
          while (family < families.size() && !isOver(progress)) {
            decide(engine, families.get(family), workers, progress);
            family = next.getAndIncrement();
          }
        };
    sideBySide(work, workers);
    for (int claim = 0; claim < claims.size() && workers > 1 && !progress.stopped(); claim++) {
      if (shortOfMemory[claim] && !wishes.total().over()) {
        decide(engine, Family.alone(claims.get(claim)), claim, 1, progress);
      }
    }
  }

  private boolean isOver(ProgressLine progress) {
    return progress.stopped() || wishes.total().over();
  }

  /** A certificate is about one claim, and a search of the whole model keeps everything. */
  private boolean carryingOver() {
    return !wishes.whole() && !wishes.certificate() && !wishes.verifying();
  }

  private List<Family> alone() {
    return claims.stream().map(Family::alone).toList();
  }

  private void decide(Engine engine, Family family, int sharers, ProgressLine progress) {
    for (Claim claim : family.claims()) {
      if (isOver(progress)) {
        return;
      }
      decide(engine, family, indices.getOrDefault(claim, 0), sharers, progress);
    }
  }

  /** Does the work in this thread and others. */
  private static void sideBySide(Runnable work, int workers) {
    var others = new ArrayList<Thread>();
    for (int i = 1; i < workers; i++) {
      // Daemons: after Ctrl-C nothing waits for a search that does not stop.
      Thread other = DeepThread.of("claims " + i, work);
      other.start();
      others.add(other);
    }
    work.run();
    others.forEach(DeepThread::join);
  }

  private void decide(
      Engine engine, Family family, int index, int sharers, ProgressLine progress) {
    Claim claim = claims.get(index);
    Budget all = wishes.total().within(wishes.budget());
    var budget = new Budget(all.states(), Math.max(1, all.bytes() / sharers), all.time());
    Answer answer;
    Throwable fault = null;
    boolean memory = false;
    progress.begins(claim.id());
    try {
      answer = answer(engine, family, claim, budget, sharers, progress);
      memory = answer.carried() == null && isForMemory(answer.verdict());
    } catch (OutOfMemoryError _) {
      // The tables of the search are garbage now, so the next claim starts afresh.
      memory = true;
      answer = undecided(claim, "out of memory");
    } catch (RuntimeException | Error e) {
      fault = e;
      answer = undecided(claim, "internal error");
    } finally {
      progress.ends(claim.id());
    }
    synchronized (this) {
      decided[index] = answer;
      broken[index] = fault;
      shortOfMemory[index] = memory;
    }
  }

  static boolean isForMemory(Verdict verdict) {
    return verdict instanceof Verdict.Undecided u && u.reason().contains("memory");
  }

  private Answer answer(
      Engine engine, Family family, Claim claim, Budget budget, int sharers, ProgressLine line) {
    Progress progress = wishes.total().stopping(line);
    boolean certifying = wishes.certificate() || wishes.verifying();
    Verdict known = carried(engine, family, claim);
    Family.Carried over = known == null ? family.carriedOver(claim) : null;
    if (known != null || over != null) {
      Verdict verdict = quieter(claim, over == null ? known : over.verdict());
      return new Answer(
          claim, verdict, story(claim, verdict), remedies(claim, verdict, progress),
          Answer.ProofCheck.NOT_WANTED, new Answer.Carried(over == null ? null : over.from(), null));
    }
    Answer triedBefore = earlier.triedBefore(engine, claim, sharers);
    if (triedBefore != null) {
      return triedBefore;
    }
    Decider.Decision decision =
        decision(engine, claim, certifying, family.isOfSeveral(), budget, progress);
    family.add(claim, decision);
    Verdict verdict = quieter(claim, decision.verdict());
    if (verdict instanceof Verdict.Undecided u && progress.stopped()) {
      verdict =
          new Verdict.Undecided(
              line.stopped() ? "interrupted" : TotalTime.USED_UP, u.covered(), u.kept(), u.effort());
    } else if (verdict instanceof Verdict.Undecided u) {
      earlier.noteTried(engine, claim, u, budget, sharers);
    }
    var checked = Answer.ProofCheck.NOT_WANTED;
    boolean certifiable = claim.kind() != Claim.Kind.ALWAYS_CAN;
    if (verdict instanceof Verdict.Proved && wishes.verifying() && !certifiable) {
      checked = Answer.ProofCheck.NO_CERTIFICATE;
    }
    if (verdict instanceof Verdict.Proved && certifying && certifiable) {
      Certificate proof = decision.certificate();
      if (proof == null) {
        throw new IllegalStateException("there is no certificate for " + claim.id());
      }
      if (wishes.verifying()) {
        var time = new CheckingTime(claim.id(), wishes.budget().time(), wishes.total(), line);
        if (!stands(claim, proof, time)) {
          return undecided(claim, "proved, but its certificate is not checked: " + time.why());
        }
        checked = Answer.ProofCheck.STANDS;
      }
      if (wishes.certificate()) {
        synchronized (this) {
          certificate = proof;
        }
      }
    }
    return new Answer(
        claim, verdict, story(claim, verdict), remedies(claim, verdict, progress), checked, null);
  }

  private Decider.Decision decision(
      Engine engine,
      Claim claim,
      boolean certifying,
      boolean ofUseToOthers,
      Budget budget,
      Progress progress) {
    Ledger ledger = wishes.whole() ? null : wishes.ledger();
    if (ledger == null && (wishes.whole() || !ofUseToOthers)) {
      return certifying
          ? engine.certified(claim, wishes.whole(), budget, progress)
          : new Decider.Decision(engine.decide(claim, wishes.whole(), budget, progress), null);
    }
    Decider.Decision decision = engine.recorded(claim, certifying, budget, progress);
    Precedent precedent = ledger == null ? null : engine.precedent(decision);
    if (precedent != null) {
      ledger.put(claim.id(), precedent);
    }
    return decision;
  }

  /** What is shown of a finding has nothing in it that it can do without. */
  private Verdict quieter(Claim claim, Verdict verdict) {
    return verdict instanceof Verdict.Reached r ? QuieterRun.of(model, claim, r) : verdict;
  }

  /** The verdict of an earlier run, if it still stands. */
  private @Nullable Verdict carried(Engine engine, Family family, Claim claim) {
    Ledger ledger = wishes.believed();
    Precedent earlier = ledger == null ? null : ledger.precedent(claim.id());
    Verdict verdict = earlier == null ? null : engine.carried(claim, earlier);
    if (verdict != null) {
      family.add(claim, earlier);
    }
    return verdict;
  }

  /** Null if none were looked for, or not to the end. */
  private @Nullable List<String> remedies(Claim claim, Verdict verdict, Progress progress) {
    if (!wishes.remedies()
        || !(verdict instanceof Verdict.Reached reached)
        || claim.kind() != Claim.Kind.HAZARD) {
      return null;
    }
    return earlier.remedies(claim, reached.trace(), progress);
  }

  /** False if there was no time to find out. */
  private boolean stands(Claim claim, Certificate proof, CheckingTime time) {
    return switch (CertificateChecker.check(model, proof, time)) {
      case CertificateChecker.Outcome.Stands() -> true;
      case CertificateChecker.Outcome.NotChecked() -> false;
      case CertificateChecker.Outcome.IsRefused(String why) ->
          throw new IllegalStateException(
              "the certificate made for " + claim.id() + " is refused: " + why);
    };
  }

  private @Nullable Story story(Claim claim, Verdict verdict) {
    if (!(verdict instanceof Verdict.Reached reached)) {
      return null;
    }
    return switch (Replay.run(model, claim, reached.trace())) {
      case Replayed.Valid valid -> StoryTeller.tell(model, claim, reached, valid);
      case Replayed.Invalid(int step, String reason) ->
          throw new IllegalStateException(
              "the run found for " + claim.id() + " fails at step " + step + ": " + reason);
    };
  }

  /** One answer for each claim in their order, the undecided included. */
  synchronized List<Answer> answers() {
    var answers = new ArrayList<Answer>();
    for (int i = 0; i < decided.length; i++) {
      Answer answer = decided[i];
      answers.add(answer == null ? undecided(claims.get(i), wishes.whyNotReached()) : answer);
    }
    return answers;
  }

  /** What went wrong inside, at the first claim where something did, or null. */
  synchronized @Nullable Throwable broken() {
    for (Throwable fault : broken) {
      if (fault != null) {
        return fault;
      }
    }
    return null;
  }

  /** The certificate of the last proof, if certificates were wished for and there was a proof. */
  synchronized @Nullable Certificate certificate() {
    return certificate;
  }

  private static Answer undecided(Claim claim, String reason) {
    return new Answer(claim, new Verdict.Undecided(reason, 0, List.of(), NONE), null);
  }
}
