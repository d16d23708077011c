package stoplog.checker.abstraction;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.BitSet;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import org.jspecify.annotations.Nullable;
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
    Together all = together(reads, variables, faults, new Searches("reachable", budget, progress));
    if (all == null) {
      return Optional.empty();
    }
    var together = new ArrayList<Expr>();
    for (List<Integer> values : all.values()) {
      var each = new ArrayList<Expr>();
      for (int i = 0; i < all.variables().size(); i++) {
        each.add(Expr.is(all.variables().get(i), values.get(i)));
      }
      together.add(Expr.all(each));
    }
    return Optional.of(Expr.any(together));
  }

  /**
   * Every combination of values that variables have after any step of any run, and perhaps others.
   *
   * @param variables ascending; those that a search need not store are not among them
   */
  record Together(List<Integer> variables, Set<List<Integer>> values) {}

  /** What these variables can be together; null if the search comes to no end. */
  static @Nullable Together together(
      Reads reads, BitSet variables, int faults, Searches searches) {
    var nothing =
        new Claim(
            "reachable", "", Claim.Kind.HAZARD, Expr.FALSE, 0, List.of(), faults,
            reads.model().variables().getFirst().origin());
    var kept = new Kept(variables, false);
    var system = new KeptSystem(reads, nothing, kept);
    if (!(searches.run(system, kept, Search.Zoning.MERGED) instanceof Search.Outcome.Exhausted)) {
      return null;
    }
    List<Integer> stored = Arrays.stream(system.stored()).boxed().toList();
    var values = new LinkedHashSet<List<Integer>>();
    searches
        .last()
        .visit(
            (state, _, _) -> values.add(stored.stream().map(v -> system.valueIn(state, v)).toList()));
    return new Together(stored, values);
  }
}
