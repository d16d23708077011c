package stoplog.checker.abstraction;

import java.util.ArrayList;
import java.util.BitSet;
import java.util.HashSet;
import java.util.List;
import java.util.Set;
import org.jspecify.annotations.Nullable;
import stoplog.checker.reference.EarliestTimes;
import stoplog.checker.reference.Replay;
import stoplog.checker.reference.Replayed;
import stoplog.model.Assignment;
import stoplog.model.Claim;
import stoplog.model.Expr;
import stoplog.model.FieldChange;
import stoplog.model.Model;
import stoplog.model.Role;
import stoplog.model.Trace;
import stoplog.model.Variable;

/**
 * Runs an errand in the plant: from one start, with equipment as quick as it can be and nothing given to
 * the plant but what {@link Seeking} finds to help, to where the claim's condition has held for long
 * enough. It costs a run of the plant and no search. One that gets there is a run of the plant, which the
 * reference interpreter has replayed; one that does not says nothing.
 */
final class Errand {
  /** A run, and the variables that had to be brought to some value on the way. */
  record Run(Trace trace, List<Integer> sought) {}

  private static final int TICKS = ByItself.TICKS;
  private static final int MOST_STEPS = 400;
  private static final int MOST_RESTS = 40;

  /**
   * Variables of a plant up to which a run that is wanted is searched for first: that makes for the
   * shorter story. In larger plants it costs what the other copies of things do too.
   */
  private static final int SEARCHED_FIRST = 150;

  private final Model model;
  private final Claim claim;
  private final Searches searches;
  private final LivePlant plant;
  private final List<Integer> start;
  private final boolean inTurn;
  private final boolean lasting;
  private final Seeking seeking;
  private final Set<Tried> tried = new HashSet<>();

  /** What is not given. */
  private final BitSet without = new BitSet();

  private final Set<List<Integer>> left = new HashSet<>();
  private final List<Integer> steps = new ArrayList<>();
  private final List<Rest> rests = new ArrayList<>();
  private int mostSteps = MOST_STEPS;
  private boolean arrived;

  /** A state of a run in which nothing is left to do but to wait, and how many steps led there. */
  record Rest(LivePlant.Mark state, int steps) {}

  /**
   * A change that was made in a situation, which is told by its print alone: where two have the same, a
   * change is left out for once.
   */
  private record Tried(long situation, int change) {}

  private Errand(
      Reads reads,
      Claim claim,
      Searches searches,
      List<Integer> start,
      Expr goal,
      boolean inTurn,
      boolean nearestFirst) {
    this.model = reads.model();
    this.claim = claim;
    this.searches = searches;
    this.plant = new LivePlant(reads, claim, TICKS);
    this.start = start;
    this.inTurn = inTurn;
    this.lasting = false;
    this.seeking = new Seeking(reads, goal, plant.values(), inTurn, nearestFirst);
    plant.start(start);
  }

  /** Goes on from where another one was, after one more change. */
  private Errand(Reads reads, Errand other, Rest from, FieldChange change) {
    this.model = other.model;
    this.claim = other.claim;
    this.searches = other.searches;
    // The other is done, and its plant free.
    this.plant = other.plant;
    this.start = other.start;
    this.inTurn = false;
    this.lasting = true;
    this.seeking = new Seeking(reads, claim.condition(), plant.values(), false, false);
    this.steps.addAll(other.steps.subList(0, from.steps()));
    plant.goBack(from.state());
    apply(change);
  }

  /**
   * Whether an errand comes before a search for what is wanted: in a large plant, or where nothing comes from
   * outside but at its time, as in a scenario. Then there is little to choose.
   */
  static boolean comesFirst(Model model) {
    return isLarge(model)
        || model.changes().stream().noneMatch(c -> c.timing() == null && isFromOutside(c));
  }

  static boolean isLarge(Model model) {
    return model.variables().size() > SEARCHED_FIRST;
  }

  private static boolean isFromOutside(FieldChange change) {
    return switch (change.cause()) {
      case OPERATOR, PROCESS, POWER, FAULT -> true;
      case EQUIPMENT, INSTRUMENT, TIMER -> false;
    };
  }

  /**
   * A run that gets there, or null.
   *
   * @param searches of the question, whose time it may take
   */
  static @Nullable Run of(Reads reads, Claim claim, Searches searches) {
    return without(new BitSet(), MOST_STEPS, reads, claim, searches);
  }

  /**
   * As {@link #of}, one thing after the other, and what can be given at once before what first needs something
   * else. That makes for long runs.
   */
  static @Nullable Run nearestFirst(Reads reads, Claim claim, Searches searches) {
    List<Integer> start = start(reads, claim, false);
    return new Errand(reads, claim, searches, start, claim.condition(), true, true).run();
  }

  private static @Nullable Run without(
      BitSet changes, int mostSteps, Reads reads, Claim claim, Searches searches) {
    for (boolean last : new boolean[] {false, true}) {
      List<Integer> start = start(reads, claim, last);
      for (boolean inTurn : new boolean[] {false, true}) {
        var errand = new Errand(reads, claim, searches, start, claim.condition(), inTurn, false);
        errand.without.or(changes);
        errand.mostSteps = mostSteps;
        Run run = errand.run();
        if (run != null) {
          return run;
        }
      }
    }
    return null;
  }

