package stoplog.model;

import static org.junit.jupiter.api.Assertions.assertEquals;

import java.util.ArrayList;
import java.util.BitSet;
import java.util.List;
import org.junit.jupiter.api.Test;
import stoplog.source.Span;

final class ExprTest {
  private static BitSet upTo(int end) {
    var bits = new BitSet();
    bits.set(0, end);
    return bits;
  }

  @Test
  void everyPartOfAnExpressionIsRead() {
    Expr e =
        new Expr.Choose(
            new Expr.Same(new Expr.Read(0), new Expr.Constant(1)),
            new Expr.Shift(new Expr.Read(1), 1),
            new Expr.In(
                new Expr.Choose(
                    new Expr.All(List.of(new Expr.Not(new Expr.Read(2)))),
                    new Expr.Any(List.of(new Expr.Read(3))),
                    new Expr.Use(0)),
                1));
    var definitions = List.of(new Definition(0, "d", new Expr.Read(4), "", Span.NONE));
    assertEquals(upTo(5), Expr.variables(e, definitions));
    assertEquals(new BitSet(), Expr.variables(Expr.TRUE, definitions));
  }

  /** Each of these uses the one before twice: to go through every use would take for ever. */
  @Test
  void definitionIsGoneThroughOnceHoweverOftenItIsUsed() {
    var definitions = new ArrayList<Definition>();
    Expr before = new Expr.Constant(0);
    for (int i = 0; i < 80; i++) {
      Expr count = new Expr.Choose(new Expr.Read(i), new Expr.Shift(before, 1), before);
      definitions.add(new Definition(i, "d" + i, count, "", Span.NONE));
      before = new Expr.Use(i);
    }
    assertEquals(upTo(80), Expr.variables(before, definitions));
  }
}
