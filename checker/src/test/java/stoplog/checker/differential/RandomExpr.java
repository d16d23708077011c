package stoplog.checker.differential;

import java.util.ArrayList;
import java.util.Collections;
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
  private final boolean grouping;

  public RandomExpr(Random random, List<Variable> variables, List<Definition> definitions) {
    this(random, variables, definitions, false);
  }

  /** @param grouping whether most truth values ask about several variables at once */
  RandomExpr(
      Random random, List<Variable> variables, List<Definition> definitions, boolean grouping) {
    this.random = random;
    this.variables = variables;
    this.definitions = definitions;
    this.grouping = grouping;
  }

  /** A truth value over the variables with the indices below {@code readable}. */
  public Expr truth(int readable, int depth) {
    if (grouping && readable >= 3 && random.nextInt(5) < 2) {
      return group(readable);
    }
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

  /** Any of, all of, or a number of several variables, written in one of many ways. */
  Expr group(int readable) {
    var members = new ArrayList<Integer>();
    for (int v = 0; v < readable; v++) {
      members.add(v);
    }
    Collections.shuffle(members, random);
    int size = Math.min(readable, 4 + random.nextInt(4));
    var asked = new ArrayList<Expr>();
    for (int v : members.subList(0, size)) {
      Expr member = member(v);
      asked.add(member);
    }
    boolean denied = random.nextInt(3) == 0;
    Expr group =
        switch (random.nextInt(3)) {
          case 0 -> new Expr.Any(nested(asked, true));
          case 1 -> new Expr.All(nested(asked, false));
          default -> {
            Expr count = new Expr.Constant(0);
            for (Expr m : asked) {
              count = new Expr.Choose(m, new Expr.Shift(count, 1), count);
            }
            yield new Expr.In(count, 1 + random.nextLong((2L << size) - 1));
          }
        };
    return denied ? Expr.not(group) : group;
  }

  private Expr member(int v) {
    int size = variables.get(v).size();
    Expr is = new Expr.In(new Expr.Read(v), 1L << random.nextInt(size));
    return size == 2 && random.nextInt(3) == 0
        ? new Expr.Read(v)
        : random.nextInt(5) == 0 ? new Expr.Not(is) : is;
  }

  /** Sometimes with some other question among them, or some of them joined or denied first. */
  private List<Expr> nested(List<Expr> asked, boolean any) {
    var operands = new ArrayList<>(asked);
    if (random.nextInt(3) == 0) {
      List<Expr> some = List.copyOf(operands.subList(0, 2));
      operands.subList(0, 2).clear();
      operands.add(
          random.nextBoolean()
              ? any ? new Expr.Any(some) : new Expr.All(some)
              : new Expr.Not(
                  any
                      ? new Expr.All(some.stream().map(m -> (Expr) new Expr.Not(m)).toList())
                      : new Expr.Any(some)));
    }
    if (!definitions.isEmpty() && random.nextInt(3) == 0) {
      operands.add(new Expr.Use(random.nextInt(definitions.size())));
    }
    return operands;
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
