package stoplog.checker.abstraction;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.BitSet;
import java.util.HashMap;
import java.util.HashSet;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Set;
import org.jspecify.annotations.Nullable;
import stoplog.checker.explore.Recovery;
import stoplog.checker.explore.Search;
import stoplog.checker.explore.WithoutGoal;
import stoplog.checker.reference.Replay;
import stoplog.checker.reference.Replayed;
import stoplog.model.Claim;
import stoplog.model.Expr;
import stoplog.model.Model;
import stoplog.model.Trace;
import stoplog.model.Verdict;

/**
 * Looks for lock-outs of a plant too large to search, with few variables kept: first those that the
 * claim speaks of, then also those that these depend on directly, and so on, as far as the searches
 * stay small.
 *
 * <p>All that the plant can do it can do with variables hidden (see {@link KeptSystem}), and more. So
 * values of the kept variables from which the condition cannot be reached even then are a lock-out of
 * the plant wherever they occur. Whether they do is an ordinary question about what can be reached, and
 * is decided as one. Finding nothing here says nothing.
 *
 * <p>Values count only if no reading of any clock and no state of the scan or of the fault budget with
 * which the search has reached them leads on to the condition; a run of the plant that gets to them
 * is, with the hidden variables struck out, one of the runs of that search.
 */
final class CoarseLockOuts {
  /** Kinds of lock-outs, values that differ in one variable taken together, beyond which none is asked about. */
  private static final int MOST_KINDS = 500;

  /** A run into a lock-out. */
  record Found(Trace trace, int events, Kept kept) {}

  private final Reads reads;
  private final Model model;
  private final Claim claim;
  private final Searches searches;

  CoarseLockOuts(Reads reads, Claim claim, Searches searches) {
    this.reads = reads;
    this.model = reads.model();
    this.claim = claim;
    this.searches = searches;
  }

  /**
   * A run into a lock-out, or null if none is found.
   *
   * @param cone where to stop, since more is not needed
   */
  @Nullable Found find(Kept cone) {
    BitSet named = reads.of(claim.condition());
    named.or(reads.of(claim.onlyWhile()));
    claim.monitors().forEach(m -> named.set(m.variable()));
    BitSet ring = named;
    while (!searches.over()) {
      Map<List<Integer>, Boolean> values = values(new Kept(ring, false));
      if (values == null) {
        return null;
      }
      Found found = real(new Kept(ring, false), values);
      BitSet wider = Cone.oneStepBack(reads, claim, ring);
      if (found != null || wider.equals(ring) || !KeptSystem.isWithin(wider, cone.variables())) {
        return found;
      }
      ring = wider;
    }
    return null;
  }

  /** Values of what is stored, and whether any way leads on from them; null if there are too many. */
  private @Nullable Map<List<Integer>, Boolean> values(Kept kept) {
    var system = new KeptSystem(reads, claim, kept);
    var timed = new WithoutGoal(system);
    if (searches.runForFutures(timed, kept, Searches.COARSE_STATES)
        instanceof Search.Outcome.Stopped) {
      return null;
    }
    Search search = searches.last();
    Recovery recovery = searches.recovery(timed);
    if (recovery.run(LockOuts.hopes(system, timed, model, false)) != null) {
      return null;
    }
    var values = new LinkedHashMap<List<Integer>, Boolean>();
    long[] state = new long[timed.words()];
    for (int id = 0; id < search.stateCount(); id++) {
      if (!search.zonesOf(id).isEmpty()) {
        search.state(id, state);
        var of = new ArrayList<Integer>();
        for (int v : system.stored()) {
          of.add(system.valueIn(state, v));
        }
        values.merge(of, recovery.hasHope(id), Boolean::logicalOr);
      }
    }
    return values;
  }

  private @Nullable Found real(Kept kept, Map<List<Integer>, Boolean> values) {
    int[] stored = new KeptSystem(reads, claim, kept).stored();
    Set<List<Integer>> hopeless = new HashSet<>();
    List<long[]> kinds = new ArrayList<>();
    for (Map.Entry<List<Integer>, Boolean> of : values.entrySet()) {
      if (!of.getValue()) {
        hopeless.add(of.getKey());
        kinds.add(of.getKey().stream().mapToLong(v -> 1L << v).toArray());
      }
    }
    for (int at = 0; at < stored.length; at++) {
      kinds = together(kinds, at);
    }
    if (kinds.isEmpty() || kinds.size() > MOST_KINDS) {
      return null;
    }
    var hazard =
        new Claim(
            claim.id(), claim.text(), Claim.Kind.HAZARD,
            Expr.all(condition(stored, kinds), claim.onlyWhile()), 0,
            claim.monitors(), claim.faultBudget(), claim.faultsOf(), claim.basis(), claim.origin());
    if (!(Decider.decide(reads, hazard, searches) instanceof Verdict.Reached reached)) {
      return null;
    }
    // Asking about other variables, that claim may have had the controller watch more; and it followed
    // runs that this one does not.
    Trace trace = reached.trace();
    if (!(Replay.run(model, claim, trace) instanceof Replayed.Valid valid)) {
      return null;
    }
    var end = new ArrayList<Integer>();
    for (int v : stored) {
      end.add(valid.end().value(v));
    }
    return hopeless.contains(end) ? new Found(trace, reached.events(), leaned(kept, reached)) : null;
  }

  private Kept leaned(Kept kept, Verdict.Reached reached) {
    BitSet all = (BitSet) kept.variables().clone();
    reached.kept().forEach(name -> all.set(model.variable(name).id()));
    return new Kept(all, false);
  }

  /** Takes those together that differ in one place only. */
  private static List<long[]> together(List<long[]> kinds, int at) {
    var byRest = new HashMap<List<Long>, Integer>();
    var result = new ArrayList<long[]>();
    for (long[] kind : kinds) {
      long[] rest = kind.clone();
      rest[at] = 0;
      Integer known = byRest.putIfAbsent(Arrays.stream(rest).boxed().toList(), result.size());
      if (known == null) {
        result.add(kind);
      } else {
        result.get(known)[at] |= kind[at];
      }
    }
    return result;
  }

  private Expr condition(int[] stored, List<long[]> kinds) {
    var any = new ArrayList<Expr>();
    for (long[] kind : kinds) {
      var all = new ArrayList<Expr>();
      for (int i = 0; i < stored.length; i++) {
        if (kind[i] != model.variable(stored[i]).domain()) {
          all.add(new Expr.In(new Expr.Read(stored[i]), kind[i]));
        }
      }
      any.add(Expr.all(all));
    }
    return Expr.any(any);
  }
}
