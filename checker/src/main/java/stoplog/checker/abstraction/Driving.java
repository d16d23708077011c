package stoplog.checker.abstraction;

import org.jspecify.annotations.Nullable;
import stoplog.model.Claim;

/**
 * When, in the course of one claim, a run that is wanted is driven ({@link Errand}) rather than searched for.
 *
 * <p>It is driven as soon as a search has found a path that may be one. In large plants, and
 * where it is short, it is taken. Else the search goes on, since it makes for the shorter story; but only so
 * long as is in proportion, for in the end the one at hand will do, without what was given in vain.
 */
final class Driving {
  /** Steps of a run that is short enough in any case. */
  private static final int SHORT = 4;

  /**
   * Steps without which no run gets there, from which on one that makes for a long story is driven too as soon as
   * the search proves toilsome.
   */
  private static final int LONG_ANYWAY = 20;

  /** Work, as {@link Searches#workUpTo} counts it, that may be spent to find a shorter run, for each step. */
  private static final int WORK_FOR_STEP = 100;

  private final Reads reads;
  private final Claim claim;
  private final Searches searches;
  private boolean errandTried;
  private boolean nearestLeft;
  private Errand.@Nullable Run spare;

  Driving(Reads reads, Claim claim, Searches searches) {
    this.reads = reads;
    this.claim = claim;
    this.searches = searches;
    this.nearestLeft = claim.kind().wanted();
  }

  /**
   * A run to take once a path has been found, or null.
   *
   * @param fewest steps that any run has
   */
  Errand.@Nullable Run alongside(int fewest) {
    return claim.kind().wanted() ? errand(fewest) : null;
  }

  private Errand.@Nullable Run errand(int fewest) {
    if (errandTried) {
      return isLongAnyway(fewest) ? nearest() : null;
    }
    errandTried = true;
    Errand.Run run = Errand.of(reads, claim, searches);
    if (run == null) {
      return null;
    }
    int steps = run.trace().steps().size();
    if (Errand.comesFirst(reads.model()) || steps <= SHORT) {
      return run;
    }
    spare = run;
    searches.workUpTo((long) WORK_FOR_STEP * steps);
    return null;
  }

  private boolean isLongAnyway(int fewest) {
    return spare == null && nearestLeft && fewest >= LONG_ANYWAY && searches.isToil();
  }

  private Errand.@Nullable Run nearest() {
    nearestLeft = false;
    return Errand.nearestFirst(reads, claim, searches);
  }

  /** A run to take where the search has got stuck or takes too long, or null. */
  Errand.@Nullable Run instead() {
    if (spare != null) {
      return Errand.shortened(spare, reads, claim, searches);
    }
    return nearestLeft && errandTried && searches.isToil() ? nearest() : null;
  }

  /**
   * Whether to ask here again before the search goes on.
   *
   * @param fewest steps that any run has
   */
  boolean isCalledFor(int fewest) {
    return spare != null ? searches.isWorkDone() : isLongAnyway(fewest);
  }
}
