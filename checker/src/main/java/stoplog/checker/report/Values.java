package stoplog.checker.report;

import stoplog.model.Expr;
import stoplog.model.Model;

/** The value of an expression in one state of a replayed run. */
final class Values {
  private Values() {}

  static boolean holds(Model model, Expr e, int[] state) {
    return of(model, e, state) == 1;
  }

  static int of(Model model, Expr e, int[] state) {
    return switch (e) {
      case Expr.Constant(int value) -> value;
      case Expr.Read(int variable) -> state[variable];
      case Expr.Use(int definition) ->
          of(model, model.definitions().get(definition).value(), state);
      case Expr.Not(Expr o) -> 1 - of(model, o, state);
      case Expr.All all -> {
        int value = 1;
        for (Expr o : all.operands()) {
          value &= of(model, o, state);
        }
        yield value;
      }
      case Expr.Any any -> {
        int value = 0;
        for (Expr o : any.operands()) {
          value |= of(model, o, state);
        }
        yield value;
      }
      case Expr.In(Expr o, long values) -> (int) (values >>> of(model, o, state) & 1);
      case Expr.Same(Expr l, Expr r) -> of(model, l, state) == of(model, r, state) ? 1 : 0;
      case Expr.Choose(Expr c, Expr t, Expr o) ->
          of(model, c, state) == 1 ? of(model, t, state) : of(model, o, state);
      case Expr.Shift(Expr o, int by) -> of(model, o, state) + by;
    };
  }
}
