package stoplog.checker.report;

import java.util.List;
import org.jspecify.annotations.Nullable;
import stoplog.model.Claim;
import stoplog.model.Verdict;

/**
 * One claim with its verdict.
 *
 * @param story how it comes about; present exactly if the verdict is {@link Verdict.Reached}
 * @param remedies interlocks any one of which would stop it, a line each; proved on the changed plant.
 *     None if none was found, null if none was looked for
 * @param proof what was done to have the proof checked by other means
 * @param carried where the verdict comes from if nothing was searched; null if something was
 */
public record Answer(
    Claim claim,
    Verdict verdict,
    @Nullable Story story,
    @Nullable List<String> remedies,
    ProofCheck proof,
    @Nullable Carried carried) {
  /** What is behind a proof: whether it was checked a second time, from its certificate alone. */
  public enum ProofCheck {
    NOT_WANTED,
    STANDS,
    /** There is no form of certificate yet for what was proved. */
    NO_CERTIFICATE
  }

  /**
   * The verdict of the same question, asked earlier.
   *
   * @param claim the claim of this plant, about like things, that it was asked for; null if it was asked
   *     in an earlier run, of this claim
   * @param given what an undecided claim was given when it was tried; null exactly if it is decided
   */
  public record Carried(@Nullable String claim, @Nullable Given given) {
    String words() {
      return given != null ? "not tried again" : claim == null ? "as before" : "as " + claim;
    }
  }

  public Answer {
    remedies = remedies == null ? null : List.copyOf(remedies);
    if ((verdict instanceof Verdict.Reached) != (story != null)) {
      throw new IllegalArgumentException("a story for every run that was found, and for no other");
    }
    if (carried != null && (carried.given() != null) != (verdict instanceof Verdict.Undecided)) {
      throw new IllegalArgumentException("what is carried is decided, or tells what it was given");
    }
    if (proof != ProofCheck.NOT_WANTED && !(verdict instanceof Verdict.Proved)) {
      throw new IllegalArgumentException("only a proof has a certificate");
    }
  }

  /** An answer whose certificate, if it has one, was not checked. */
  public Answer(Claim claim, Verdict verdict, @Nullable Story story) {
    this(claim, verdict, story, null, ProofCheck.NOT_WANTED, null);
  }

  /** How far the plant stays from it; null if it is not proved or allows no time at all. */
  @Nullable Margin margin() {
    return verdict instanceof Verdict.Proved proved ? Margin.of(claim, proved) : null;
  }

  public Standing standing() {
    return Standing.of(claim, verdict);
  }
}
