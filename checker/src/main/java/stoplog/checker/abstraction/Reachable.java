package stoplog.checker.abstraction;

import java.util.ArrayList;
import java.util.BitSet;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Optional;
import stoplog.checker.explore.Budget;
import stoplog.checker.explore.Progress;
import stoplog.checker.explore.Search;
import stoplog.model.Claim;
import stoplog.model.Expr;

/** What a few variables can be together, as far as a search that keeps only them can tell. */
public final class Reachable {
  private Reachable() {}

  /**
   * A condition over the variables that holds after every step of every run; it may hold elsewhere, too.
   *
   * @param faults how many faults the runs may hold
   * @return empty if the search comes to no end within the budget
   */
  public static Optional<Expr> of(
      Reads reads, BitSet variables, int faults, Budget budget, Progress progress) {
    return of(reads, variables, faults, new Searches("reachable", budget, progress));
  }

  /** The same, at the cost of these searches. */
  static Optional<Expr> of(Reads reads, BitSet variables, int faults, Searches searches) {
    var nothing =
        new Claim(
            "reachable", "", Claim.Kind.HAZARD, Expr.FALSE, 0, List.of(), faults,
            reads.model().variables().getFirst().origin());
    var kept = new Kept(variables, false);
    var system = new KeptSystem(reads, nothing, kept);
    if (!(searches.run(system, kept, Search.Zoning.MERGED) instanceof Search.Outcome.Exhausted)) {
      return Optional.empty();
    }
    var together = new LinkedHashSet<List<Expr>>();
    searches
        .last()
        .visit(
            (state, _, _) -> {
              var values = new ArrayList<Expr>();
              for (int v : system.stored()) {
                values.add(Expr.is(v, system.valueIn(state, v)));
              }
              together.add(values);
            });
    return Optional.of(Expr.any(together.stream().map(Expr::all).toList()));
  }
}
