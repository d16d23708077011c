package stoplog.checker.abstraction;

import java.time.Duration;
import java.util.ArrayList;
import java.util.BitSet;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Set;
import org.jspecify.annotations.Nullable;
import stoplog.checker.reference.Replay;
import stoplog.checker.reference.Replayed;
import stoplog.checker.reference.State;
import stoplog.model.Claim;
import stoplog.model.Clock;
import stoplog.model.Expr;
import stoplog.model.FieldChange;
import stoplog.model.Model;
import stoplog.model.Trace;
import stoplog.model.Verdict;

/**
 * Shows that a condition can always be reached again in a plant too large to search, by one way back
 * that serves from everywhere: the operator and the process bring the plant to rest, whatever it was
 * doing, and from rest it is started up to the condition. Only what the claim depends on, its {@link
 * Cone}, has to come to rest; a lamp beside it may flash on.
 *
 * <p><b>To rest.</b> Lists of inputs are given, each input as far as it can be given at its moment, with
 * a wait after each list ({@link WayToRest}); and beside that nothing happens that waits for no clock, but what
 * is needed for time to go on, and no fault strikes. What the claim takes for granted holds after every step of
 * this ({@link ComingToRest#give}). From every state of the plant there is such a run in which time goes on for
 * ever: scans come to an end ({@link Reads#restless}); a deadline lies a quantum or more ahead and is met, when it
 * comes and not before, by one change or by finitely many ({@link TimeGoesOn#neededForAll}); so there are
 * finitely many steps in any span. {@link ComingToRest} says which values each variable can have in any
 * such run once it has been waited for long enough; that it allows more than the plant does is safe,
 * for it makes more to start up from.
 *
 * <p><b>At rest.</b> If the values in the cone do not change any more, let it go on for longer than any clock is
 * compared with and than the controller takes to react. Then each clock of the cone that runs reads more than all
 * it is compared with; none of them that runs has a limit; and if a scan was due for the cone, it has come and
 * changed nothing there. So the state of the cone is known but for which of its few values each variable has:
 * {@link StartUp#atRest}. A combination in which a scan or a reaction would change something, or a deadline
 * would come, does not occur, nor does one that a search has shown that variables never have.
 *
 * <p><b>From rest.</b> From each combination some run of the cone ({@link ConePlant}) gets to the condition: {@link
 * StartUp} drives the reference interpreter there, by inputs that have served before or that were found for
 * this. The plant can follow it, as {@link Cone} says: the drive scans as soon as that is due, and does not count
 * where a scan that is not due would touch the cone.
 *
 * <p>Where this does not succeed, nothing is said.
 */
final class WayBack {
  private static final int MOST_RESTS = 5_000;
  private static final int MOST_WAYS = 60;

  /** For what a few variables can be together. */
  private static final long MOST_TOGETHER = 20_000;

  /** For each search on the way. */
  private static final long MOST_STATES = 200_000;
  private static final Duration MOST_TIME = Duration.ofSeconds(30);

  private final Reads reads;
  private final Model model;
  private final Claim claim;
  private final Searches searches;
  private final long longest;
  private final BitSet cone;
  private final Map<BitSet, Reachable.@Nullable Together> seen = new HashMap<>();

  WayBack(Reads reads, Claim claim, Searches searches) {
    this.reads = reads;
    this.model = reads.model();
    this.claim = claim;
    this.searches = searches;
    this.longest = longest(model);
    this.cone = Cone.of(reads, claim).variables();
  }

  private static long longest(Model model) {
    long most = model.controller().reactionQuanta();
    for (Clock c : model.clocks()) {
      most = Math.max(most, c.limit() == null ? 0 : c.limit().quanta());
    }
    for (FieldChange c : model.changes()) {
      FieldChange.Timing t = c.timing();
      if (t != null) {
        most = Math.max(most, t.earliest().quanta());
        most = Math.max(most, t.latest() == null ? 0 : t.latest().quanta());
      }
    }
    return most + 2;
  }

