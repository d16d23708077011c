package stoplog.checker.abstraction;

import java.util.List;
import stoplog.checker.explore.Search;
import stoplog.model.Claim;

/**
 * A run, and how few events a run has at least.
 *
 * @param least what a search has shown that kept what the run leans on, or one before it
 */
record ShortestRun(Following.Result.Real run, int least) {
  /**
   * For a finding, first tries to show that a run is a shortest one or to find a shorter: one search with
   * what the run leans on kept.
   *
   * @param fewest how few events a run is known to have at least
   * @param limit of that search
   */
  static ShortestRun of(
      Reads reads, Claim claim, Searches searches, Following.Result.Real real, int fewest, long limit) {
    if (claim.kind().wanted() || real.events() <= fewest) {
      return new ShortestRun(real, fewest);
    }
    var system = new KeptSystem(reads, claim, real.kept());
    if (!(searches.runWithin(system, real.kept(), limit) instanceof Search.Outcome.Found f)) {
      return new ShortestRun(real, fewest);
    }
    int steps = f.path().steps().length;
    boolean shorter = steps < real.events();
    return new ShortestRun(
        shorter
                && new Following(reads, claim, searches, system, f.path(), true, List.of()).complete()
                    instanceof Following.Result.Real found
            ? found
            : real,
        Math.max(fewest, steps));
  }
}
