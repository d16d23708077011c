package stoplog.checker.evidence;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import org.jspecify.annotations.Nullable;
import stoplog.checker.explore.Search;
import stoplog.checker.explore.TimedSystem;
import stoplog.checker.zone.Zones;
import stoplog.model.Bound;
import stoplog.model.FieldChange;

/**
 * The earliest times at which the steps of a path can happen.
 *
 * <p>Every window, deadline and urgent instant along the path bounds the difference of two step times;
 * the earliest times are longest paths in the graph of those bounds (Bellman and Ford), O(steps² *
 * clocks). A strict bound adds an infinitesimal; at the end one infinitesimal becomes a fraction of a
 * quantum small enough that all of them together stay below one quantum.
 *
 * @param ticksPerQuantum ticks in one quantum
 * @param ticks time of each step, in order
 * @param endTick when the goal clock first exceeds its bound, or the readings are those asked for
 */
public record TraceTimes(int ticksPerQuantum, long[] ticks, long endTick) {

  /** {@code time[to] >= time[from] + quanta}, strictly if so said. */
  private record Least(int from, int to, long quanta, boolean strict) {}

  /**
   * @return the times, or null if no times satisfy the bounds (which an exact search never yields)
   */
  public static @Nullable TraceTimes of(TimedSystem system, Search.Path path) {
    return solve(bounds(system, path, null), path.steps().length + 2);
  }

  /**
   * The same for a path that is to end with readings in a zone, instead of beyond the goal's bound.
   *
   * @param end a zone over the clocks that run in the last state
   */
  public static @Nullable TraceTimes endingIn(
      TimedSystem system, Search.Path path, int[] end) {
    return solve(bounds(system, path, end), path.steps().length + 2);
  }

  private static List<Least> bounds(TimedSystem system, Search.Path path, int @Nullable [] end) {
    var bounds = new ArrayList<Least>();
    int steps = path.steps().length;
    int[] startedAt = new int[system.clocks()];
    int[] running = system.running(path.states().getFirst());
    for (int i = 1; i <= steps + 1; i++) {
      bounds.add(new Least(i - 1, i, 0, false));
      if (system.urgent(path.states().get(i - 1))) {
        bounds.add(new Least(i, i - 1, 0, false));
      }
      for (int c : running) {
        atMost(bounds, startedAt[c], i, system.limit(c));
      }
      if (i == steps + 1) {
        if (end == null) {
          bounds.add(new Least(startedAt[system.goalClock()], i, system.goalQuanta(), true));
        } else {
          within(bounds, end, running, startedAt, i);
        }
        break;
      }
      int step = path.steps()[i - 1];
      FieldChange.Timing t = system.timing(step);
      if (t != null) {
        Bound e = t.earliest();
        bounds.add(new Least(startedAt[t.clock()], i, e.quanta(), !e.closed()));
        atMost(bounds, startedAt[t.clock()], i, t.latest());
      }
      int[] after = system.running(path.states().get(i));
      for (int c : after) {
        if (Arrays.binarySearch(running, c) < 0 || system.restarts(step) == c) {
          startedAt[c] = i;
        }
      }
      running = after;
    }
    return bounds;
  }

  /** A bound on a reading says how long ago its clock started; one on two readings, which did first. */
  private static void within(
      List<Least> bounds, int[] zone, int[] running, int[] startedAt, int now) {
    int dimension = running.length + 1;
    for (int i = 0; i < dimension; i++) {
      for (int j = 0; j < dimension; j++) {
        int bound = zone[i * dimension + j];
        if (i != j && bound != Zones.INFINITE) {
          int since = i == 0 ? now : startedAt[running[i - 1]];
          int than = j == 0 ? now : startedAt[running[j - 1]];
          bounds.add(new Least(than, since, -(bound >> 1), (bound & 1) == 0));
        }
      }
    }
  }

  private static void atMost(List<Least> bounds, int from, int to, @Nullable Bound bound) {
    if (bound != null) {
      bounds.add(new Least(to, from, -bound.quanta(), !bound.closed()));
    }
  }

  private static @Nullable TraceTimes solve(List<Least> bounds, int points) {
    long[] quanta = new long[points];
    long[] infinitesimals = new long[points];
    boolean changed = true;
    for (int round = 0; changed; round++) {
      if (round > points) {
        return null;
      }
      changed = false;
      for (Least b : bounds) {
        long q = quanta[b.from()] + b.quanta();
        long e = infinitesimals[b.from()] + (b.strict() ? 1 : 0);
        if (q > quanta[b.to()] || (q == quanta[b.to()] && e > infinitesimals[b.to()])) {
          quanta[b.to()] = q;
          infinitesimals[b.to()] = e;
          changed = true;
        }
      }
    }
    if (quanta[0] != 0 || infinitesimals[0] != 0) {
      return null;
    }
    int scale = (int) Arrays.stream(infinitesimals).max().orElse(0) + 1;
    long[] ticks = new long[points];
    for (int i = 0; i < points; i++) {
      ticks[i] = quanta[i] * scale + infinitesimals[i];
    }
    return new TraceTimes(scale, Arrays.copyOfRange(ticks, 1, points - 1), ticks[points - 1]);
  }
}
