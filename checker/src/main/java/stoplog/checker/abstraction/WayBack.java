package stoplog.checker.abstraction;

import java.time.Duration;
import java.util.ArrayList;
import java.util.BitSet;
import java.util.List;
import org.jspecify.annotations.Nullable;
import stoplog.checker.reference.Replay;
import stoplog.checker.reference.Replayed;
import stoplog.checker.reference.State;
import stoplog.model.Assignment;
import stoplog.model.Claim;
import stoplog.model.Clock;
import stoplog.model.Expr;
import stoplog.model.FieldChange;
import stoplog.model.Model;
import stoplog.model.Role;
import stoplog.model.Trace;
import stoplog.model.Variable;
import stoplog.model.Verdict;

/**
 * Shows that a condition can always be reached again in a plant too large to search, by one way back
 * that serves from everywhere: the operator and the process bring the plant to rest, whatever it was
 * doing, and from rest it is started up to the condition.
 *
 * <p><b>To rest.</b> Lists of inputs are given, each input as far as it can be given at its moment, with
 * a wait after each list; and beside that nothing happens that waits for no clock, and no fault strikes.
 * What the claim takes for granted holds after every step of this ({@link ComingToRest#give}). From every
 * state of the plant there is such a run in which time goes on for ever: scans come to an end ({@link
 * Reads#restless}); a deadline lies a quantum or more ahead and is met by a change that waits for a
 * clock ({@link Cone#allDeadlinesCanBeMet}), when the deadline comes and not before; so there are
 * finitely many steps in any span. {@link ComingToRest} says which values each variable can have in any
 * such run once it has been waited for long enough; that it allows more than the plant does is safe,
 * for it makes more to start up from.
 *
 * <p><b>At rest.</b> If those values do not change any more, let it go on for longer than any clock is
 * compared with and than the controller takes to react. Then each clock that runs reads more than all
 * it is compared with; none that runs has a limit; and if a scan was due, it has come and changed
 * nothing. So the state of the plant is known but for which of its few values each variable has: {@link
 * StartUp#atRest}. A combination in which a scan or a reaction would change something, or a deadline
 * would come, does not occur.
 *
 * <p><b>From rest.</b> From each combination some run of the whole plant gets to the condition: {@link
 * StartUp} drives the reference interpreter there, by inputs that have served before or that a search
 * has found.
 *
 * <p>Where this does not succeed, nothing is said.
 */
final class WayBack {
  private static final int MOST_RESTS = 5_000;
  private static final int MOST_WAYS = 60;

  /** For each search on the way. */
  private static final long MOST_STATES = 200_000;
  private static final Duration MOST_TIME = Duration.ofSeconds(30);

  private final Reads reads;
  private final Model model;
  private final Claim claim;
  private final Searches searches;
  private final long longest;

  WayBack(Reads reads, Claim claim, Searches searches) {
    this.reads = reads;
    this.model = reads.model();
    this.claim = claim;
    this.searches = searches;
    this.longest = longest(model);
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
    if (!reads.restless().isEmpty()
        || !ComingToRest.applies(reads, claim)
        || !Cone.allDeadlinesCanBeMet(reads, claim)) {
      return false;
    }
    Values goal = reached(reads);
    if (goal == null) {
      return false;
    }
    var rest = new ComingToRest(reads, claim);
    for (List<ComingToRest.Input> inputs : inputs(goal.end())) {
      if (!rest.give(inputs)) {
        return false;
      }
      // What is taken for granted goes on to hold: the wait only takes values away.
      rest.settle();
    }
    List<ComingToRest> cases = rest.cases(MOST_RESTS);
    if (cases == null) {
      return false;
    }
    var all = new ArrayList<List<Integer>>();
    for (ComingToRest c : cases) {
      List<List<Integer>> more = c.isAtRest() ? c.combinations(MOST_RESTS - all.size()) : null;
      if (more == null) {
        return false;
      }
      all.addAll(more);
    }
    return startUps(all, StartUp.moves(model, goal.trace()));
  }

  /** A run and the values at its end. */
  private record Values(Trace trace, List<Integer> end) {}

  /** A run to the condition. */
  private @Nullable Values reached(Reads of) {
    Claim can = can();
    Searches share = searches.share(MOST_STATES, MOST_TIME);
    Verdict verdict = Decider.decide(of, can, share);
    searches.count(share);
    if (!(verdict instanceof Verdict.Reached r)
        || !(Replay.run(of.model(), can, r.trace()) instanceof Replayed.Valid valid)) {
      return null;
    }
    var end = new ArrayList<Integer>();
    for (int v = 0; v < of.model().variables().size(); v++) {
      end.add(valid.end().value(v));
    }
    return new Values(r.trace(), end);
  }

