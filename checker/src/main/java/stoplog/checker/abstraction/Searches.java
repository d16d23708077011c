package stoplog.checker.abstraction;

import java.time.Duration;
import org.jspecify.annotations.Nullable;
import stoplog.checker.explore.BestFirst;
import stoplog.checker.explore.Budget;
import stoplog.checker.explore.Progress;
import stoplog.checker.explore.Recovery;
import stoplog.checker.explore.Search;
import stoplog.checker.explore.TimedSystem;
import stoplog.model.Verdict;

/** Runs the searches of one question under its one budget, and counts what they cost. */
final class Searches {
  /** Limit of a search along a path; beyond it the path counts as not followed. */
  static final long FOLLOWING_STATES = 2_000;

  /** Limit of each search that tries what one more variable would do. */
  static final long TRYING_STATES = 2_000;

  /** Limit of each search that only tries whether fewer variables would do. */
  static final long SHRINKING_STATES = 2_000;

  /** Limit of the search that tries to show that a run is a shortest one. */
  static final long CONFIRMING_STATES = 100_000;

  /** The same for a run that was found on the whole model and leans on more. */
  static final long CONFIRMING_PURSUED_STATES = 20_000;

  /**
   * Nodes visited by all searches together after which a run is first looked for on the whole model. The
   * proofs of most claims take less.
   */
  static final long EASY_NODES = 200_000;

  /** The same for what is wanted, which an abstract path mostly leads to in the end. */
  static final long EASY_NODES_IF_WANTED = 1_000_000;

  /** The same for the second time, which may cost more. */
  static final long HARD_NODES = 2_000_000;

  /** What most proofs in large plants do with. */
  private static final Share EASY = new Share(200, 80_000);

  /** The same for a question that is begun anew: if that helps it does so soon. */
  private static final Share SOON = new Share(50, 15_000);

  /** Limit of an exact search after a merged one that found a path which does not exist. */
  static final long EXACT_NODES = 80_000;

  /** Limit of each search where a question is begun anew. */
  static final long SOON_NODES = 10_000;

  /** What the first and the second pursuit may cost. */
  static final int SHORT_PURSUIT_NODES = 6_000;

  static final int LONG_PURSUIT_NODES = 50_000;

  /** Limit of the first search of a cone, and of each search for lock-outs with few variables kept. */
  static final long COARSE_STATES = 50_000;

  private final String claim;
  private final Budget budget;
  private final Progress progress;
  private final long startNanos = System.nanoTime();
  private int count;
  private @Nullable Search last;
  private long states;
  private long zones;
  private long costOfLast;
  private long visited;
  private long work;
  private long mostWork = Long.MAX_VALUE;

  Searches(String claim, Budget budget, Progress progress) {
    this.claim = claim;
    this.budget = budget;
    this.progress = progress;
  }

  /**
   * How much may be visited before a run is looked for on the whole model, if ever again.
   *
   * @param first before it is looked for the first time
   * @param pursuits how often it was looked for
   */
  static long easyNodes(long first, int pursuits) {
    return pursuits == 0 ? first : pursuits == 1 ? first + HARD_NODES : Long.MAX_VALUE;
  }

  /** For a question that helps with this one, at a part of its cost; {@link #count} what it took. */
  Searches share(long mostStates, Duration mostTime) {
    long left = budget.time().toNanos() - (System.nanoTime() - startNanos);
    Duration time = Duration.ofNanos(Math.max(0, Math.min(left, mostTime.toNanos())));
    return new Searches(
        claim, new Budget(Math.min(budget.states(), mostStates), budget.bytes(), time), progress);
  }

  /** Adds what a question that helped has cost. */
  void count(Searches share) {
    count += share.count;
    states = Math.max(states, share.states);
    zones = Math.max(zones, share.zones);
  }

  /** The deciding kind of search: its size is what the verdict reports. */
  Search.Outcome run(TimedSystem system, Kept kept, Search.Zoning zoning) {
    return runUpTo(system, kept, zoning, budget.states());
  }

  /** The same with a limit on states of its own. */
  Search.Outcome runUpTo(TimedSystem system, Kept kept, Search.Zoning zoning, long limit) {
    Budget within = budget.withStates(Math.min(limit, budget.states()));
    Search.Outcome outcome = run(system, kept, zoning, within);
    Search search = last;
    if (search != null) {
      states = search.states();
      zones = search.zones();
      costOfLast = search.nodes();
    }
    return outcome;
  }

  /** Whether a search with this limit of its own stops for that sooner than for the budget. */
  boolean stopsAt(long limit) {
    return limit < budget.states();
  }

