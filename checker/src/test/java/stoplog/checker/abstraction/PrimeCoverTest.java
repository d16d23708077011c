package stoplog.checker.abstraction;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.SplittableRandom;
import org.junit.jupiter.api.Test;
import stoplog.checker.testkit.ModelBuilder;
import stoplog.model.Expr;
import stoplog.model.Model;
import stoplog.model.Role;

final class PrimeCoverTest {
  private static final int[] SIZES = {2, 3, 2, 5, 7};

  private final ModelBuilder builder = new ModelBuilder("cases");
  private final List<ModelBuilder.Var> variables = new ArrayList<>();
  private final List<Expr> definitions = new ArrayList<>();

  private static Expr in(ModelBuilder.Var v, int one, int other) {
    return new Expr.In(v.read(), 1L << one | 1L << other);
  }

  private Model model() {
    for (int i = 0; i < SIZES.length; i++) {
      variables.add(builder.number("v" + i, Role.PROCESS, SIZES[i]));
    }
    Expr shared = Expr.any(variables.get(0).is(1), in(variables.get(3), 2, 4));
    definitions.add(builder.definition("d", shared));
    builder.hazard("H-01", variables.get(0).is(1));
    return builder.build();
  }

  @Test
  void casesAreExactlyTheConditionAndSayNoMoreThanTheyMust() {
    Model model = model();
    var random = new SplittableRandom(7);
    int impossible = 0;
    for (int n = 0; n < 400; n++) {
      Expr condition = truth(random, 3);
      List<Expr> cases = PrimeCover.of(model, condition).orElseThrow();
      assertEquals(Optional.of(cases), PrimeCover.of(model, condition), "the same again");
      impossible += cases.isEmpty() ? 1 : 0;
      assertAgree(condition, Expr.any(cases), condition + " has the cases " + cases);
      for (Expr c : cases) {
        for (Expr wider : wider(model, c)) {
          assertTrue(
              holdsSomewhere(Expr.all(wider, Expr.not(condition))),
              c + " of " + condition + " could be as wide as " + wider);
        }
      }
    }
    assertTrue(impossible > 5, "some conditions cannot hold");
  }

  @Test
  void conditionOfManyVariablesHasFewCases() {
    var many = new ModelBuilder("many");
    var parts = new ArrayList<Expr>();
    for (int i = 0; i < 40; i++) {
      ModelBuilder.Var v = many.number("v" + i, Role.PROCESS, 6);
      parts.add(in(v, 1, 3));
    }
    many.hazard("H-01", parts.getFirst());
    assertEquals(Optional.of(parts.reversed()), PrimeCover.of(many.build(), Expr.any(parts)));
  }

  /** Each part of a case with one value more. */
  private static List<Expr> wider(Model model, Expr c) {
    List<Expr> parts = c instanceof Expr.All(List<Expr> all) ? all : c.equals(Expr.TRUE) ? List.of() : List.of(c);
    var wider = new ArrayList<Expr>();
    for (int i = 0; i < parts.size(); i++) {
      Expr.In in = (Expr.In) parts.get(i);
      int size = model.variable(((Expr.Read) in.operand()).variable()).size();
      for (int v = 0; v < size; v++) {
        if ((in.values() >>> v & 1) == 0) {
          var changed = new ArrayList<>(parts);
          changed.set(i, new Expr.In(in.operand(), in.values() | 1L << v));
          wider.add(Expr.all(changed));
        }
      }
    }
    return wider;
  }

  private void assertAgree(Expr one, Expr other, String what) {
    forAll(v -> assertEquals(value(one, v), value(other, v), what));
  }

  private boolean holdsSomewhere(Expr e) {
    boolean[] found = {false};
    forAll(v -> found[0] |= value(e, v) == 1);
    return found[0];
  }

  private static void forAll(java.util.function.Consumer<int[]> look) {
    int all = 1;
    for (int s : SIZES) {
      all *= s;
    }
    for (int n = 0; n < all; n++) {
      int[] values = new int[SIZES.length];
      int rest = n;
      for (int i = 0; i < SIZES.length; i++) {
        values[i] = rest % SIZES[i];
        rest /= SIZES[i];
      }
      look.accept(values);
    }
  }

  private int value(Expr e, int[] values) {
    return switch (e) {
      case Expr.Constant c -> c.value();
      case Expr.Read r -> values[r.variable()];
      case Expr.Use _ -> value(Expr.any(variables.get(0).is(1), in(variables.get(3), 2, 4)), values);
      case Expr.Not n -> 1 - value(n.operand(), values);
      case Expr.All a -> a.operands().stream().allMatch(o -> value(o, values) == 1) ? 1 : 0;
      case Expr.Any a -> a.operands().stream().anyMatch(o -> value(o, values) == 1) ? 1 : 0;
      case Expr.In i -> (int) (i.values() >>> value(i.operand(), values) & 1);
      case Expr.Same s -> value(s.left(), values) == value(s.right(), values) ? 1 : 0;
      case Expr.Choose c -> value(c.condition(), values) == 1 ? value(c.then(), values) : value(c.otherwise(), values);
      case Expr.Shift s -> value(s.operand(), values) + s.by();
    };
  }

  private Expr truth(SplittableRandom random, int depth) {
    int kind = random.nextInt(depth == 0 ? 3 : 8);
    return switch (kind) {
      case 0 -> new Expr.In(number(random, depth), random.nextInt(1, 127));
      case 1 -> new Expr.Same(number(random, depth), number(random, depth));
      case 2 -> definitions.getFirst();
      case 3 -> Expr.not(truth(random, depth - 1));
      case 4, 5 -> Expr.all(truth(random, depth - 1), truth(random, depth - 1));
      case 6 -> Expr.any(truth(random, depth - 1), truth(random, depth - 1));
      default ->
          new Expr.Choose(
              truth(random, depth - 1), truth(random, depth - 1), truth(random, depth - 1));
    };
  }

  private Expr number(SplittableRandom random, int depth) {
    int kind = random.nextInt(depth == 0 ? 2 : 4);
    return switch (kind) {
      case 0 -> new Expr.Constant(random.nextInt(4));
      case 1 -> variables.get(random.nextInt(SIZES.length)).read();
      case 2 -> new Expr.Shift(variables.get(random.nextInt(SIZES.length)).read(), random.nextInt(3));
      default ->
          new Expr.Choose(
              truth(random, depth - 1), number(random, depth - 1), number(random, depth - 1));
    };
  }

  /** An odd number of thirteen: each of the 4096 ways is a case of its own. */
  @Test
  void ofTooManyCasesNoneIsTold() {
    var m = new ModelBuilder("odd");
    Expr odd = Expr.FALSE;
    for (int i = 0; i < 13; i++) {
      odd = Expr.not(ModelBuilder.same(odd, m.bit("bit" + i, Role.PROCESS).on()));
    }
    m.hazard("H-1", odd);
    Model model = m.build();
    assertEquals(Optional.empty(), PrimeCover.of(model, model.claims().getFirst().condition()));
  }
}
