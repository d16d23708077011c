package stoplog.checker.cli;

import stoplog.checker.abstraction.Decider;
import stoplog.checker.abstraction.Reads;
import stoplog.checker.explore.Budget;
import stoplog.checker.explore.Progress;
import stoplog.model.Claim;
import stoplog.model.Model;
import stoplog.model.Verdict;

/** What decides the claims of one model. Tests put their own in its place. */
interface Engine {
  /** @param whole whether to search the whole model instead of what bears on the claim */
  Verdict decide(Claim claim, boolean whole, Budget budget, Progress progress);

  /** The one that ships. What it learns of the model as a whole, it learns once for all claims. */
  static Engine shipped(Model model) {
    var reads = new Reads(model);
    return (claim, whole, budget, progress) ->
        whole
            ? Decider.decideWhole(model, claim, budget, progress)
            : Decider.decide(reads, claim, budget, progress);
  }
}
