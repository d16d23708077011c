package stoplog.checker.abstraction;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import org.jspecify.annotations.Nullable;
import stoplog.checker.evidence.TraceTimes;
import stoplog.checker.explore.Recovery;
import stoplog.checker.explore.Search;
import stoplog.checker.explore.WithoutGoal;
import stoplog.checker.zone.Zones;
import stoplog.model.Claim;
import stoplog.model.FieldChange;
import stoplog.model.Model;
import stoplog.model.Trace;

/**
 * Decides claims about what can always be: searches all that the plant can do, then goes back from the
 * condition, faults left out, and looks for what was reached and is not met on the way back.
 *
 * <p>It is tried on the {@link Cone} of the claim first, twice: with what the plant can surely follow,
 * for a proof; and with all that the cone allows, which is more than the plant does, for a lock-out. A
 * lock-out is believed when a run of the whole plant into it has been found. Where neither decides, or
 * the cone is the plant, the whole plant is searched, which is exact. A large cone is put off until
 * {@link CoarseLockOuts} has tried to find a lock-out and {@link WayBack} to show that there is none.
 */
final class LockOuts {
  /** What came of it. */
  sealed interface Result {
    /** There is none. */
    record None(Kept kept) implements Result {}

    /**
     * There is this one.
     *
     * @param events steps of the run that touch what is kept
     * @param fewest no run into a lock-out has fewer; 0 if that is not known
     */
    record Found(Trace trace, int events, int fewest, Kept kept) implements Result {}

    record Unknown(String reason, Kept kept) implements Result {}
  }

  /** Ways for clocks to be beyond comparison at the end of a run that are tried; twelve clocks' worth. */
  private static final int MOST_ENDS = 4096;

  private final Reads reads;
  private final Model model;
  private final Claim claim;
  private final Searches searches;

  LockOuts(Reads reads, Claim claim, Searches searches) {
    this.reads = reads;
    this.model = reads.model();
    this.claim = claim;
    this.searches = searches;
  }

  /** Looks at the cone first; where that is large, for what shows itself with few variables kept. */
  Result localised() {
    Kept cone = Cone.of(reads, claim);
    boolean everything = cone.size() == model.variables().size();
    var timed = new WithoutGoal(new KeptSystem(reads, claim, cone));
    boolean large =
        searches.runForFutures(timed, cone, Searches.COARSE_STATES)
            instanceof Search.Outcome.Stopped;
    if (large) {
      var found = new CoarseLockOuts(reads, claim, searches).find(cone);
      if (found != null) {
        return new Result.Found(found.trace(), found.events(), 0, found.kept());
      }
      if (new WayBack(reads, claim, searches).isFound()) {
        return new Result.None(Kept.everything(reads));
      }
    }
    Result result = everything ? null : inCone(cone);
    return result == null ? whole() : result;
  }

  Result whole() {
    Kept kept = Kept.everything(reads);
    var system = new KeptSystem(reads, claim, kept);
    var timed = new WithoutGoal(system);
    if (searches.run(timed, kept, Search.Zoning.FOR_ALL_FUTURES)
        instanceof Search.Outcome.Stopped s) {
      return new Result.Unknown(s.reason(), kept);
    }
    Search search = searches.last();
    Recovery recovery = searches.recovery(timed);
    String stopped = recovery.run(hopes(system, timed, model, false));
    if (stopped != null) {
      return new Result.Unknown(stopped, kept);
    }
    int node = firstLockOut(search, recovery);
    if (node < 0) {
      return new Result.None(system.kept());
    }
    Search.Path path = search.pathTo(node);
    for (int[] end : ends(search, recovery, node, timed)) {
      TraceTimes times = TraceTimes.endingIn(timed, path, end);
      if (times != null) {
        int events = path.steps().length;
        return switch (Completion.check(reads, claim, system, path, times)) {
          case Completion.Valid v -> new Result.Found(v.trace(), events, events, kept);
          case Completion.Refused r -> new Result.Unknown(r.reason(), kept);
        };
      }
    }
    return new Result.Unknown("internal error: the lock-out found cannot be timed", kept);
  }

