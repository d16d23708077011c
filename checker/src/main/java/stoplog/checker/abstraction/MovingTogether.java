package stoplog.checker.abstraction;

import java.util.ArrayDeque;
import java.util.BitSet;
import java.util.Comparator;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.function.IntFunction;
import org.jgrapht.Graph;
import org.jgrapht.alg.connectivity.GabowStrongConnectivityInspector;
import org.jgrapht.graph.DefaultEdge;
import org.jgrapht.graph.DirectedPseudograph;
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
   * Parts of these variables of which each moves for the sake of each other one of its part, in order of the
   * first of each.
   *
   * @param movers what moves one of the variables, itself and others among it
   */
  static List<BitSet> parts(BitSet variables, IntFunction<BitSet> movers) {
    Graph<Integer, DefaultEdge> moves = new DirectedPseudograph<>(DefaultEdge.class);
    variables.stream().forEach(moves::addVertex);
    variables.stream()
        .forEach(
            v -> movers.apply(v).stream().filter(variables::get).forEach(u -> moves.addEdge(u, v)));
    return new GabowStrongConnectivityInspector<>(moves)
        .stronglyConnectedSets().stream()
            .map(p -> p.stream().collect(BitSet::new, BitSet::set, BitSet::or))
            .sorted(Comparator.comparing(p -> p.nextSetBit(0)))
            .toList();
  }

  /** Every combination of values they may have after a long wait; null if that is too much to look at. */
  @Nullable List<List<Integer>> lasting() {
    List<List<Integer>> all = values.combinations(members, MOST_COMBINATIONS);
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
    List<List<Integer>> after = to.combinations(members, MOST_COMBINATIONS);
    return after == null ? null : after.stream().filter(c -> !c.equals(combination)).toList();
  }
}
