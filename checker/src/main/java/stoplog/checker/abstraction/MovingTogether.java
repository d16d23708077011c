package stoplog.checker.abstraction;

import java.util.ArrayDeque;
import java.util.ArrayList;
import java.util.BitSet;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.function.Predicate;
import org.jspecify.annotations.Nullable;

/**
 * Variables of a plant that is left alone which move for each other's sake, such as a timer and what it times:
 * what values they can have together after a long wait. One by one each might go on for ever.
 *
 * <p>What is said in {@link ComingToRest} of a value of one variable holds of the values of several: where one of
 * them surely moves, they do not stay as they are; and where they do not stay and no way leads back, they are
 * once at most.
 */
final class MovingTogether {
  private static final int MOST_COMBINATIONS = 1 << 13;
  private static final int MOST_STEPS = 1 << 20;

  private final PossibleSteps steps;
  private final ValueSets values;
  private final BitSet group;
  private final int[] members;
  private final boolean powered;

  private final Map<List<Integer>, List<List<Integer>>> next = new HashMap<>();
  private final Map<List<Integer>, Integer> waysIn = new HashMap<>();
  private final ArrayDeque<List<Integer>> once = new ArrayDeque<>();

  /**
   * @param values that any variable may have
   * @param powered whether the controller has power for certain
   */
  MovingTogether(PossibleSteps steps, ValueSets values, BitSet group, boolean powered) {
    this.steps = steps;
    this.values = values;
    this.group = group;
    this.members = group.stream().toArray();
    this.powered = powered;
  }

  /**
   * Parts of these variables of which each moves for the sake of each other one of its part.
   *
   * @param movers what moves one of the variables, itself and others among it
   */
  static List<BitSet> parts(BitSet variables, Map<Integer, BitSet> movers) {
    var behind = new HashMap<Integer, BitSet>();
    variables.stream().forEach(v -> behind.put(v, behind(v, movers)));
    var parts = new ArrayList<BitSet>();
    BitSet left = (BitSet) variables.clone();
    while (!left.isEmpty()) {
      int v = left.nextSetBit(0);
      BitSet part = new BitSet();
      Predicate<Integer> mutual = u -> behind.get(v).get(u) && behind.get(u).get(v);
      left.stream().filter(u -> u == v || mutual.test(u)).forEach(part::set);
      left.andNot(part);
      parts.add(part);
    }
    return parts;
  }

  private static BitSet behind(int v, Map<Integer, BitSet> movers) {
    BitSet all = new BitSet();
    var open = new ArrayDeque<Integer>(List.of(v));
    while (!open.isEmpty()) {
      movers.get(open.remove()).stream()
          .filter(u -> movers.containsKey(u) && !all.get(u))
          .forEach(
              u -> {
                all.set(u);
                open.add(u);
              });
    }
    return all;
  }

  /** Every combination of values they may have after a long wait; null if that is too much to look at. */
  @Nullable List<List<Integer>> lasting() {
    List<List<Integer>> all = combinations(values);
    if (all == null) {
      return null;
    }
    all.forEach(c -> waysIn.put(c, 0));
    var left = new HashMap<List<Integer>, Boolean>();
    int count = 0;
    for (List<Integer> c : all) {
      PossibleSteps there = at(c);
      left.put(c, isLeft(there, c));
      List<List<Integer>> to = after(there, c);
      count += to == null ? MOST_STEPS : to.size();
      if (to == null || count >= MOST_STEPS) {
        return null;
      }
      next.put(c, to);
      to.forEach(n -> waysIn.merge(n, 1, Integer::sum));
    }
    waysIn.forEach((c, ways) -> once(c, ways, left));
    while (!once.isEmpty()) {
      List<Integer> c = once.remove();
      waysIn.remove(c);
      next.get(c).forEach(n -> once(n, waysIn.merge(n, -1, Integer::sum), left));
    }
    return all.stream().filter(waysIn::containsKey).toList();
  }

  /** Whether it goes on nowhere from there. */
  boolean isStill(List<Integer> combination) {
    return next.getOrDefault(combination, List.of()).isEmpty();
  }

  private void once(List<Integer> combination, int waysIn, Map<List<Integer>, Boolean> left) {
    if (waysIn == 0 && Boolean.TRUE.equals(left.get(combination))) {
      once.add(combination);
    }
  }

  private PossibleSteps at(List<Integer> combination) {
    var there = new ValueSets(values);
    for (int i = 0; i < members.length; i++) {
      there.set(members[i], 1L << combination.get(i));
    }
    var at = new PossibleSteps(steps, there);
    at.inSteps(group);
    return at;
  }

  private boolean isLeft(PossibleSteps there, List<Integer> combination) {
    for (int i = 0; i < members.length; i++) {
      if (there.surelyLeaves(members[i], combination.get(i), powered)) {
        return true;
      }
    }
    return false;
  }

  /** Where one step may lead, but to where it came from. */
  private @Nullable List<List<Integer>> after(PossibleSteps there, List<Integer> combination) {
    var to = new ValueSets(values);
    for (int i = 0; i < members.length; i++) {
      to.set(members[i], values.get(members[i]) & there.of(members[i], combination.get(i)));
    }
    List<List<Integer>> after = combinations(to);
    return after == null ? null : after.stream().filter(c -> !c.equals(combination)).toList();
  }

  private @Nullable List<List<Integer>> combinations(ValueSets of) {
    List<List<Integer>> all = List.of(List.of());
    for (int v : members) {
      var longer = new ArrayList<List<Integer>>();
      for (List<Integer> one : all) {
        for (long left = of.get(v); left != 0; left &= left - 1) {
          var with = new ArrayList<>(one);
          with.add(Long.numberOfTrailingZeros(left));
          longer.add(with);
        }
      }
      if (longer.size() > MOST_COMBINATIONS) {
        return null;
      }
      all = longer;
    }
    return all;
  }
}
