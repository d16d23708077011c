package stoplog.checker.explore;

import java.util.Arrays;
import org.jspecify.annotations.Nullable;
import stoplog.checker.zone.Zones;
import stoplog.model.Bound;
import stoplog.model.FieldChange;

/**
 * What steps make of zones. Most steps of a search do to a zone what others have done to the same zone
 * before: so the latest results are remembered, up to 4 MiB of them.
 *
 * <p>A result depends on the zone, the clocks running before and after the step, its window, the clock it
 * restarts, and whether the state it leads to is urgent; nothing else of the states is asked.
 */
final class Moves {
  /** A zone that a step leads to, time passage and extrapolation included. Not to be changed. */
  record Result(int[] zone, boolean mayExceedGoal) {}

  private static final Result NOTHING = new Result(new int[0], false);

  private static final int MOST_BYTES = 4 << 20;
  private static final int FIRST = 64;

  private final TimedSystem system;

  /** Instead of the step where it neither waits nor restarts anything. */
  private final boolean[] isBare;

  // A result lies where the hash of what it depends on says, unless another came there later.
  private final int most;
  private int kept;
  private int[] zones = new int[FIRST];
  private long[] others = new long[FIRST];
  private @Nullable Result[] results = new Result[FIRST];

  // Matrices to work on, by dimension.
  private final int[][] before;
  private final int[][] after;

  Moves(TimedSystem system) {
    this.system = system;
    this.isBare = new boolean[system.stepCount()];
    for (int step = 0; step < isBare.length; step++) {
      isBare[step] = system.timing(step) == null && system.restarts(step) < 0;
    }
    int dimension = system.clocks() + 1;
    this.before = new int[dimension + 1][];
    this.after = new int[dimension + 1][];
    int fit = MOST_BYTES / (64 + 4 * dimension * dimension);
    this.most = Math.max(FIRST, Integer.highestOneBit(fit));
  }

  /**
   * What a step makes of a zone; null if it does not come.
   *
   * @param zoneNumber of the zone, by which it is known
   */
  @Nullable Result of(
      int zoneNumber,
      int[] zone,
      RunningClocks.Set from,
      int step,
      RunningClocks.Set to,
      boolean urgent) {
    int as = isBare[step] ? 0 : step + 1;
    long other = ((long) from.number() << 20 ^ to.number()) << 24 ^ (long) as << 1 ^ (urgent ? 1 : 0);
    boolean fits = (from.number() | to.number()) < 1 << 20 && as < 1 << 23;
    long hash = (other * 0x9E3779B97F4A7C15L + zoneNumber) * 0xD6E8FEB86659FD93L;
    int at = (int) (hash >>> 40) & results.length - 1;
    Result known = results[at];
    if (fits && known != null && zones[at] == zoneNumber && others[at] == other) {
      return known == NOTHING ? null : known;
    }
    Result found = work(zone, from, step, to, urgent);
    if (fits) {
      kept += known == null ? 1 : 0;
      zones[at] = zoneNumber;
      others[at] = other;
      results[at] = found == null ? NOTHING : found;
      if (kept > results.length / 2 && results.length < most) {
        forgetInMoreRoom();
      }
    }
    return found;
  }

  private void forgetInMoreRoom() {
    int wider = Math.min(most, results.length * 8);
    zones = new int[wider];
    others = new long[wider];
    results = new Result[wider];
    kept = 0;
  }

  private @Nullable Result work(
      int[] zone, RunningClocks.Set from, int step, RunningClocks.Set to, boolean urgent) {
    int dimension = from.clocks().length + 1;
    FieldChange.Timing timing = system.timing(step);
    int[] now = zone;
    if (timing != null) {
      now = copy(zone, dimension);
      if (!waits(now, dimension, from, timing)) {
        return null;
      }
    }
    int wide = to.clocks().length + 1;
    int[] result = scratch(after, wide);
    Zones.rearrange(now, dimension, continued(from, step, to), result);
    return settled(result, to, urgent);
  }

  private int[] copy(int[] zone, int dimension) {
    int[] copy = scratch(before, dimension);
    System.arraycopy(zone, 0, copy, 0, zone.length);
    return copy;
  }

  private static int[] scratch(int[][] byDimension, int dimension) {
    int[] found = byDimension[dimension];
    if (found == null) {
      found = new int[dimension * dimension];
      byDimension[dimension] = found;
    }
    return found;
  }

  private static boolean waits(
      int[] zone, int dimension, RunningClocks.Set running, FieldChange.Timing timing) {
    int k = running.place(timing.clock());
    Bound e = timing.earliest();
    Bound l = timing.latest();
    return k >= 0
        && Zones.constrain(zone, dimension, 0, k + 1, Zones.bound(-e.quanta(), e.closed()))
        && (l == null
            || Zones.constrain(zone, dimension, k + 1, 0, Zones.bound(l.quanta(), l.closed())));
  }

  private int[] continued(RunningClocks.Set from, int step, RunningClocks.Set to) {
    int restarted = system.restarts(step);
    int[] clocks = to.clocks();
    int[] continued = new int[clocks.length];
    for (int i = 0; i < clocks.length; i++) {
      continued[i] = clocks[i] == restarted ? -1 : Math.max(-1, from.place(clocks[i]));
    }
    return continued;
  }

  /** All clocks start in a state. */
  @Nullable Result start(RunningClocks.Set running, boolean urgent) {
    return settled(Zones.origin(running.clocks().length), running, urgent);
  }

  private @Nullable Result settled(int[] zone, RunningClocks.Set set, boolean urgent) {
    int[] running = set.clocks();
    int dimension = running.length + 1;
    if (!urgent) {
      Zones.elapse(zone, dimension);
    }
    for (int i = 0; i < running.length; i++) {
      Bound limit = system.limit(running[i]);
      if (limit != null
          && !Zones.constrain(zone, dimension, i + 1, 0, Zones.bound(limit.quanta(), limit.closed()))) {
        return null;
      }
    }
    int k = system.goalClock() < 0 ? -1 : set.place(system.goalClock());
    boolean exceeds = k >= 0 && Zones.mayExceed(zone, dimension, k, system.goalQuanta());
    Zones.extrapolate(zone, dimension, set.lower(), set.upper());
    return new Result(zone.clone(), exceeds);
  }

  /** Bytes of what is remembered, at most. */
  long bytes() {
    int dimension = system.clocks() + 1;
    return 20L * results.length + kept * (40L + 4L * dimension * dimension);
  }
}
