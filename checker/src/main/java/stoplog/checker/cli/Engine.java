package stoplog.checker.cli;

import java.time.Duration;
import java.util.List;
import org.jspecify.annotations.Nullable;
import stoplog.checker.abstraction.Decider;
import stoplog.checker.abstraction.Family;
import stoplog.checker.abstraction.Precedent;
import stoplog.checker.abstraction.Reads;
import stoplog.checker.analyse.Health;
import stoplog.checker.analyse.Remembered;
import stoplog.checker.explore.Budget;
import stoplog.checker.explore.Progress;
import stoplog.model.Claim;
import stoplog.model.Model;
import stoplog.model.Verdict;

/**
 * What decides the claims of one model, several at a time if asked to. Tests put their own in its
 * place.
 */
interface Engine {
  /** @param whole whether to search the whole model instead of what bears on the claim */
  Verdict decide(Claim claim, boolean whole, Budget budget, Progress progress);

  /** The same with a certificate for a proof. An engine that writes none has none to show. */
  default Decider.Decision certified(
      Claim claim, boolean whole, Budget budget, Progress progress) {
    return new Decider.Decision(decide(claim, whole, budget, progress), null);
  }

  /**
   * The same, not of the whole model, with what a proof stands on.
   *
   * @param certified whether a certificate is wanted too
   */
  default Decider.Decision recorded(
      Claim claim, boolean certified, Budget budget, Progress progress) {
    return certified
        ? certified(claim, false, budget, progress)
        : new Decider.Decision(decide(claim, false, budget, progress), null);
  }

  /** The earlier verdict if it holds for this model without a search; null if not. */
  default @Nullable Verdict carried(Claim claim, Precedent earlier) {
    return null;
  }

  /** What a decision leaves to later ones; null if nothing. */
  default @Nullable Precedent precedent(Decider.Decision decision) {
    return null;
  }

  /** Fingerprint of all that an answer to the claim can depend on; null if that cannot be told. */
  default @Nullable String question(Claim claim) {
    return null;
  }

  /** The claims, those together that may be decided alike. */
  default List<Family> families(List<Claim> claims) {
    return claims.stream().map(Family::alone).toList();
  }

  /**
   * What is amiss with the model itself. An engine that does not look has nothing to say.
   *
   * @param proved the hazards that are proved; {@code null} to ask only for what voids proofs
   * @param most how long it may take
   * @param remembered what earlier runs have found out of the plant
   */
  default List<Health.Finding> examine(
      @Nullable List<Claim> proved, Duration most, Remembered remembered, Progress progress) {
    return List.of();
  }

  /** The one that ships. What it learns of the model as a whole, it learns once for all claims. */
  static Engine shipped(Model model) {
    var reads = new Reads(model);
    return new Engine() {
      @Override
      public Verdict decide(Claim claim, boolean whole, Budget budget, Progress progress) {
        return whole
            ? Decider.decideWhole(model, claim, budget, progress)
            : Decider.decide(reads, claim, budget, progress);
      }

      @Override
      public Decider.Decision certified(
          Claim claim, boolean whole, Budget budget, Progress progress) {
        return whole
            ? Decider.decideWholeCertified(reads, claim, budget, progress)
            : Decider.decideCertified(reads, claim, budget, progress);
      }

      @Override
      public Decider.Decision recorded(
          Claim claim, boolean certified, Budget budget, Progress progress) {
        return Decider.decideRecorded(reads, claim, certified, budget, progress);
      }

      @Override
      public @Nullable Verdict carried(Claim claim, Precedent earlier) {
        return earlier.carried(reads, claim);
      }

      @Override
      public @Nullable Precedent precedent(Decider.Decision decision) {
        return Precedent.of(reads, decision);
      }

      @Override
      public @Nullable String question(Claim claim) {
        return Decider.question(reads, claim);
      }

      @Override
      public List<Family> families(List<Claim> claims) {
        return Family.of(reads, claims);
      }

      @Override
      public List<Health.Finding> examine(
          @Nullable List<Claim> proved, Duration most, Remembered remembered, Progress progress) {
        return proved == null
            ? Health.voiding(reads, remembered, progress)
            : Health.of(reads, proved, most, remembered, progress);
      }
    };
  }
}