  /**
   * A run without what was given in vain: one thing after the other, the last first, is not given, and stays
   * away if the run gets there in fewer steps.
   */
  static Run shortened(Run run, Reads reads, Claim claim, Searches searches) {
    Run shortest = run;
    BitSet without = new BitSet();
    BitSet asked = new BitSet();
    for (Trace.Step step : run.trace().steps().reversed()) {
      int change = step.change();
      if (change < 0 || asked.get(change) || !isFromOutside(reads.model().changes().get(change))) {
        continue;
      }
      asked.set(change);
      without.set(change);
      Run other = without(without, shortest.trace().steps().size(), reads, claim, searches);
      if (other != null) {
        shortest = other;
      } else {
        without.clear(change);
      }
    }
    return shortest;
  }

  /** An errand that is to bring about something on the way to the claim's condition. */
  static Errand towards(
      Expr goal, boolean inTurn, Reads reads, Claim claim, Searches searches) {
    return new Errand(reads, claim, searches, start(reads, claim, false), goal, inTurn, false);
  }

  /**
   * With power, and of all else the first value that it may start with, or the last: what is moved by hand
   * may stand at either end, and at one of them it may be in the way. What does not bear on the claim
   * starts with the first in any case: a plant all of which is switched on has much to do.
   */
  private static List<Integer> start(Reads reads, Claim claim, boolean last) {
    BitSet bearing = last ? Distance.bearing(reads, claim) : new BitSet();
    var start = new ArrayList<Integer>();
    for (Variable v : reads.model().variables()) {
      long initial = v.initial();
      boolean highest = v.role() == Role.POWER || bearing.get(v.id());
      start.add(
          Long.numberOfTrailingZeros(
              highest ? Long.highestOneBit(initial) : Long.lowestOneBit(initial)));
    }
    return start;
  }

  /** The run, if it gets to where the claim's condition has held for long enough, or null. */
  @Nullable Run run() {
    return runs() ? replayed() : null;
  }

  /** Where the run, once done, could have been disturbed. */
  List<Rest> rests() {
    return rests;
  }

  /** All that had to be brought to some value. */
  List<Integer> sought() {
    return seeking.sought();
  }

  int steps() {
    return steps.size();
  }

  /** Whether this may be done to the plant in this state. */
  boolean allows(Rest rest, FieldChange change) {
    plant.goBack(rest.state());
    return plant.mayApply(change);
  }

  /**
   * One that after this change goes on from a state of this one to the claim's condition, and once that
   * holds, leaves the equipment all the time it may take.
   */
  Errand disturbed(Reads reads, Rest from, FieldChange change) {
    return new Errand(reads, this, from, change);
  }

  private @Nullable Run replayed() {
    Trace trace = EarliestTimes.of(model, claim, start, steps);
    return trace != null && Replay.run(model, claim, trace) instanceof Replayed.Valid
        ? new Run(trace, seeking.sought())
        : null;
  }

  private boolean runs() {
    while (steps.size() < mostSteps && !searches.over()) {
      if (plant.mayScan()) {
        steps.add(Trace.Step.SCAN);
        plant.scan();
        continue;
      }
      boolean there = seeking.isThere();
      FieldChange due = plant.due(!(lasting && there));
      if (due != null) {
        apply(due);
        continue;
      }
      FieldChange helpful = there ? null : helpful();
      if (helpful != null) {
        apply(helpful);
      } else {
        if (!lasting && rests.size() < MOST_RESTS) {
          rests.add(new Rest(plant.mark(), steps.size()));
        }
        if (!waits()) {
          return arrived;
        }
      }
    }
    return false;
  }

  private void apply(FieldChange change) {
    steps.add(change.id());
    plant.apply(change);
  }

  /** The first change that helps and was not made in this very situation before. */
  private @Nullable FieldChange helpful() {
    for (FieldChange c : seeking.helpful()) {
      boolean may = !without.get(c.id()) && plant.mayApply(c) && !takesBack(c);
      if (may && tried.add(new Tried(plant.print(), c.id()))) {
        return c;
      }
    }
    return null;
  }

  /**
   * Whether it takes the power, or turns something of the panel to where it has been turned away from.
   * Asked for one after the other, things are not hindered by what was given for those before them.
   */
  private boolean takesBack(FieldChange c) {
    if (!inTurn) {
      return false;
    }
    for (Assignment a : c.effects()) {
      int v = a.variable();
      int now = plant.values()[v];
      int next = plant.valueOf(a.value());
      if (model.variable(v).role() == Role.PANEL && next != now) {
        if (left.contains(List.of(v, next))) {
          return true;
        }
        left.add(List.of(v, now));
      }
    }
    return c.cause() == FieldChange.Cause.POWER;
  }

  /** Lets time pass until something may come of its own; false if it has arrived or nothing ever will. */
  private boolean waits() {
    long wait = Math.min(plant.mayPass(), plant.untilNext());
    if (wait == Long.MAX_VALUE) {
      wait = claim.forQuanta() * TICKS + 1;
      if (!plant.conditionHolds()) {
        return false;
      }
    }
    if (wait <= 0) {
      return false;
    }
    plant.pass(wait);
    arrived = plant.violated();
    return !arrived;
  }
}
