package stoplog.checker.abstraction;

import stoplog.checker.explore.Budget;
import stoplog.checker.explore.Progress;
import stoplog.checker.explore.Search;
import stoplog.model.Claim;
import stoplog.model.Model;

/**
 * One search of a whole model by the engine that decides claims, and what it took; for benchmarks.
 *
 * @param states discrete states reached
 * @param bits that one packed state has
 * @param bytes of the search's tables at its end
 */
public record WholeSearch(long states, int bits, long bytes) {
  /** Searches all that can be reached: the claim's condition must hold nowhere. */
  public static WholeSearch of(Model model, Claim claim, Budget budget) {
    var reads = new Reads(model);
    Kept kept = Kept.everything(reads);
    var system = new KeptSystem(reads, claim, kept);
    var searches = new Searches(claim.id(), budget, Progress.NONE);
    Search.Outcome outcome = searches.run(system, kept, Search.Zoning.FOR_REACHING);
    if (!(outcome instanceof Search.Outcome.Exhausted)) {
      throw new IllegalStateException(outcome.toString());
    }
    int bits = 0;
    for (int v : system.stored()) {
      bits += 32 - Integer.numberOfLeadingZeros(model.variable(v).size() - 1);
    }
    Search search = searches.last();
    return new WholeSearch(search.states(), bits, search.bytes());
  }
}
