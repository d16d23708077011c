package stoplog.checker.zone;

import org.jspecify.annotations.Nullable;

/**
 * Zones: conjunctions of bounds on clocks and on differences of clocks, as square matrices.
 *
 * <p>A zone over n clocks is an {@code int[(n + 1) * (n + 1)]}; entry {@code [i * (n + 1) + j]} bounds
 * {@code x_i - x_j} from above, where {@code x_0} is always 0 and clock k of the zone is {@code
 * x_(k+1)}. A bound packs a number and whether it is attained: {@code 2 * value + 1} for {@code <=},
 * {@code 2 * value} for {@code <}, so that a tighter bound is a smaller int; {@link #INFINITE} for
 * none. Constants stay within plus or minus 2^28 ({@link stoplog.model.Bound#MAX_QUANTA}). Closing
 * adds them up along chains of clocks; a bound beyond {@link #FARTHEST} counts as none, which only
 * makes a zone larger, hence the sum of two bounds fits an int.
 *
 * <p>INVARIANT (canonical): every entry is the tightest bound that the others imply. All operations
 * here expect it and keep it; {@link #constrain} costs O(n²), {@link #close} O(n³), the rest O(n²).
 * Difference bounds after D. Dill, "Timing assumptions and verification of finite-state concurrent
 * systems", 1989; extrapolation after Behrmann, Bouyer, Larsen and Pelánek, "Lower and upper bounds in
 * zone-based abstractions of timed automata", STTT 8(3), 2006.
 */
public final class Zones {
  public static final int INFINITE = Integer.MAX_VALUE;

  /** No finite bound is greater. */
  private static final int FARTHEST = (1 << 30) - 1;

  /** The bound {@code <= 0}. */
  public static final int ZERO = 1;

  /** A clock that is never compared with a constant from this side. */
  public static final int NEVER = -1;

  private Zones() {}

  public static int bound(long value, boolean closed) {
    return (int) (value * 2) + (closed ? 1 : 0);
  }

  private static int add(int a, int b) {
    if (a == INFINITE || b == INFINITE) {
      return INFINITE;
    }
    int sum = (a & ~1) + (b & ~1) + (a & b & 1);
    return sum > FARTHEST ? INFINITE : sum;
  }

  /** The zone in which all of n clocks are 0. */
  public static int[] origin(int n) {
    int[] zone = new int[(n + 1) * (n + 1)];
    java.util.Arrays.fill(zone, ZERO);
    return zone;
  }

  /**
   * Adds the constraint {@code x_i - x_j} within {@code bound}.
   *
   * @return false if nothing is left, in which case the matrix is in no defined state
   */
  public static boolean constrain(int[] zone, int dimension, int i, int j, int bound) {
    if (zone[i * dimension + j] <= bound) {
      return true;
    }
    if (add(zone[j * dimension + i], bound) < ZERO) {
      return false;
    }
    zone[i * dimension + j] = bound;
    for (int k = 0; k < dimension; k++) {
      int ki = zone[k * dimension + i];
      if (ki == INFINITE) {
        continue;
      }
      int kij = add(ki, bound);
      for (int l = 0; l < dimension; l++) {
        int through = add(kij, zone[j * dimension + l]);
        if (through < zone[k * dimension + l]) {
          zone[k * dimension + l] = through;
        }
      }
    }
    return true;
  }

  /**
   * The zone over another set of clocks: each takes over an old clock, or starts at 0.
   *
   * @param from for each clock of the result the index of the old clock it continues, or -1
   */
  public static int[] rearrange(int[] zone, int dimension, int[] from) {
    int[] result = new int[(from.length + 1) * (from.length + 1)];
    rearrange(zone, dimension, from, result);
    return result;
  }

  /** The same, written into a matrix of the result's dimension. */
  public static void rearrange(int[] zone, int dimension, int[] from, int[] result) {
    int wide = from.length + 1;
    for (int i = 0; i < wide; i++) {
      int oldI = i == 0 ? 0 : from[i - 1] + 1;
      for (int j = 0; j < wide; j++) {
        int oldJ = j == 0 ? 0 : from[j - 1] + 1;
        result[i * wide + j] = i == j ? ZERO : zone[oldI * dimension + oldJ];
      }
    }
  }

  /** Makes the zone all readings from 0. */
  public static void fill(int[] zone, int dimension) {
    for (int i = 0; i < dimension; i++) {
      for (int j = 0; j < dimension; j++) {
        zone[i * dimension + j] = i == 0 || i == j ? ZERO : INFINITE;
      }
    }
  }

  /** Lets any amount of time pass. */
  public static void elapse(int[] zone, int dimension) {
    for (int i = 1; i < dimension; i++) {
      zone[i * dimension] = INFINITE;
    }
  }

  /**
   * Makes the zone hold what becomes a point of it by letting time pass. Canonical after J. Bengtsson
   * and W. Yi, "Timed automata: semantics, algorithms and tools", 2004.
   */
  public static void past(int[] zone, int dimension) {
    for (int j = 1; j < dimension; j++) {
      int least = ZERO;
      for (int i = 1; i < dimension; i++) {
        least = Math.min(least, zone[i * dimension + j]);
      }
      zone[j] = least;
    }
  }

