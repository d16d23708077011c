package stoplog.checker.abstraction;

import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import stoplog.model.Expr;
import stoplog.model.Model;

/**
 * The ways in which a condition can hold for any values of the variables it reads, reachable or not: a
 * cover by prime implicants over variables of many values.
 *
 * <p>Each case says of a few variables which values they have, and says no more than it must: allow one
 * more value, and the condition need not hold. The condition holds where one of its cases does. To rule
 * out each of them is to rule out the condition, and often far cheaper, since each asks about fewer
 * variables.
 */
public final class PrimeCover {
  /** More cases than this are no help to anyone. */
  private static final int MOST_CASES = 2_000;

  private final Model model;
  private final Diagram diagram = new Diagram();
  private final int[] read;

  /** For each variable read and each of its values, the function that is true where it has it. */
  private final Map<Integer, int[]> when = new HashMap<>();

  private final Map<Integer, int[]> defined = new HashMap<>();

  private PrimeCover(Model model, Expr condition) {
    this.model = model;
    this.read = Expr.variables(condition, model.definitions()).stream().toArray();
    int bits = 0;
    for (int v : read) {
      int size = model.variable(v).size();
      int width = 32 - Integer.numberOfLeadingZeros(Math.max(0, size - 1));
      int[] values = new int[size];
      for (int value = 0; value < size; value++) {
        int is = Diagram.TRUE;
        for (int i = width - 1; i >= 0; i--) {
          int bit = diagram.bit(bits + i);
          is = diagram.and(is, (value >> i & 1) == 1 ? bit : diagram.not(bit));
        }
        values[value] = is;
      }
      when.put(v, values);
      bits += width;
    }
  }

  /**
   * The cases, always the same and in the same order; none at all if the condition cannot hold. Empty
   * if they are too many or too intricate to tell.
   */
  public static Optional<List<Expr>> of(Model model, Expr condition) {
    try {
      var cover = new PrimeCover(model, condition);
      return cover.cases(cover.truth(condition));
    } catch (Diagram.TooIntricate _) {
      return Optional.empty();
    }
  }

  private Optional<List<Expr>> cases(int condition) {
    int possible = diagram.and(condition, among(domains()));
    int impossible = diagram.not(condition);
    var cases = new ArrayList<Expr>();
    int left = possible;
    while (left != Diagram.FALSE) {
      if (cases.size() == MOST_CASES) {
        return Optional.empty();
      }
      long[] sets = widened(example(left), impossible);
      left = diagram.and(left, diagram.not(among(sets)));
      cases.add(inWords(sets));
    }
    return Optional.of(cases);
  }

  private long[] domains() {
    long[] sets = new long[read.length];
    for (int i = 0; i < read.length; i++) {
      sets[i] = domain(i);
    }
    return sets;
  }

  private long domain(int i) {
    int size = model.variable(read[i]).size();
    return size == 64 ? -1L : (1L << size) - 1;
  }

  /** One value for each variable, the first that will do, for which the function is true. */
  private long[] example(int function) {
    long[] sets = new long[read.length];
    int rest = function;
    for (int i = 0; i < read.length; i++) {
      int[] values = when(read[i]);
      for (int value = 0; sets[i] == 0; value++) {
        int with = diagram.and(rest, values[value]);
        if (with != Diagram.FALSE) {
          sets[i] = 1L << value;
          rest = with;
        }
      }
    }
    return sets;
  }

  /** As many variables left out as may be, and then as many values allowed of each of the others. */
  private long[] widened(long[] sets, int impossible) {
    long[] wide = sets.clone();
    for (int i = 0; i < read.length; i++) {
      long narrow = wide[i];
      wide[i] = domain(i);
      if (diagram.and(among(wide), impossible) != Diagram.FALSE) {
        wide[i] = narrow;
      }
    }
    for (int i = 0; i < read.length; i++) {
      for (long rest = domain(i) & ~wide[i]; rest != 0; rest &= rest - 1) {
        long narrow = wide[i];
        wide[i] |= Long.lowestOneBit(rest);
        if (diagram.and(among(wide), impossible) != Diagram.FALSE) {
          wide[i] = narrow;
        }
      }
    }
    return wide;
  }

  /** Where each variable has a value of its set. */
  private int among(long[] sets) {
    int among = Diagram.TRUE;
    for (int i = read.length - 1; i >= 0; i--) {
      among = diagram.and(diagram.in(when(read[i]), sets[i]), among);
    }
    return among;
  }

  private Expr inWords(long[] sets) {
    var parts = new ArrayList<Expr>();
    for (int i = 0; i < read.length; i++) {
      if (sets[i] != domain(i)) {
        parts.add(new Expr.In(new Expr.Read(read[i]), sets[i]));
      }
    }
    return Expr.all(parts);
  }

  private int[] when(int variable) {
    int[] values = when.get(variable);
    if (values == null) {
      throw new IllegalStateException("the condition does not read variable " + variable);
    }
    return values;
  }

  private int truth(Expr e) {
    return switch (e) {
      case Expr.Not n -> diagram.not(truth(n.operand()));
      case Expr.All a -> {
        int all = Diagram.TRUE;
        for (Expr o : a.operands().reversed()) {
          all = diagram.and(truth(o), all);
        }
        yield all;
      }
      case Expr.Any a -> {
        int any = Diagram.FALSE;
        for (Expr o : a.operands().reversed()) {
          any = diagram.or(truth(o), any);
        }
        yield any;
      }
      case Expr.In i -> diagram.in(values(i.operand()), i.values());
      case Expr.Same s -> diagram.same(values(s.left()), values(s.right()));
      case Expr.Constant _, Expr.Read _, Expr.Use _, Expr.Choose _, Expr.Shift _ ->
          Diagram.at(values(e), 1);
    };
  }

  /** For each value the expression may have, when it does. Not to be changed. */
  private int[] values(Expr e) {
    return switch (e) {
      case Expr.Constant c -> {
        int[] values = new int[c.value() + 1];
        values[c.value()] = Diagram.TRUE;
        yield values;
      }
      case Expr.Read r -> when(r.variable());
      case Expr.Use u -> {
        int[] known = defined.get(u.definition());
        if (known == null) {
          known = values(model.definitions().get(u.definition()).value());
          defined.put(u.definition(), known);
        }
        yield known;
      }
      case Expr.Choose c ->
          diagram.either(truth(c.condition()), values(c.then()), values(c.otherwise()));
      case Expr.Shift s -> {
        int[] operand = values(s.operand());
        int[] values = new int[Math.max(0, operand.length + s.by())];
        for (int v = 0; v < values.length; v++) {
          values[v] = Diagram.at(operand, v - s.by());
        }
        yield values;
      }
      case Expr.Not _, Expr.All _, Expr.Any _, Expr.In _, Expr.Same _ -> {
        int truth = truth(e);
        yield new int[] {diagram.not(truth), truth};
      }
    };
  }
}
