package stoplog.checker.certificate;

import java.util.Arrays;

/**
 * A set of readings of a few clocks, given by bounds on their differences; the checker's own. Clock 0
 * always reads 0. A bound is twice the number, plus 1 if it is attained; bounds are as tight as they
 * can be. Never changed once made.
 */
final class PlainZone {
  private static final long NONE = Long.MAX_VALUE;

  private final int size;
  private final long[] bound;

  private PlainZone(int size, long[] bound) {
    this.size = size;
    this.bound = bound;
  }

  /** All clocks read 0. */
  static PlainZone zeros(int clocks) {
    var bound = new long[(clocks + 1) * (clocks + 1)];
    Arrays.fill(bound, 1);
    return new PlainZone(clocks + 1, bound);
  }

  /** All clocks read anything from 0. */
  static PlainZone any(int clocks) {
    PlainZone zone = zeros(clocks);
    for (int i = 1; i < zone.size; i++) {
      for (int j = 0; j < zone.size; j++) {
        zone.bound[i * zone.size + j] = i == j ? 1 : NONE;
      }
    }
    return zone;
  }

  /** Adds a bound on clock i less clock j: whatever is shorter by way of it is tightened, O(n²). */
  PlainZone and(int i, int j, long quanta, boolean attained) {
    long added = 2 * quanta + (attained ? 1 : 0);
    if (added >= bound[i * size + j]) {
      return this;
    }
    var zone = new PlainZone(size, bound.clone());
    for (int a = 0; a < size; a++) {
      long toJ = sum(bound[a * size + i], added);
      for (int b = 0; b < size && toJ != NONE; b++) {
        long by = sum(toJ, bound[j * size + b]);
        zone.bound[a * size + b] = Math.min(zone.bound[a * size + b], by);
      }
    }
    return zone;
  }

  /** Any time passes. */
  PlainZone later() {
    var zone = new PlainZone(size, bound.clone());
    for (int i = 1; i < size; i++) {
      zone.bound[i * size] = NONE;
    }
    return zone;
  }

  /** Clocks in a new order; those not taken from an old one read 0. 0 for the number 0. */
  PlainZone taking(int[] oldClocks) {
    int many = oldClocks.length + 1;
    var taken = new long[many * many];
    for (int i = 0; i < many; i++) {
      for (int j = 0; j < many; j++) {
        int oldI = i == 0 ? 0 : oldClocks[i - 1];
        int oldJ = j == 0 ? 0 : oldClocks[j - 1];
        taken[i * many + j] = i == j ? 1 : bound[oldI * size + oldJ];
      }
    }
    return new PlainZone(many, taken);
  }

  boolean isEmpty() {
    for (int i = 0; i < size; i++) {
      if (bound[i * size + i] < 1) {
        return true;
      }
    }
    return false;
  }

  boolean isWithin(PlainZone other) {
    for (int i = 0; i < bound.length; i++) {
      if (bound[i] > other.bound[i]) {
        return false;
      }
    }
    return true;
  }

  private static long sum(long a, long b) {
    if (a == NONE || b == NONE) {
      return NONE;
    }
    boolean attained = (a & 1) == 1 && (b & 1) == 1;
    return (a - (a & 1)) + (b - (b & 1)) + (attained ? 1 : 0);
  }
}