  /**
   * The inverse of {@link #rearrange}: all that it makes a point of the zone.
   *
   * @param wide the dimension of the zone, {@code from.length + 1}
   * @param dimension the dimension of the result
   * @return null if nothing is left, because a clock that starts does not read 0 in the zone
   */
  public static int @Nullable [] unarranged(int[] zone, int wide, int[] from, int dimension) {
    int[] started = zone.clone();
    for (int i = 0; i < from.length; i++) {
      if (from[i] < 0 && !constrain(started, wide, i + 1, 0, ZERO)) {
        return null;
      }
    }
    int[] after = new int[dimension];
    for (int i = 0; i < from.length; i++) {
      if (from[i] >= 0) {
        after[from[i] + 1] = i + 1;
      }
    }
    int[] result = new int[dimension * dimension];
    for (int i = 0; i < dimension; i++) {
      boolean free = i > 0 && after[i] == 0;
      for (int j = 0; j < dimension; j++) {
        int bound = free ? INFINITE : started[after[i] * wide + after[j]];
        result[i * dimension + j] = i == j ? ZERO : bound;
      }
    }
    return result;
  }

  /**
   * Makes the zone hold only what lies in the other zone, too.
   *
   * @return false if nothing is left, in which case the matrix is in no defined state. O(n²) for each
   *     bound that is tightened.
   */
  public static boolean intersect(int[] zone, int[] other, int dimension) {
    for (int i = 0; i < dimension; i++) {
      for (int j = 0; j < dimension; j++) {
        if (i != j && !constrain(zone, dimension, i, j, other[i * dimension + j])) {
          return false;
        }
      }
    }
    return true;
  }

  /** The bound on {@code x_j - x_i} that holds exactly where this bound on {@code x_i - x_j} does not. */
  static int beyond(int bound) {
    return 1 - bound;
  }

  /** Whether every point of the first zone lies in the second. Both of the same clocks. */
  public static boolean within(int[] inner, int[] outer) {
    for (int i = 0; i < inner.length; i++) {
      if (inner[i] > outer[i]) {
        return false;
      }
    }
    return true;
  }

  /**
   * Makes the first zone the smallest that holds both. Both are canonical and of the same clocks; so is
   * the result, because each of its bounds is attained in one of the two.
   */
  public static void widen(int[] zone, int[] other) {
    for (int i = 0; i < zone.length; i++) {
      zone[i] = Math.max(zone[i], other[i]);
    }
  }

  /** Whether some point has clock k strictly beyond {@code quanta}. */
  public static boolean mayExceed(int[] zone, int dimension, int k, long quanta) {
    int upper = zone[(k + 1) * dimension];
    return upper == INFINITE || upper > bound(quanta, true);
  }

  /**
   * Forgets what no later comparison can tell apart, so that only finitely many zones exist.
   *
   * @param lower for each clock the largest constant it is compared with from below ({@code x > c} or
   *     {@code x >= c}), or {@link #NEVER}
   * @param upper likewise from above
   */
  public static void extrapolate(int[] zone, int dimension, int[] lower, int[] upper) {
    boolean changed = false;
    int[] least = new int[dimension];
    for (int i = 1; i < dimension; i++) {
      least[i] = -(zone[i] >> 1);
    }
    for (int i = 0; i < dimension; i++) {
      for (int j = 0; j < dimension; j++) {
        int at = i * dimension + j;
        if (i == j || (i > 0 && zone[at] == INFINITE)) {
          continue;
        }
        int relaxed = relaxed(zone[at], i, j, least, lower, upper);
        if (relaxed != zone[at]) {
          zone[at] = relaxed;
          changed = true;
        }
      }
    }
    if (changed) {
      close(zone, dimension);
    }
  }

  private static int relaxed(int old, int i, int j, int[] least, int[] lower, int[] upper) {
    if (i == 0) {
      if (least[j] <= upper[j - 1]) {
        return old;
      }
      return upper[j - 1] == NEVER ? ZERO : Math.max(old, bound(-(long) upper[j - 1], false));
    }
    boolean beyondLower = (old >> 1) > lower[i - 1] || least[i] > lower[i - 1];
    boolean beyondUpper = j > 0 && least[j] > upper[j - 1];
    return beyondLower || beyondUpper ? INFINITE : old;
  }

  /** Makes the matrix canonical. The zone is not empty. */
  static void close(int[] zone, int dimension) {
    for (int k = 0; k < dimension; k++) {
      for (int i = 0; i < dimension; i++) {
        int ik = zone[i * dimension + k];
        if (ik == INFINITE) {
          continue;
        }
        for (int j = 0; j < dimension; j++) {
          int through = add(ik, zone[k * dimension + j]);
          if (through < zone[i * dimension + j]) {
            zone[i * dimension + j] = through;
          }
        }
      }
    }
  }
}
