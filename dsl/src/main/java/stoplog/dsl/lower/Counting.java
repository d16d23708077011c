package stoplog.dsl.lower;

import java.util.ArrayList;
import java.util.List;
import stoplog.dsl.resolve.Term;
import stoplog.model.Expr;
import stoplog.model.Variable;

/** How many of some truth values are true. */
final class Counting {
  /** So many are spelt out; more are added up, one definition each. */
  private static final int FEW = 4;

  private Counting() {}

  /**
   * Whether {@code least} to {@code most} of the operands are true. Linear in their number.
   *
   * @param operands one for each operand of the term; at most 63 unless all, any or none are asked
   */
  static Expr of(Term.HowMany term, List<Expr> operands, Parts parts) {
    int least = term.least();
    int most = term.most();
    int size = operands.size();
    if (least <= 1 && most == size) {
      return least == 0 ? Expr.TRUE : Expr.any(operands);
    } else if (most == 0) {
      return Expr.not(Expr.any(operands));
    } else if (least == size) {
      return Expr.all(operands);
    } else if (size <= FEW) {
      return Expr.all(atLeast(least, operands), Expr.not(atLeast(most + 1, operands)));
    }
    long counts = 0;
    for (int n = least; n <= most; n++) {
      counts |= 1L << n;
    }
    return new Expr.In(sum(term, operands, parts), counts);
  }

  private static Expr atLeast(int least, List<Expr> operands) {
    int size = operands.size();
    if (least <= 0) {
      return Expr.TRUE;
    } else if (least > size) {
      return Expr.FALSE;
    } else if (least == 1) {
      return Expr.any(operands);
    } else if (least == size) {
      return Expr.all(operands);
    }
    List<Expr> others = operands.subList(1, size);
    return new Expr.Choose(
        operands.getFirst(), atLeast(least - 1, others), atLeast(least, others));
  }

  /** The number of operands that are true, as a chain of definitions that each add one of them. */
  private static Expr sum(Term.HowMany term, List<Expr> operands, Parts parts) {
    if (operands.size() >= Variable.MAX_VALUES) {
      throw new IllegalStateException("too many to count: " + term.span());
    }
    var counted = new ArrayList<String>();
    Expr sum = new Expr.Constant(0);
    for (int i = 0; i < operands.size(); i++) {
      String text = term.operands().get(i).span().text().replaceAll("\\s+", " ");
      counted.add(text);
      String name = "counted." + (parts.definitions.size() + 1);
      Expr more = new Expr.Choose(operands.get(i), new Expr.Shift(sum, 1), sum);
      sum = parts.define(name, more, "how many of " + String.join(", ", counted), term.span());
    }
    return sum;
  }
}
