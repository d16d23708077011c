package stoplog.checker.certificate;

import java.util.List;

/**
 * A set of readings of a few clocks, given by bounds on their differences; the checker's own, and
 * slow. Clock 0 always reads 0. A bound is twice the number, plus 1 if it is attained. Every operation
 * tightens all bounds again, O(n³).
 */
final class PlainZone {
  private static final long NONE = Long.MAX_VALUE;

  private final int size;
  private final long[][] bound;

  private PlainZone(int size) {
    this.size = size;
    this.bound = new long[size][size];
  }

  /** All clocks read 0. */
  static PlainZone zeros(int clocks) {
    var zone = new PlainZone(clocks + 1);
    for (long[] row : zone.bound) {
      java.util.Arrays.fill(row, 1);
    }
    return zone;
  }

  /** All clocks read anything from 0. */
  static PlainZone any(int clocks) {
    var zone = new PlainZone(clocks + 1);
    for (int i = 0; i < zone.size; i++) {
      for (int j = 0; j < zone.size; j++) {
        zone.bound[i][j] = i == 0 || i == j ? 1 : NONE;
      }
    }
    return zone;
  }

  /** Adds a bound on clock i less clock j. */
  PlainZone and(int i, int j, long quanta, boolean attained) {
    var zone = copy();
    zone.bound[i][j] = Math.min(zone.bound[i][j], 2 * quanta + (attained ? 1 : 0));
    return zone.tightened();
  }

  /** Any time passes. */
  PlainZone later() {
    var zone = copy();
    for (int i = 1; i < size; i++) {
      zone.bound[i][0] = NONE;
    }
    return zone;
  }

  /** Clocks in a new order; those not taken from an old one read 0. 0 for the number 0. */
  PlainZone taking(List<Integer> oldClocks) {
    var zone = new PlainZone(oldClocks.size() + 1);
    for (int i = 0; i < zone.size; i++) {
      for (int j = 0; j < zone.size; j++) {
        int oldI = i == 0 ? 0 : oldClocks.get(i - 1);
        int oldJ = j == 0 ? 0 : oldClocks.get(j - 1);
        zone.bound[i][j] = i == j ? 1 : bound[oldI][oldJ];
      }
    }
    return zone;
  }

  boolean isEmpty() {
    for (int i = 0; i < size; i++) {
      if (bound[i][i] < 1) {
        return true;
      }
    }
    return false;
  }

  boolean isWithin(PlainZone other) {
    for (int i = 0; i < size; i++) {
      for (int j = 0; j < size; j++) {
        if (bound[i][j] > other.bound[i][j]) {
          return false;
        }
      }
    }
    return true;
  }

  private PlainZone tightened() {
    for (int k = 0; k < size; k++) {
      for (int i = 0; i < size; i++) {
        for (int j = 0; j < size; j++) {
          bound[i][j] = Math.min(bound[i][j], sum(bound[i][k], bound[k][j]));
        }
      }
    }
    return this;
  }

  private static long sum(long a, long b) {
    if (a == NONE || b == NONE) {
      return NONE;
    }
    boolean attained = (a & 1) == 1 && (b & 1) == 1;
    return (a - (a & 1)) + (b - (b & 1)) + (attained ? 1 : 0);
  }

  private PlainZone copy() {
    var zone = new PlainZone(size);
    for (int i = 0; i < size; i++) {
      zone.bound[i] = bound[i].clone();
    }
    return zone;
  }
}
