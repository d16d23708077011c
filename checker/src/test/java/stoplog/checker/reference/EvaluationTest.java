package stoplog.checker.reference;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static stoplog.checker.testkit.ModelBuilder.choose;
import static stoplog.checker.testkit.ModelBuilder.same;
import static stoplog.checker.testkit.ModelBuilder.shift;
import static stoplog.checker.testkit.ModelBuilder.value;

import java.util.List;
import org.junit.jupiter.api.Test;
import stoplog.checker.testkit.ModelBuilder;
import stoplog.checker.testkit.ModelBuilder.Var;
import stoplog.model.Expr;
import stoplog.model.Role;

/** The comments of the kinds of {@link Expr}. */
class EvaluationTest {
  private final ModelBuilder m = new ModelBuilder("values");
  private final Var a = m.number("a", Role.PROCESS, 64).startsAnywhere();
  private final Var b = m.number("b", Role.PROCESS, 64).startsAnywhere();

  private int at(int valueOfA, int valueOfB, Expr e) {
    return new Evaluation(m.build()).value(e, new int[] {valueOfA, valueOfB});
  }

  @Test
  void operandsAreReadAsTheyStand() {
    assertEquals(7, at(7, 3, a.read()));
    assertEquals(42, at(7, 3, value(42)));
    assertEquals(1, at(5, 5, same(a.read(), b.read())));
    assertEquals(0, at(5, 6, same(a.read(), b.read())));
    assertEquals(3, at(5, 0, shift(a.read(), -2)));
    assertEquals(6, at(1, 6, choose(a.is(1), b.read(), value(2))));
    assertEquals(2, at(0, 6, choose(a.is(1), b.read(), value(2))));
  }

  @Test
  void truthIsOneAndFalsehoodIsZero() {
    Expr none = new Expr.All(List.of());
    assertEquals(1, at(0, 0, none));
    assertEquals(0, at(0, 0, new Expr.Any(List.of())));
    assertEquals(1, at(0, 0, new Expr.Not(a.read())));
    assertEquals(0, at(1, 0, new Expr.Not(a.read())));
    assertEquals(0, at(1, 0, new Expr.All(List.of(a.read(), b.read()))));
    assertEquals(1, at(1, 1, new Expr.All(List.of(a.read(), b.read()))));
    assertEquals(1, at(0, 1, new Expr.Any(List.of(a.read(), b.read()))));
    assertEquals(0, at(0, 0, new Expr.Any(List.of(a.read(), b.read()))));
  }

  @Test
  void membershipReachesTheLastValue() {
    assertEquals(1, at(63, 0, new Expr.In(a.read(), 1L << 63)));
    assertEquals(0, at(62, 0, new Expr.In(a.read(), 1L << 63)));
    assertEquals(1, at(0, 0, a.is(0)));
  }

  @Test
  void aDefinitionHasTheValueItsExpressionHasThen() {
    Expr d = m.definition("d", a.is(1));
    Expr e = m.definition("e", new Expr.Not(d));
    assertEquals(1, at(1, 0, d));
    assertEquals(0, at(1, 0, e));
    assertEquals(1, at(2, 0, e));
  }

  @Test
  void aShiftOutOfRangeIsAMalformedModel() {
    assertThrows(IllegalStateException.class, () -> at(0, 0, shift(a.read(), -1)));
    assertThrows(IllegalStateException.class, () -> at(63, 0, shift(a.read(), 1)));
  }
}
