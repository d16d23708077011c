package stoplog.checker.abstraction;

import java.util.List;
import stoplog.checker.explore.Budget;
import stoplog.checker.explore.Progress;
import stoplog.model.Claim;
import stoplog.model.Model;
import stoplog.model.Verdict;

/** Stands here only until the search is merged: it decides nothing. */
public final class Decider {
  private Decider() {}

  public static Verdict decide(Model model, Claim claim, Budget budget, Progress progress) {
    return new Verdict.Undecided(
        "this build has no search", 0, List.of(), new Verdict.Effort(0, 0, 0, 0));
  }

  public static Verdict decideWhole(Model model, Claim claim, Budget budget, Progress progress) {
    return decide(model, claim, budget, progress);
  }
}
