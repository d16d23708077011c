package stoplog.checker.abstraction;

import java.util.Arrays;
import java.util.BitSet;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import stoplog.model.Assignment;

/**
 * Assignments carried out in order, with where in the order each variable is assigned: whoever is
 * interested in a few variables need not go through all. Immutable.
 */
final class Assignments {
  private static final int[] NOWHERE = {};

  private final List<Assignment> list;
  private final Map<Integer, int[]> places = new HashMap<>();

  /** O(assignments). */
  Assignments(List<Assignment> list) {
    this.list = list;
    for (int i = 0; i < list.size(); i++) {
      int[] before = placesOf(list.get(i).variable());
      int[] more = Arrays.copyOf(before, before.length + 1);
      more[before.length] = i;
      places.put(list.get(i).variable(), more);
    }
  }

  Assignment at(int place) {
    return list.get(place);
  }

  /** Where these variables are assigned, ascending. In time that depends on them and their places. */
  int[] placesOf(BitSet variables) {
    int[] found = new int[8];
    int count = 0;
    if (variables.cardinality() < places.size()) {
      for (int v = variables.nextSetBit(0); v >= 0; v = variables.nextSetBit(v + 1)) {
        for (int place : placesOf(v)) {
          found = count < found.length ? found : Arrays.copyOf(found, 2 * count);
          found[count++] = place;
        }
      }
      Arrays.sort(found, 0, count);
    } else {
      for (int i = 0; i < list.size(); i++) {
        if (variables.get(list.get(i).variable())) {
          found = count < found.length ? found : Arrays.copyOf(found, 2 * count);
          found[count++] = i;
        }
      }
    }
    return Arrays.copyOf(found, count);
  }

  /** How often the variable is assigned. */
  int times(int variable) {
    return placesOf(variable).length;
  }

  /** How often the variable is assigned before the one at this place. */
  int timesBefore(int variable, int place) {
    int times = 0;
    for (int p : placesOf(variable)) {
      times += p < place ? 1 : 0;
    }
    return times;
  }

  /** Where the variable is assigned, ascending. Not to be changed. */
  int[] placesOf(int variable) {
    return places.getOrDefault(variable, NOWHERE);
  }
}