  /** The answer the cone gives, or null if it gives none. */
  private @Nullable Result inCone(Kept cone) {
    var system = new KeptSystem(reads, claim, cone);
    var timed = new WithoutGoal(system);
    if (searches.run(timed, cone, Search.Zoning.FOR_ALL_FUTURES)
        instanceof Search.Outcome.Stopped s) {
      return new Result.Unknown(s.reason(), cone);
    }
    Search search = searches.last();
    int fewest = 0;
    if (leftAlone(system, search)
        && reads.restless().isEmpty()
        && TimeGoesOn.canBeMetOutside(reads, claim, cone)) {
      Recovery sure = searches.recovery(timed);
      String stopped = sure.run(hopes(system, timed, model, true));
      if (stopped != null) {
        return new Result.Unknown(stopped, cone);
      }
      int node = firstLockOut(search, sure);
      if (node < 0) {
        return new Result.None(system.kept());
      }
      fewest = search.levelOf(node);
    }
    Recovery atMost = searches.recovery(timed);
    String stopped = atMost.run(hopes(system, timed, model, false));
    if (stopped != null) {
      return new Result.Unknown(stopped, cone);
    }
    int node = firstLockOut(search, atMost);
    return node < 0 ? null : inPlant(system, timed, search, atMost, node, fewest);
  }

  private static int firstLockOut(Search search, Recovery recovery) {
    for (int node = 0; node < search.nodes(); node++) {
      if (recovery.lockOut(node) != null) {
        return node;
      }
    }
    return -1;
  }

  /** Whether at no state of the cone anything outside touches it. */
  private static boolean leftAlone(KeptSystem system, Search search) {
    long[] state = new long[system.words()];
    for (int id = 0; id < search.stateCount(); id++) {
      search.state(id, state);
      boolean due = system.dueIn(state) > 0;
      int[] edges = search.edgesFrom(id);
      for (int i = 0; i < edges.length; i += 2) {
        if (edges[i] == system.elsewhereStep() || (edges[i] == system.scanStep() && !due)) {
          return false;
        }
      }
    }
    return true;
  }

  /**
   * What may be hoped for.
   *
   * @param careful only what the {@link Cone} says the plant can follow
   */
  static Recovery.Hopes hopes(
      KeptSystem system, WithoutGoal timed, Model model, boolean careful) {
    return new Recovery.Hopes() {
      @Override
      public boolean goal(long[] state) {
        return timed.condition(state);
      }

      @Override
      public boolean time(long[] state) {
        return !careful || system.dueIn(state) == 0;
      }

      @Override
      public boolean step(long[] state, int step) {
        boolean change = step < system.scanStep();
        if (change && model.changes().get(step).cause() == FieldChange.Cause.FAULT) {
          return false;
        }
        boolean due = system.dueIn(state) > 0;
        return !careful || (due ? step == system.scanStep() : change);
      }
    };
  }

  // ---- from a part of a zone to a run

  /**
   * Zones that have among them the readings of every run along the node's path that is locked out
   * there, and hold nothing else. A zone of the search holds, beside the readings of runs, readings
   * like them: equal, or beyond all that the clock is compared with. So what is locked out is cut apart
   * by which clocks are beyond, and from each part such clocks may read anything beyond.
   */
  private static List<int[]> ends(
      Search search, Recovery recovery, int node, WithoutGoal system) {
    int[] part = recovery.lockOut(node);
    var ends = new ArrayList<int[]>();
    if (part != null) {
      int[] running = search.running(search.stateOf(node));
      split(part, running, 0, new boolean[running.length], search, ends);
    }
    return ends;
  }

  private static void split(
      int[] part, int[] running, int at, boolean[] beyond, Search search, List<int[]> ends) {
    int dimension = running.length + 1;
    if (ends.size() == MOST_ENDS) {
      return;
    }
    if (at == running.length) {
      ends.add(alike(part, running, beyond, search));
      return;
    }
    int most = search.mostOf(running[at]);
    int[] within = part.clone();
    if (Zones.constrain(within, dimension, at + 1, 0, Zones.bound(most, true))) {
      split(within, running, at + 1, beyond, search, ends);
    }
    int[] above = part.clone();
    if (Zones.constrain(above, dimension, 0, at + 1, Zones.bound(-(long) most, false))) {
      beyond[at] = true;
      split(above, running, at + 1, beyond, search, ends);
      beyond[at] = false;
    }
  }

