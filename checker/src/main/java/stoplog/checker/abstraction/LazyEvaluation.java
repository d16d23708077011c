package stoplog.checker.abstraction;

import java.util.function.IntUnaryOperator;
import stoplog.model.Expr;
import stoplog.model.Model;

/**
 * Values of expressions that ask for no variable whose value does not matter: operands are looked at one after the
 * other, and no further than one that settles it. Who gives the values may throw where one is not known.
 */
final class LazyEvaluation {
  private final Model model;

  LazyEvaluation(Model model) {
    this.model = model;
  }

  /** @param variables the value of each that is asked for */
  int value(Expr e, IntUnaryOperator variables) {
    return switch (e) {
      case Expr.Constant c -> c.value();
      case Expr.Read r -> variables.applyAsInt(r.variable());
      case Expr.Use u -> value(model.definitions().get(u.definition()).value(), variables);
      case Expr.Not n -> 1 - value(n.operand(), variables);
      case Expr.All a -> {
        for (Expr o : a.operands()) {
          if (value(o, variables) == 0) {
            yield 0;
          }
        }
        yield 1;
      }
      case Expr.Any a -> {
        for (Expr o : a.operands()) {
          if (value(o, variables) == 1) {
            yield 1;
          }
        }
        yield 0;
      }
      case Expr.In i -> (i.values() >>> value(i.operand(), variables) & 1) == 1 ? 1 : 0;
      case Expr.Same s -> value(s.left(), variables) == value(s.right(), variables) ? 1 : 0;
      case Expr.Choose c ->
          value(c.condition(), variables) == 1
              ? value(c.then(), variables)
              : value(c.otherwise(), variables);
      case Expr.Shift s -> value(s.operand(), variables) + s.by();
    };
  }
}
