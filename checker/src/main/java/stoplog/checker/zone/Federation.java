package stoplog.checker.zone;

import java.util.ArrayList;
import java.util.List;
import org.jspecify.annotations.Nullable;

/**
 * A union of zones over the same clocks. Only grows.
 *
 * <p>Whether a zone lies in the union is asked by cutting the zone along the bounds of one member after
 * the other; what is cut off goes on to the next member. That takes O(members * n²) where one member
 * decides, and exponential time at worst: so the number of cuts is limited.
 */
public final class Federation {
  /** Cuts for {@link #covers}, which may be wrong to one side. */
  private static final int FEW_CUTS = 20_000;

  /** Cuts for {@link #uncovered}, which must be right. */
  private static final int MANY_CUTS = 2_000_000;

  private final int dimension;
  private int cutsLeft;
  private final List<int[]> members = new ArrayList<>();

  /** A question took too many cuts to answer. */
  public static final class TooHard extends RuntimeException {
    private static final long serialVersionUID = 1;

    TooHard() {
      super("a union of zones with too many members to see what it covers", null, false, false);
    }
  }

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
   * @return false if the zone is seen to lie in the union already
   */
  public boolean add(int[] zone) {
    if (covers(zone)) {
      return false;
    }
    members.removeIf(m -> Zones.within(m, zone));
    members.add(zone);
    return true;
  }

  /** Whether every point of the zone lies in some member; false if that is too hard to see. */
  public boolean covers(int[] zone) {
    for (int[] m : members) {
      if (Zones.within(zone, m)) {
        return true;
      }
    }
    cutsLeft = FEW_CUTS;
    try {
      return uncovered(zone, 0) == null;
    } catch (TooHard _) {
      return false;
    }
  }

  /**
   * A part of the zone that no member has a point of, or null if there is none.
   *
   * @throws TooHard if it takes too many cuts to tell
   */
  public int @Nullable [] uncovered(int[] zone) {
    cutsLeft = MANY_CUTS;
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
        if (--cutsLeft < 0) {
          throw new TooHard();
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
