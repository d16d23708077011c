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

  public Standing standing() {
    return Standing.of(claim, verdict);
  }
}
