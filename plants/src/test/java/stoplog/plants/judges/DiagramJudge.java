package stoplog.plants.judges;

import java.util.ArrayList;
import java.util.List;
import jdd.bdd.BDD;
import jdd.bdd.Permutation;
import stoplog.model.Model;

/**
 * Counts the reachable states of an untimed model with the decision diagrams of a general-purpose
 * library: a state is a row of bits, a set of states a diagram over them. Each number of a state takes
 * the bits of its value in binary; a bit before and after a step stand beside each other in the order.
 */
public final class DiagramJudge {
  private DiagramJudge() {}

  /**
   * @return how many states can be reached, {@code due} being part of a state; levels as in a
   *     breadth-first search
   */
  public static List<Long> levels(Model model) {
    var diagrams = new Diagrams();
    var steps = new Steps<Integer>(diagrams, model, null);
    return new Run(diagrams, steps).levels();
  }

  /** The library, every node of which is held until all is counted. */
  private static final class Diagrams implements Booleans<Integer> {
    private final BDD bdd = new BDD(20_000, 20_000);

    private int kept(int node) {
      return bdd.ref(node);
    }

    @Override
    public Integer constant(boolean value) {
      return value ? bdd.getOne() : bdd.getZero();
    }

    @Override
    public Integer not(Integer operand) {
      return kept(bdd.not(operand));
    }

    @Override
    public Integer and(Integer left, Integer right) {
      return kept(bdd.and(left, right));
    }

    @Override
    public Integer or(Integer left, Integer right) {
      return kept(bdd.or(left, right));
    }
  }

  private static final class Run {
    private final Diagrams diagrams;
    private final BDD bdd;
    private final Steps<Integer> steps;
    private final List<List<Integer>> before = new ArrayList<>();
    private final List<List<Integer>> after = new ArrayList<>();
    private final int bits;
    private final int all;
    private final Permutation back;

    Run(Diagrams diagrams, Steps<Integer> steps) {
      this.diagrams = diagrams;
      this.bdd = diagrams.bdd;
      this.steps = steps;
      List<Integer> from = new ArrayList<>();
      List<Integer> to = new ArrayList<>();
      int cube = bdd.getOne();
      for (int size : steps.sizes()) {
        List<Integer> now = new ArrayList<>();
        List<Integer> next = new ArrayList<>();
        for (int bit = 0; 1 << bit < size; bit++) {
          now.add(bdd.createVar());
          next.add(bdd.createVar());
          cube = diagrams.and(cube, now.getLast());
        }
        from.addAll(now);
        to.addAll(next);
        before.add(now);
        after.add(next);
      }
      bits = from.size();
      all = cube;
      back = bdd.createPermutation(ints(to), ints(from));
    }

    private static int[] ints(List<Integer> list) {
      return list.stream().mapToInt(Integer::intValue).toArray();
    }

    List<Long> levels() {
      List<List<Integer>> state = new ArrayList<>();
      for (int i = 0; i < before.size(); i++) {
        state.add(number(before.get(i), steps.sizes().get(i)));
      }
      // Without initial values of their own, due and faults would be chosen too.
      int chosen = steps.isChoice(state);
      for (int i = before.size() - 2; i < before.size(); i++) {
        chosen = diagrams.and(chosen, state.get(i).getFirst());
      }
      int level = image(chosen, relation(diagrams.constant(true), steps.start(state)));
      List<Integer> relations = new ArrayList<>();
      for (var step : steps.steps(state)) {
        relations.add(relation(step.enabled(), step.after()));
      }
      List<Long> counts = new ArrayList<>();
      int reached = bdd.getZero();
      while (level != bdd.getZero()) {
        counts.add(count(level));
        reached = diagrams.or(reached, level);
        int next = bdd.getZero();
        for (int relation : relations) {
          next = diagrams.or(next, image(level, relation));
        }
        level = diagrams.and(next, diagrams.not(reached));
      }
      return counts;
    }

    private List<Integer> number(List<Integer> bitsOf, int size) {
      List<Integer> number = new ArrayList<>();
      for (int value = 0; value < size; value++) {
        int here = bdd.getOne();
        for (int bit = 0; bit < bitsOf.size(); bit++) {
          int b = bitsOf.get(bit);
          here = diagrams.and(here, (value >> bit & 1) == 1 ? b : diagrams.not(b));
        }
        number.add(here);
      }
      return number;
    }

    private int relation(int enabled, List<List<Integer>> values) {
      int relation = enabled;
      for (int i = 0; i < after.size(); i++) {
        for (int bit = 0; bit < after.get(i).size(); bit++) {
          int set = bdd.getZero();
          for (int value = 0; value < values.get(i).size(); value++) {
            set = (value >> bit & 1) == 1 ? diagrams.or(set, values.get(i).get(value)) : set;
          }
          relation = diagrams.and(relation, diagrams.same(after.get(i).get(bit), set));
        }
      }
      return relation;
    }

    private int image(int states, int relation) {
      int next = bdd.ref(bdd.relProd(states, relation, all));
      return bdd.ref(bdd.replace(next, back));
    }

    /** Of all bits there are, those after a step are free in a set of states. */
    private long count(int states) {
      return Math.round(bdd.satCount(states) / Math.pow(2, bits));
    }
  }
}