  /** Whether there is a way back from everywhere; "no" says nothing. */
  boolean isFound() {
    if (!reads.restless().isEmpty() || !ComingToRest.applies(reads, claim)) {
      return false;
    }
    Set<FieldChange> atDeadlines = TimeGoesOn.neededForAll(reads, claim, this::together);
    Values goal = atDeadlines == null ? null : reached(reads);
    if (atDeadlines == null || goal == null) {
      return false;
    }
    var anything = new ComingToRest(reads, claim, cone, atDeadlines);
    List<List<Integer>> rests =
        new WayToRest(reads, searches, anything, goal.end(), MOST_RESTS).rests();
    return rests != null && startUps(rests, StartUp.moves(model, goal.trace()));
  }

  /** What the variables can be together; null where that is not soon seen. */
  private Reachable.@Nullable Together together(BitSet variables) {
    if (!seen.containsKey(variables)) {
      Searches share = searches.share(MOST_TOGETHER, MOST_TIME);
      seen.put(variables, Reachable.together(reads, variables, claim.faultBudget(), share));
      searches.count(share);
    }
    return seen.get(variables);
  }

  /** Whether nothing that is known of what variables can be together speaks against it. */
  private boolean isPossible(List<Integer> values) {
    for (Reachable.Together known : seen.values()) {
      if (known != null
          && known.variables().stream().allMatch(cone::get)
          && !known.values().contains(known.variables().stream().map(v -> values.get(v)).toList())) {
        return false;
      }
    }
    return true;
  }

  /** A run and the values at its end. */
  private record Values(Trace trace, List<Integer> end) {}

  /** A run to the condition: driven if that gets there, and searched for if not. */
  private @Nullable Values reached(Reads of) {
    Claim can = can();
    Errand.Run errand = Errand.of(of, can, searches);
    if (errand != null) {
      return values(of, errand.trace());
    }
    Searches share = searches.share(MOST_STATES, MOST_TIME);
    Verdict verdict = Decider.decide(of, can, share);
    searches.count(share);
    return verdict instanceof Verdict.Reached r ? values(of, r.trace()) : null;
  }

  private @Nullable Values values(Reads of, Trace trace) {
    if (!(Replay.run(of.model(), can(), trace) instanceof Replayed.Valid valid)) {
      return null;
    }
    var end = new ArrayList<Integer>();
    for (int v = 0; v < of.model().variables().size(); v++) {
      end.add(valid.end().value(v));
    }
    return new Values(trace, end);
  }

  private Claim can() {
    return new Claim(
        claim.id(), claim.text(), Claim.Kind.CAN, claim.condition(), 0, claim.monitors(), 0,
        claim.origin());
  }

  // ---- from rest

  private boolean startUps(List<List<Integer>> rests, List<StartUp.Move> first) {
    boolean whole = cone.cardinality() == model.variables().size();
    Model alone = whole ? model : ConePlant.of(reads, claim, cone);
    var startUp = new StartUp(alone, claim, longest, !whole);
    var ways = new ArrayList<List<StartUp.Move>>();
    ways.add(first);
    for (List<Integer> values : rests) {
      if (searches.over()) {
        return false;
      }
      State state = isPossible(values) ? startUp.atRest(values) : null;
      if (state == null || ways.stream().anyMatch(w -> startUp.reaches(state, w))) {
        continue;
      }
      if (ways.size() == MOST_WAYS) {
        return false;
      }
      Model started = StartUp.startedWith(alone, values);
      Values on = reached(new Reads(started));
      if (on == null) {
        return false;
      }
      ways.add(StartUp.moves(started, on.trace()));
      if (!startUp.reaches(state, ways.getLast())) {
        return false;
      }
    }
    searches.lookedAt(rests.size());
    return true;
  }
}
