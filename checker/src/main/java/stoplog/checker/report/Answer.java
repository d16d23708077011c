package stoplog.checker.report;

import org.jspecify.annotations.Nullable;
import stoplog.model.Claim;
import stoplog.model.Verdict;

/**
 * One claim with its verdict.
 *
 * @param story how it comes about; present exactly if the verdict is {@link Verdict.Reached}
 */
public record Answer(Claim claim, Verdict verdict, @Nullable Story story) {
  public Answer {
    if ((verdict instanceof Verdict.Reached) != (story != null)) {
      throw new IllegalArgumentException("a story for every run that was found, and for no other");
    }
  }

  /** How far the plant stays from it; null if it is not proved or allows no time at all. */
  @Nullable Margin margin() {
    return verdict instanceof Verdict.Proved proved ? Margin.of(claim, proved) : null;
  }

  public Standing standing() {
    return Standing.of(claim, verdict);
  }
}
