package stoplog.checker.reference;

import java.util.List;
import stoplog.model.Definition;
import stoplog.model.Expr;
import stoplog.model.Model;

/**
 * The value of an expression when every variable has a given value. Definitions are evaluated anew at
 * every use; the cost is the size of the expression with all its definitions written out.
 */
public final class Evaluation {
  private final List<Definition> definitions;

  public Evaluation(Model model) {
    this.definitions = model.definitions();
  }

  public boolean holds(Expr condition, int[] values) {
    return value(condition, values) == 1;
  }

  /**
   * The value, 0 to 63.
   *
   * @throws IllegalStateException if a shift leaves that range, which a model promises not to do
   */
  public int value(Expr e, int[] values) {
    return switch (e) {
      case Expr.Constant c -> c.value();
      case Expr.Read r -> values[r.variable()];
      case Expr.Use u -> value(definitions.get(u.definition()).value(), values);
      case Expr.Not n -> truth(!holds(n.operand(), values));
      case Expr.All a -> {
        boolean all = true;
        for (Expr operand : a.operands()) {
          all = all && holds(operand, values);
        }
        yield truth(all);
      }
      case Expr.Any a -> {
        boolean any = false;
        for (Expr operand : a.operands()) {
          any = any || holds(operand, values);
        }
        yield truth(any);
      }
      case Expr.In in -> (int) (in.values() >>> value(in.operand(), values) & 1);
      case Expr.Same s -> truth(value(s.left(), values) == value(s.right(), values));
      case Expr.Choose c ->
          holds(c.condition(), values) ? value(c.then(), values) : value(c.otherwise(), values);
      case Expr.Shift s -> shifted(value(s.operand(), values) + s.by());
    };
  }

  private static int truth(boolean holds) {
    return holds ? 1 : 0;
  }

  private static int shifted(int value) {
    if (value < 0 || value > 63) {
      throw new IllegalStateException("malformed model: a shift to " + value);
    }
    return value;
  }
}
