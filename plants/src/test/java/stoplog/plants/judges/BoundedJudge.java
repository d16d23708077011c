package stoplog.plants.judges;

import java.util.ArrayList;
import java.util.List;
import org.sat4j.core.VecInt;
import org.sat4j.minisat.SolverFactory;
import org.sat4j.specs.ContradictionException;
import org.sat4j.specs.ISolver;
import org.sat4j.specs.TimeoutException;
import stoplog.model.Claim;
import stoplog.model.Model;

/**
 * Looks for runs of an untimed model with a given number of steps: the states of the run are unrolled
 * into one formula, which a general-purpose satisfiability library is asked about.
 */
public final class BoundedJudge {
  /** The condition is in no run of so many steps or fewer. */
  public static final int NOT_WITHIN = -1;

  private BoundedJudge() {}

  /**
   * The least number of steps after which the claim's condition holds and time can pass.
   *
   * @param most how many steps are tried; {@link #NOT_WITHIN} if they do not suffice
   */
  public static int leastSteps(Model model, Claim claim, int most) {
    var formula = new Formula();
    var steps = new Steps<Integer>(formula, model, claim);
    List<List<Integer>> chosen = new ArrayList<>();
    for (int size : steps.sizes()) {
      chosen.add(formula.number(size));
    }
    formula.require(steps.isChoice(chosen));
    List<List<Integer>> state = steps.start(chosen);
    for (int step = 0; step <= most; step++) {
      if (formula.isPossible(steps.isGoal(state))) {
        return step;
      }
      state = after(formula, steps, state);
    }
    return NOT_WITHIN;
  }

  /** The state after exactly one of the steps, whichever it is. */
  private static List<List<Integer>> after(
      Formula formula, Steps<Integer> steps, List<List<Integer>> state) {
    List<Steps.Step<Integer>> possible = steps.steps(state);
    List<Integer> sizes = steps.sizes();
    List<Integer> taken = formula.number(possible.size());
    List<List<Integer>> next = new ArrayList<>();
    for (int size : sizes) {
      next.add(formula.number(size));
    }
    for (int s = 0; s < possible.size(); s++) {
      formula.imply(taken.get(s), possible.get(s).enabled());
      for (int i = 0; i < sizes.size(); i++) {
        for (int value = 0; value < sizes.get(i); value++) {
          int there = formula.and(taken.get(s), possible.get(s).after().get(i).get(value));
          formula.imply(there, next.get(i).get(value));
        }
      }
    }
    return next;
  }

  /** A growing formula; truth is a literal, 1 stands for true. */
  private static final class Formula implements Booleans<Integer> {
    private static final int TRUE = 1;
    private final ISolver solver = SolverFactory.newDefault();
    private int variables = TRUE;

    Formula() {
      solver.newVar(200_000);
      require(TRUE);
    }

    /** Exactly one of so many fresh variables; unsatisfiable for none. */
    List<Integer> number(int size) {
      List<Integer> number = new ArrayList<>();
      for (int v = 0; v < size; v++) {
        number.add(++variables);
      }
      clause(number.stream().mapToInt(Integer::intValue).toArray());
      for (int v = 0; v < size; v++) {
        for (int w = v + 1; w < size; w++) {
          clause(-number.get(v), -number.get(w));
        }
      }
      return number;
    }

    void require(int literal) {
      clause(literal);
    }

    void imply(int left, int right) {
      clause(-left, right);
    }

    private void clause(int... literals) {
      try {
        solver.addClause(new VecInt(literals));
      } catch (ContradictionException e) {
        contradictory = true;
      }
    }

    private boolean contradictory;

    boolean isPossible(int literal) {
      try {
        return !contradictory && solver.isSatisfiable(new VecInt(new int[] {literal}));
      } catch (TimeoutException e) {
        throw new AssertionError("no answer in time", e);
      }
    }

    @Override
    public Integer constant(boolean value) {
      return value ? TRUE : -TRUE;
    }

    @Override
    public Integer not(Integer operand) {
      return -operand;
    }

    @Override
    public Integer and(Integer left, Integer right) {
      if (left == -TRUE || right == -TRUE || left == -right) {
        return -TRUE;
      } else if (left == TRUE || left.equals(right)) {
        return right;
      } else if (right == TRUE) {
        return left;
      }
      int both = ++variables;
      clause(-both, left);
      clause(-both, right);
      clause(both, -left, -right);
      return both;
    }

    @Override
    public Integer or(Integer left, Integer right) {
      return -and(-left, -right);
    }
  }
}