  /** Readings beyond all comparison are let loose, but stay beyond. */
  private static int[] alike(int[] part, int[] running, boolean[] beyond, Search search) {
    int dimension = running.length + 1;
    int[] kept = new int[running.length];
    int count = 0;
    for (int i = 0; i < running.length; i++) {
      if (!beyond[i]) {
        kept[count++] = i;
      }
    }
    kept = Arrays.copyOf(kept, count);
    int[] zone = loosened(part, dimension, kept, kept, running.length);
    for (int i = 0; i < running.length; i++) {
      if (beyond[i]) {
        long most = search.mostOf(running[i]);
        Zones.constrain(zone, dimension, 0, i + 1, Zones.bound(-most, false));
      }
    }
    return zone;
  }

  /**
   * A zone over other clocks: what the first says about its clocks {@code from} it says about its
   * clocks {@code to}; the rest read anything.
   */
  private static int[] loosened(int[] zone, int dimension, int[] from, int[] to, int clocks) {
    int wide = clocks + 1;
    int[] result = new int[wide * wide];
    Zones.fill(result, wide);
    for (int i = 0; i <= from.length; i++) {
      int oldI = i == 0 ? 0 : from[i - 1] + 1;
      int newI = i == 0 ? 0 : to[i - 1] + 1;
      for (int j = 0; j <= from.length; j++) {
        int oldJ = j == 0 ? 0 : from[j - 1] + 1;
        int newJ = j == 0 ? 0 : to[j - 1] + 1;
        if (newI != newJ
            && !Zones.constrain(result, wide, newI, newJ, zone[oldI * dimension + oldJ])) {
          throw new IllegalStateException("a zone with nothing in it");
        }
      }
    }
    return result;
  }

  /**
   * A run of the whole plant into a lock-out of the cone; null if none is found, which says nothing.
   * First with all at rest that the cone does not hold.
   */
  private @Nullable Result inPlant(
      KeptSystem cone,
      WithoutGoal timed,
      Search search,
      Recovery recovery,
      int node,
      int fewest) {
    Search.Path path = search.pathTo(node);
    List<int[]> ends = ends(search, recovery, node, timed);
    int[] running = search.running(search.stateOf(node));
    Kept all = Kept.everything(reads);
    for (boolean quiet : new boolean[] {true, false}) {
      KeptSystem plant =
          quiet
              ? new KeptSystem(reads, claim, all, cone.kept().variables())
              : new KeptSystem(reads, claim, all);
      Completion.Valid run = along(plant, cone, path, running, ends);
      if (run != null) {
        int events = path.steps().length;
        return new Result.Found(run.trace(), events, Math.min(fewest, events), cone.kept());
      }
    }
    return null;
  }

  private Completion.@Nullable Valid along(
      KeptSystem plant, KeptSystem cone, Search.Path path, int[] running, List<int[]> ends) {
    long[] last = path.states().getLast();
    var guided = new GuidedSystem(plant, cone, path);
    var timed = new WithoutGoal(guided);
    searches.runForFutures(timed, plant.kept(), Searches.FOLLOWING_STATES);
    Search search = searches.last();
    long[] state = new long[timed.words()];
    for (int node = 0; node < search.nodes(); node++) {
      search.state(search.stateOf(node), state);
      if (!guided.goal(state)
          || plant.dueIn(state) != cone.dueIn(last)
          || plant.faultsIn(state) != cone.faultsIn(last)) {
        continue;
      }
      int[] now = search.running(search.stateOf(node));
      int[] here = places(cone, running, plant, now);
      for (int[] end : ends) {
        int[] everything = new int[running.length];
        Arrays.setAll(everything, i -> i);
        int[] zone = loosened(end, running.length + 1, everything, here, now.length);
        if (!Zones.intersect(zone.clone(), search.zoneOf(node), now.length + 1)) {
          continue;
        }
        Search.Path found = search.pathTo(node);
        TraceTimes times = TraceTimes.endingIn(timed, found, zone);
        var cut = Following.cut(found, plant.words());
        if (times != null
            && Completion.check(reads, claim, plant, cut, times) instanceof Completion.Valid v) {
          return v;
        }
      }
    }
    return null;
  }

  /** Where the clocks of the cone stand among those of the plant. */
  private static int[] places(KeptSystem cone, int[] running, KeptSystem plant, int[] now) {
    int[] places = new int[running.length];
    for (int i = 0; i < places.length; i++) {
      int here = plant.clockLike(cone, running[i]);
      places[i] = Arrays.binarySearch(now, here);
      if (places[i] < 0) {
        throw new IllegalStateException("a clock of the cone does not run in the plant");
      }
    }
    return places;
  }
}
