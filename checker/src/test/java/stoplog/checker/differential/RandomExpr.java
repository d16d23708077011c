package stoplog.checker.differential;

import java.util.List;
import java.util.Random;
import stoplog.model.Definition;
import stoplog.model.Expr;
import stoplog.model.Variable;

/** Random expressions over some of a model's variables and the definitions written so far. */
public final class RandomExpr {
  private final Random random;
  private final List<Variable> variables;
  private final List<Definition> definitions;

  public RandomExpr(Random random, List<Variable> variables, List<Definition> definitions) {
    this.random = random;
    this.variables = variables;
    this.definitions = definitions;
  }

  /** A truth value over the variables with the indices below {@code readable}. */
  public Expr truth(int readable, int depth) {
    return switch (random.nextInt(depth == 0 ? 2 : 9)) {
      case 0, 1 -> atom(readable);
      case 2 -> Expr.not(truth(readable, depth - 1));
      case 3 -> Expr.all(truth(readable, depth - 1), truth(readable, depth - 1));
      case 4 -> Expr.any(truth(readable, depth - 1), truth(readable, depth - 1));
      case 5 ->
          new Expr.Choose(
              truth(readable, 0), truth(readable, depth - 1), truth(readable, depth - 1));
      case 6 ->
          new Expr.Same(
              new Expr.Read(random.nextInt(readable)), new Expr.Read(random.nextInt(readable)));
      case 7 -> new Expr.Same(truth(readable, depth - 1), truth(readable, 0));
      default ->
          definitions.isEmpty()
              ? atom(readable)
              : new Expr.Use(random.nextInt(definitions.size()));
    };
  }

  private Expr atom(int readable) {
    int v = random.nextInt(readable);
    int size = variables.get(v).size();
    long set = 1L << random.nextInt(size);
    if (size > 2 && random.nextInt(3) == 0) {
      set |= 1L << random.nextInt(size);
    }
    return new Expr.In(new Expr.Read(v), set);
  }

  /** A value of the target's domain, whatever the state. */
  public Expr value(int target, int readable, int depth) {
    int size = variables.get(target).size();
    return switch (random.nextInt(depth == 0 ? 3 : 7)) {
      case 0 -> new Expr.Constant(random.nextInt(size));
      case 1 -> new Expr.Read(target);
      case 2 -> fitting(target, readable);
      case 3 -> shifted(target, readable);
      case 4 -> truth(readable, depth - 1);
      default ->
          new Expr.Choose(
              truth(readable, depth), value(target, readable, depth - 1),
              value(target, readable, depth - 1));
    };
  }

  /** Another variable's value, if it has no more values than the target. */
  private Expr fitting(int target, int readable) {
    int other = random.nextInt(readable);
    return variables.get(other).size() <= variables.get(target).size()
        ? new Expr.Read(other)
        : new Expr.Read(target);
  }

  /** One up or one down, staying at the end of the domain or coming round. */
  private Expr shifted(int target, int readable) {
    int size = variables.get(target).size();
    Expr of = fitting(target, readable);
    boolean up = random.nextBoolean();
    Expr atEnd = new Expr.In(of, up ? -1L << (size - 1) : 1L);
    Expr end = new Expr.Constant(random.nextBoolean() == up ? size - 1 : 0);
    return new Expr.Choose(atEnd, end, new Expr.Shift(of, up ? 1 : -1));
  }
}
