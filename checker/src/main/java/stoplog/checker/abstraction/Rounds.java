package stoplog.checker.abstraction;

import java.util.BitSet;
import java.util.List;
import org.jspecify.annotations.Nullable;
import stoplog.checker.explore.Search;
import stoplog.model.Claim;
import stoplog.model.Verdict;

/**
 * The rounds of a {@link Refinement}: a search with some variables kept, then {@link Following} the path
 * found, then a search with more kept.
 *
 * <p>What stands in the way of one path is not always what a proof needs: rounds that begin with what the
 * claim names may gather much that only makes paths longer. Where they have become toil the question is
 * begun anew with what causes and what could stop the condition, for as long as most proofs take; if that
 * leads nowhere, the first rounds go on.
 */
final class Rounds {
  /** Zones of a coarse search up to which it is sooner repeated than patiently refined. */
  private static final long CHEAP_ZONES = 20_000;

  /** Variables and groups beyond which steps may be too dear for what only may lead somewhere. */
  private static final int MOST_KEPT_ANEW = 16;

  private final Refinement question;
  private final Reads reads;
  private final Claim claim;
  private final Searches searches;
  private final FirstKept first;
  private final boolean grouping;
  private long easy;
  private final boolean anewFirst;
  private final Driving driving;

  /** No path of some system searched has fewer steps; the one gone on with may have more. */
  private int fewest;

  /** What the search kept that showed how few steps a run has at least. */
  private @Nullable Kept shownWith;

  /** How often a run was looked for on the whole model. */
  private int pursuits;

  /** What is kept now. */
  private Kept kept;

  /** Whether it has begun anew, and only sees whether that leads somewhere soon. */
  private boolean briefly;

  /** Whether nothing is left but to go on. */
  private boolean last;

  /** @param anewFirst whether to begin anew at once, be the question hard or not */
  Rounds(
      Refinement question,
      Reads reads,
      Claim claim,
      Searches searches,
      FirstKept first,
      boolean grouping,
      long easy,
      boolean anewFirst) {
    this.question = question;
    this.reads = reads;
    this.claim = claim;
    this.searches = searches;
    this.first = first;
    this.grouping = grouping;
    this.easy = easy;
    this.anewFirst = anewFirst;
    this.driving = new Driving(reads, claim, searches);
    this.kept = first.named(grouping);
  }

  Verdict run() {
    if (claim.kind().wanted()) {
      return goneOn();
    }
    Verdict verdict = anewFirst ? null : rounds(searches.untilToil());
    if (verdict == null) {
      verdict = anew();
    }
    if (verdict == null && Errand.isLarge(reads.model())) {
      verdict = driven(Mishap.of(reads, claim, searches), kept);
    }
    return verdict == null ? goneOn() : verdict;
  }

  private @Nullable Verdict anew() {
    Kept soFar = kept;
    long before = searches.visited();
    briefly = true;
    Verdict verdict = grouping ? anew(first.withCauses(true)) : null;
    if (verdict == null) {
      verdict = anew(first.withCauses(false));
    }
    briefly = false;
    kept = soFar;
    // What this has cost does not make the rest hard.
    easy += easy < 0 ? 0 : searches.visited() - before;
    return verdict;
  }

  /** The verdict if it is reached soon by beginning with this kept, or null. */
  private @Nullable Verdict anew(Kept start) {
    kept = start;
    try {
      return rounds(searches.soon());
    } catch (Diagram.TooIntricate _) {
      return null;
    }
  }

  private Verdict goneOn() {
    last = true;
    Verdict verdict = rounds(Searches.Share.ALL);
    if (verdict == null) {
      throw new IllegalStateException("all searches together have taken more than all");
    }
    return verdict;
  }