  /** How many zones the last deciding search visited. */
  long costOfLast() {
    return costOfLast;
  }

  /** An exact search that helps, with its own limit on states. */
  Search.Outcome runWithin(TimedSystem system, Kept kept, long limit) {
    return run(system, kept, Search.Zoning.FOR_REACHING, budget.withStates(limit));
  }

  /** A search for all futures that helps, with its own limit on states. */
  Search.Outcome runForFutures(TimedSystem system, Kept kept, long limit) {
    return run(system, kept, Search.Zoning.FOR_ALL_FUTURES, budget.withStates(limit));
  }

  /** A search for one way, as quick as may be. */
  BestFirst bestFirst(TimedSystem system, BestFirst.Guide guide, int mostNodes) {
    count++;
    system.giveUpWhen(this::isStepOver);
    int most = (int) Math.min(mostNodes, budget.states());
    return new BestFirst(
        system, guide, budget.withStates(most), startNanos + budget.time().toNanos(), progress);
  }

  /** From where the goal can still be reached, of what the last search has reached. */
  Recovery recovery(TimedSystem system) {
    return new Recovery(
        system, last(), budget, startNanos + budget.time().toNanos(), progress);
  }

  private Search.Outcome run(
      TimedSystem system, Kept kept, Search.Zoning zoning, Budget within) {
    count++;
    system.giveUpWhen(this::isStepOver);
    long deadline = startNanos + budget.time().toNanos();
    Search search =
        new Search(system, zoning, within, deadline, watched(), claim, kept.size());
    last = search;
    Search.Outcome outcome = search.run();
    visited += search.nodes();
    return outcome;
  }

  private Progress watched() {
    return mostWork < Long.MAX_VALUE ? new Alone(progress) : progress;
  }

  /** Without the help of other threads. */
  private record Alone(Progress of) implements Progress {
    @Override
    public void at(String claim, int level, long states, int kept) {
      of.at(claim, level, states, kept);
    }

    @Override
    public boolean stopped() {
      return of.stopped();
    }
  }

  /** Whether it has taken more than most proofs in large plants do. */
  boolean isToil() {
    return hasTaken(EASY);
  }

  /**
   * How much the searches may have taken.
   *
   * @param searches how many there may have been
   * @param visited how many nodes they may have visited
   */
  record Share(int searches, long visited) {
    /** As much as the budget allows. */
    static final Share ALL = new Share(Integer.MAX_VALUE, Long.MAX_VALUE);

    /** The same, and no more than so many nodes. */
    Share upTo(long nodes) {
      return new Share(searches, Math.min(visited, nodes));
    }
  }

  /** From here on, what most proofs in large plants take. */
  Share untilToil() {
    return more(EASY);
  }

  /** From here on, what a question that is begun anew may take. */
  Share soon() {
    return more(SOON);
  }

  private Share more(Share by) {
    return new Share(count + by.searches(), visited + by.visited());
  }

  boolean hasTaken(Share share) {
    return count > share.searches() || visited > share.visited();
  }

  /** So many states were looked at one by one, without a search. */
  void lookedAt(long count) {
    states = Math.max(states, count);
  }

  /** Nodes that all searches together have visited so far. */
  long visited() {
    return visited;
  }

  /** Asked by those who work out steps. */
  private boolean isStepOver() {
    if (mostWork < Long.MAX_VALUE) {
      work++;
    }
    return isWorkDone() || over();
  }

  /**
   * From here on steps of which much is hidden are worked out only up to so much: each time that all choices of
   * one are followed at once counts, and each time that one takes so long that it asks whether to go on.
   * Meanwhile no other threads help, so that it is the same work for any number of them.
   */
  void workUpTo(long most) {
    work = 0;
    mostWork = most;
  }

  /** No limit holds any more but the budget. */
  void workOn() {
    workUpTo(Long.MAX_VALUE);
  }

  /** Whether more work was asked for than was to be done. */
  boolean isWorkDone() {
    return work > mostWork;
  }

  /** Whether the whole question's time is up or it was called off. */
  boolean over() {
    return progress.stopped() || System.nanoTime() - startNanos > budget.time().toNanos();
  }

  /** The last search that was run. */
  Search last() {
    if (last == null) {
      throw new IllegalStateException("no search was run");
    }
    return last;
  }

  /** Lets go of the tables of the last search. */
  void forget() {
    last = null;
  }

  Verdict.Effort effort() {
    return new Verdict.Effort(states, zones, count, System.nanoTime() - startNanos);
  }
}
