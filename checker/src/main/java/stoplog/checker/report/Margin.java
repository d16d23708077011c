package stoplog.checker.report;

import org.jspecify.annotations.Nullable;
import stoplog.model.Claim;
import stoplog.model.Model;
import stoplog.model.Verdict;

/**
 * By how much a plant stays below the time for which a hazard may last or an answer may be awaited.
 * The true margin is this or more.
 *
 * @param quanta what is left of {@code ofQuanta}, 0 or more
 * @param ofQuanta the time that the claim allows, above 0
 * @param neverBegins whether the condition holds at no time; then all of the time is left
 */
record Margin(long quanta, long ofQuanta, boolean neverBegins) {
  /** Null if the claim allows no time, or is about what can be and not about what must not. */
  static @Nullable Margin of(Claim claim, Verdict.Proved proved) {
    if (claim.forQuanta() == 0 || claim.kind().wanted()) {
      return null;
    }
    long left = claim.forQuanta() - Math.max(0, proved.longestQuanta());
    return new Margin(left, claim.forQuanta(), proved.longestQuanta() < 0);
  }

  /** {@code "margin 0.6 s of 10 s"} or {@code "never begins"}. */
  String words(Model model) {
    return neverBegins
        ? "never begins"
        : "margin " + Seconds.span(model, quanta) + " of " + Seconds.span(model, ofQuanta);
  }
}
