package stoplog.checker.cli;

import stoplog.checker.abstraction.Decider;
import stoplog.checker.explore.Budget;
import stoplog.checker.explore.Progress;
import stoplog.model.Claim;
import stoplog.model.Model;
import stoplog.model.Verdict;

/** What decides a claim. Tests put their own in its place. */
interface Engine {
  Verdict decide(Model model, Claim claim, boolean whole, Budget budget, Progress progress);

  /** The one that ships. */
  static Verdict shipped(
      Model model, Claim claim, boolean whole, Budget budget, Progress progress) {
    return whole
        ? Decider.decideWhole(model, claim, budget, progress)
        : Decider.decide(model, claim, budget, progress);
  }
}