  /** The verdict, or null if there is none within a share of the searches. */
  private @Nullable Verdict rounds(Searches.Share share) {
    while (true) {
      if (searches.hasTaken(share) || (briefly && kept.size() > MOST_KEPT_ANEW)) {
        return null;
      }
      Verdict early = searches.isWorkDone() ? driven(driving.instead(), kept) : null;
      if (early == null && !briefly && searches.visited() > mostNodes()) {
        early = pursued(kept);
      }
      if (early != null) {
        return early;
      }
      long before = searches.visited();
      var system = new KeptSystem(reads, claim, kept);
      switch (path(system)) {
        case Search.Outcome.Exhausted e -> {
          return question.proved(system);
        }
        case Search.Outcome.Stopped s -> {
          if (!last && !searches.over()) {
            // It is done again when nothing is left but to go on.
            easy += easy < 0 || briefly ? 0 : searches.visited() - before;
            return null;
          }
          boolean goesOn = searches.stopsAt(mostNodes()) && !searches.over();
          Verdict found = driven(driving.instead(), kept);
          if (found == null) {
            found = goesOn ? pursued(kept) : question.undecided(s.reason(), s.level(), kept);
          }
          if (found != null) {
            return found;
          }
        }
        case Search.Outcome.Found f -> {
          Verdict driven = driven(driving.alongside(fewest), kept);
          if (driven != null) {
            return driven;
          }
          // Starting again is cheap while few variables are kept, and finds the smaller proof.
          boolean patient = claim.kind().wanted() || searches.costOfLast() > CHEAP_ZONES;
          var along =
              new Following(reads, claim, searches, system, f.path(), patient, first.offered(kept))
                  .follow(
                      briefly ? share : share.upTo(mostNodes()), () -> driving.isCalledFor(fewest));
          switch (along) {
            case Following.Result.Real r -> {
              return reached(r, Searches.CONFIRMING_STATES);
            }
            case Following.Result.Hard h -> {}
            case Following.Result.Refine r -> {
              // Every round must keep more, or this would not end.
              if (briefly && r.kept().equals(kept)) {
                return null;
              }
              kept = r.kept().equals(kept) ? Kept.everything(reads) : r.kept();
            }
            case Following.Result.Stuck s -> {
              if (briefly && !searches.over()) {
                return null;
              }
              Verdict last = driven(driving.instead(), kept);
              if (last == null && pursuits < 2 && !searches.over()) {
                last = pursued(kept);
              }
              return last != null ? last : question.undecided(s.reason(), fewest, kept);
            }
          }
        }
      }
    }
  }

  /** How much may be visited before a run is looked for on the whole model, or before it is not soon. */
  private long mostNodes() {
    return briefly ? Searches.SOON_NODES : Searches.easyNodes(easy, pursuits);
  }

  /** How much an exact search may visit before the question is begun anew. */
  private long exactNodes() {
    return last ? mostNodes() : Math.min(mostNodes(), Searches.EXACT_NODES);
  }

  /** @param kept what the search kept that tells how few steps a run may have */
  private @Nullable Verdict pursued(Kept kept) {
    int most =
        pursuits++ == 0 ? Searches.SHORT_PURSUIT_NODES : Searches.LONG_PURSUIT_NODES;
    Following.Result.Real run = Pursuit.run(reads, claim, searches, kept, most);
    return run == null ? null : reached(run, Searches.CONFIRMING_PURSUED_STATES);
  }

  private @Nullable Verdict driven(Errand.@Nullable Run run, Kept kept) {
    if (run == null) {
      return null;
    }
    BitSet leans = new BitSet();
    run.sought().forEach(leans::set);
    question.recordRun(shownWith);
    int events = run.trace().steps().size();
    return new Verdict.Reached(
        run.trace(), events, Math.min(fewest, events), question.names(kept.with(leans, false, reads)),
        searches.effort());
  }

  /**
   * A path of the system, or none. First with one zone for each state, which is cheap; the exact
   * search is needed only where that leads along a path that does not exist.
   */
  private Search.Outcome path(KeptSystem system) {
    Search.Outcome merged =
        searches.runUpTo(system, system.kept(), Search.Zoning.MERGED, mostNodes());
    if (!(merged instanceof Search.Outcome.Found f)) {
      return merged;
    }
    isAtLeast(f.path().steps().length, system.kept());
    var along = new GuidedSystem(system, system, f.path());
    if (searches.runWithin(along, system.kept(), Searches.FOLLOWING_STATES)
        instanceof Search.Outcome.Found real) {
      return new Search.Outcome.Found(Following.cut(real.path(), system.words()));
    }
    Search.Outcome exact =
        searches.runUpTo(system, system.kept(), Search.Zoning.FOR_REACHING, exactNodes());
    if (exact instanceof Search.Outcome.Found found) {
      isAtLeast(found.path().steps().length, system.kept());
    }
    return exact;
  }

  private void isAtLeast(int steps, Kept kept) {
    // What is kept may have become less: what was shown before stands.
    if (steps >= fewest) {
      fewest = steps;
      shownWith = kept;
    }
  }

  /** @param limit of the search for a shorter one */
  private Verdict reached(Following.Result.Real real, long limit) {
    searches.workOn();
    ShortestRun best = ShortestRun.of(reads, claim, searches, real, fewest, limit);
    shownWith = best.least() > fewest ? real.kept() : shownWith;
    question.recordRun(shownWith);
    return new Verdict.Reached(
        best.run().trace(), best.run().events(), best.least(), question.names(best.run().kept()), searches.effort());
  }
}
