package stoplog.dsl.resolve;

import java.math.BigDecimal;
import java.util.List;
import stoplog.diag.Code;
import stoplog.diag.Diagnostic;
import stoplog.dsl.tree.Expression.Compared;
import stoplog.dsl.tree.Expression.Relation;
import stoplog.dsl.tree.Quantity;

/** Counts beside plain numbers. */
final class CountComparison {
  private CountComparison() {}

  /** The values of the count that stand in the relation; what is no number of it is told. */
  static Term of(Symbol.Count count, Compared c, List<Diagnostic> diagnostics) {
    Quantity q = c.value();
    String range = "a whole number from " + count.low() + " to " + count.high();
    if (q == null) {
      diagnostics.add(
          Diagnostic.of(Code.NOT_A_COUNT, c.span(), "`" + count.name() + "` counts, and a count is "
                  + "compared with a number")
              .withLabel("needs " + range));
      return new Term.Broken(c.span());
    }
    if (q.unit() != null) {
      diagnostics.add(
          Diagnostic.of(Code.WRONG_UNIT, q.unit().span(), "a count has no unit")
              .withLabel("needs " + range)
              .withRelated(count.name().span(), "declared here"));
      return new Term.Broken(c.span());
    }
    BigDecimal v = q.value();
    if (v.stripTrailingZeros().scale() > 0
        || v.compareTo(BigDecimal.valueOf(count.low())) < 0
        || v.compareTo(BigDecimal.valueOf(count.high())) > 0) {
      diagnostics.add(
          Diagnostic.of(Code.NOT_A_COUNT, q.span(), "`" + count.name() + "` is never this number")
              .withLabel("needs " + range)
              .withRelated(count.name().span(), "declared here"));
      return new Term.Broken(c.span());
    }
    long values = 0;
    for (int i = 0; i <= count.high() - count.low(); i++) {
      if (holds(c.relation(), count.low() + i, v.intValueExact())) {
        values |= 1L << i;
      }
    }
    return new Term.Counted(count, values, c.span());
  }

  private static boolean holds(Relation relation, int value, int limit) {
    return switch (relation) {
      case BELOW -> value < limit;
      case AT_MOST -> value <= limit;
      case ABOVE -> value > limit;
      case AT_LEAST -> value >= limit;
    };
  }
}
