package stoplog.checker.abstraction;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.stream.IntStream;
import org.jspecify.annotations.Nullable;
import stoplog.model.Expr;
import stoplog.model.Model;

/**
 * A set of values for each variable of a model, as bits; and what expressions may be when each variable
 * has any of its own, independently of the others.
 */
final class ValueSets {
  private final Model model;
  private final long[] sets;

  /** All of them empty. */
  ValueSets(Model model) {
    this.model = model;
    this.sets = new long[model.variables().size()];
  }

  ValueSets(ValueSets other) {
    this.model = other.model;
    this.sets = other.sets.clone();
  }

  /** How many variables there are. */
  int size() {
    return sets.length;
  }

  long get(int variable) {
    return sets[variable];
  }

  void set(int variable, long values) {
    sets[variable] = values;
  }

  void add(int variable, long values) {
    sets[variable] |= values;
  }

  /** Makes these the same as others of the same model. */
  void setAll(ValueSets others) {
    System.arraycopy(others.sets, 0, sets, 0, sets.length);
  }

  /** Whether a condition holds whatever the values are. */
  boolean isSure(Expr condition) {
    return of(condition) == 2;
  }

  /** The values an expression may have, each variable having any of its own, as bits. */
  long of(Expr e) {
    return switch (e) {
      case Expr.Constant c -> 1L << c.value();
      case Expr.Read r -> sets[r.variable()];
      case Expr.Use u -> of(model.definitions().get(u.definition()).value());
      case Expr.Not n -> truth(of(n.operand()), 1, 0);
      case Expr.All a -> all(a.operands(), false);
      case Expr.Any a -> all(a.operands(), true);
      case Expr.In i -> {
        long of = of(i.operand());
        yield ((of & i.values()) != 0 ? 2 : 0) | ((of & ~i.values()) != 0 ? 1 : 0);
      }
      case Expr.Same s -> {
        long left = of(s.left());
        long right = of(s.right());
        boolean one = left == right && Long.bitCount(left) == 1;
        yield ((left & right) != 0 ? 2 : 0) | (one ? 0 : 1);
      }
      case Expr.Choose c -> {
        long condition = of(c.condition());
        yield ((condition & 2) != 0 ? of(c.then()) : 0)
            | ((condition & 1) != 0 ? of(c.otherwise()) : 0);
      }
      case Expr.Shift s -> s.by() >= 0 ? of(s.operand()) << s.by() : of(s.operand()) >>> -s.by();
    };
  }

  private static long truth(long of, int yes, int no) {
    return ((of & 2) != 0 ? 1L << no : 0) | ((of & 1) != 0 ? 1L << yes : 0);
  }

  /** Of "all", or with the parts turned round, of "any". */
  private long all(List<Expr> operands, boolean any) {
    long may = any ? 1 : 2;
    for (Expr o : operands) {
      long of = of(o);
      if (any) {
        may = (may & 1 & of) | ((may | of) & 2);
      } else {
        may = (may & 2 & of) | ((may | of) & 1);
      }
    }
    return may;
  }

  /** Every combination of the values, or null if there are more than so many, or none. */
  @Nullable List<List<Integer>> combinations(int most) {
    return combinations(IntStream.range(0, sets.length).toArray(), most);
  }

  /** The same of some variables, each combination in their order; the first changes fastest. */
  @Nullable List<List<Integer>> combinations(int[] of, int most) {
    long count = 1;
    for (int v : of) {
      count *= Long.bitCount(sets[v]);
      if (count > most || count == 0) {
        return null;
      }
    }
    var all = new ArrayList<List<Integer>>();
    int[] now = Arrays.stream(of).map(v -> Long.numberOfTrailingZeros(sets[v])).toArray();
    while (true) {
      all.add(Arrays.stream(now).boxed().toList());
      int i = 0;
      while (i < now.length && sets[of[i]] >>> now[i] >>> 1 == 0) {
        now[i] = Long.numberOfTrailingZeros(sets[of[i]]);
        i++;
      }
      if (i == now.length) {
        return all;
      }
      now[i] += 1 + Long.numberOfTrailingZeros(sets[of[i]] >>> now[i] >>> 1);
    }
  }
}
