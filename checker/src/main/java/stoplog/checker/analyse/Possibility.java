package stoplog.checker.analyse;

import java.util.List;
import stoplog.model.Expr;
import stoplog.model.Model;

/**
 * Whether a condition holds for any values of the variables it reads, reachable or not: tried one
 * combination after the other.
 */
final class Possibility {
  private final Model model;
  private final Expr condition;
  private final int[] read;
  private final int[] values;
  private long left;

  /**
   * @param most combinations to try; beyond them the answer is that it is possible
   */
  Possibility(Model model, Expr condition, long most) {
    this.model = model;
    this.condition = condition;
    this.read = Expr.variables(condition, model.definitions()).stream().toArray();
    this.values = new int[model.variables().size()];
    this.left = most;
  }

  boolean isPossible() {
    return from(0);
  }

  private boolean from(int at) {
    if (at == read.length) {
      return left-- <= 0 || value(condition) == 1;
    }
    for (int v = 0; v < model.variable(read[at]).size(); v++) {
      values[read[at]] = v;
      if (from(at + 1)) {
        return true;
      }
    }
    return false;
  }

  private int value(Expr e) {
    return switch (e) {
      case Expr.Constant c -> c.value();
      case Expr.Read r -> values[r.variable()];
      case Expr.Use u -> value(model.definitions().get(u.definition()).value());
      case Expr.Not n -> 1 - value(n.operand());
      case Expr.All a -> all(a.operands(), 1);
      case Expr.Any a -> 1 - all(a.operands(), 0);
      case Expr.In i -> (int) (i.values() >>> value(i.operand()) & 1);
      case Expr.Same s -> value(s.left()) == value(s.right()) ? 1 : 0;
      case Expr.Choose c -> value(c.condition()) == 1 ? value(c.then()) : value(c.otherwise());
      case Expr.Shift s -> value(s.operand()) + s.by();
    };
  }

  /** 1 if every operand has this value. */
  private int all(List<Expr> operands, int wanted) {
    for (Expr o : operands) {
      if (value(o) != wanted) {
        return 0;
      }
    }
    return 1;
  }
}
