package stoplog.checker.zone;

import java.util.ArrayList;
import java.util.List;
import org.jspecify.annotations.Nullable;

/**
 * A union of zones over the same clocks. Only grows.
 *
 * <p>Whether a zone lies in the union is asked by cutting the zone along the bounds of one member after
 * the other; what is cut off goes on to the next member. That takes exponential time at worst, and
 * O(members * n²) where one member decides.
 */
public final class Federation {
  private final int dimension;
  private final List<int[]> members = new ArrayList<>();

  /** The empty union of zones with this dimension, which is one more than there are clocks. */
  public Federation(int dimension) {
    this.dimension = dimension;
  }

  public int size() {
    return members.size();
  }

  /**
   * Adds a zone, and drops members that lie in it.
   *
   * @return false if the zone lies in the union already
   */
  public boolean add(int[] zone) {
    if (covers(zone)) {
      return false;
    }
    members.removeIf(m -> Zones.within(m, zone));
    members.add(zone);
    return true;
  }

  /** Whether every point of the zone lies in some member. */
  public boolean covers(int[] zone) {
    for (int[] m : members) {
      if (Zones.within(zone, m)) {
        return true;
      }
    }
    return uncovered(zone) == null;
  }

  /** A part of the zone that no member has a point of, or null if there is none. */
  public int @Nullable [] uncovered(int[] zone) {
    return uncovered(zone, 0);
  }

  private int @Nullable [] uncovered(int[] zone, int next) {
    for (int at = next; at < members.size(); at++) {
      int[] member = members.get(at);
      int[] rest = zone.clone();
      if (!Zones.intersect(rest, member, dimension)) {
        continue;
      }
      return cut(zone.clone(), member, at + 1);
    }
    return zone;
  }

  /** Cuts off what lies beyond each bound of the member in turn; what remains lies in the member. */
  private int @Nullable [] cut(int[] rest, int[] member, int next) {
    for (int i = 0; i < dimension; i++) {
      for (int j = 0; j < dimension; j++) {
        int bound = member[i * dimension + j];
        if (rest[i * dimension + j] <= bound) {
          continue;
        }
        int[] off = rest.clone();
        if (Zones.constrain(off, dimension, j, i, Zones.beyond(bound))) {
          int[] found = uncovered(off, next);
          if (found != null) {
            return found;
          }
        }
        Zones.constrain(rest, dimension, i, j, bound);
      }
    }
    return null;
  }
}