  private Claim can() {
    return new Claim(
        claim.id(), claim.text(), Claim.Kind.CAN, claim.condition(), 0, claim.monitors(), 0,
        claim.origin());
  }

  // ---- the inputs

  /**
   * The process as it was when the condition held; all that is worked by hand, and the power, as at the
   * start. First what acts on others, then, after a wait, what follows others.
   */
  private List<List<ComingToRest.Input>> inputs(List<Integer> goal) {
    BitSet moved = (BitSet) reads.programmed().clone();
    model.reactions().forEach(a -> moved.set(a.variable()));
    var groups = new ArrayList<List<ComingToRest.Input>>();
    for (List<FieldChange.Cause> causes :
        List.of(
            List.of(
                FieldChange.Cause.POWER, FieldChange.Cause.OPERATOR, FieldChange.Cause.PROCESS),
            List.of(
                FieldChange.Cause.EQUIPMENT, FieldChange.Cause.INSTRUMENT,
                FieldChange.Cause.OPERATOR))) {
      var inputs = new ArrayList<ComingToRest.Input>();
      for (FieldChange.Cause cause : causes) {
        for (FieldChange c : model.changes()) {
          if (c.cause() == cause
              && c.timing() == null
              && !c.effects().isEmpty()
              && !moved.get(c.effects().getFirst().variable())) {
            if (c.effects().size() > 1) {
              away(inputs, c, goal);
            }
            add(inputs, c, goal);
          }
        }
      }
      groups.add(inputs);
    }
    return groups;
  }

  /**
   * Before a change that assigns several variables: away from where it leads, if some change does that,
   * so that it comes for certain and all that it assigns is known.
   */
  private void away(List<ComingToRest.Input> inputs, FieldChange c, List<Integer> goal) {
    int v = c.effects().getFirst().variable();
    int wanted = goal.get(v);
    if (inputs.stream().anyMatch(i -> i.variable() == v)) {
      return;
    }
    for (FieldChange other : reads.changesOf(v)) {
      Assignment first = other.effects().getFirst();
      if (other.timing() == null
          && other.cause() == c.cause()
          && first.variable() == v
          && first.value() instanceof Expr.Constant(int value)
          && value != wanted) {
        inputs.add(new ComingToRest.Input(other, v, 1L << wanted));
        return;
      }
    }
  }

  private void add(List<ComingToRest.Input> inputs, FieldChange c, List<Integer> goal) {
    Assignment first = c.effects().getFirst();
    Variable v = model.variable(first.variable());
    boolean ofProcess = v.role() == Role.PROCESS || v.role() == Role.INSTRUMENT;
    int wanted = ofProcess ? goal.get(v.id()) : Long.numberOfTrailingZeros(v.initial());
    switch (first.value()) {
      case Expr.Constant(int value) when value == wanted ->
          inputs.add(new ComingToRest.Input(c, v.id(), v.domain() & ~(1L << wanted)));
      case Expr.Shift(Expr.Read(int read), int by) when read == v.id() -> {
        long below = (1L << wanted) - 1;
        long needed = by > 0 ? below : v.domain() & ~below & ~(1L << wanted);
        for (int i = 1; i < v.size(); i++) {
          inputs.add(new ComingToRest.Input(c, v.id(), needed));
        }
      }
      default -> {}
    }
  }

  // ---- from rest

  private boolean startUps(List<List<Integer>> all, List<StartUp.Move> first) {
    var startUp = new StartUp(model, claim, longest);
    var ways = new ArrayList<List<StartUp.Move>>();
    ways.add(first);
    for (List<Integer> values : all) {
      if (searches.over()) {
        return false;
      }
      State state = startUp.atRest(values);
      if (state == null || ways.stream().anyMatch(w -> startUp.reaches(state, w))) {
        continue;
      }
      if (ways.size() == MOST_WAYS) {
        return false;
      }
      Values on = reached(new Reads(StartUp.startedWith(model, values)));
      if (on == null) {
        return false;
      }
      ways.add(StartUp.moves(model, on.trace()));
      if (!startUp.reaches(state, ways.getLast())) {
        return false;
      }
    }
    return true;
  }
}
