package stoplog.checker.abstraction;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;
import static stoplog.checker.testkit.ModelBuilder.choose;
import static stoplog.checker.testkit.ModelBuilder.shift;
import static stoplog.checker.testkit.ModelBuilder.value;
import static stoplog.model.Expr.all;
import static stoplog.model.Expr.not;

import org.junit.jupiter.api.Test;
import stoplog.checker.testkit.ModelBuilder;
import stoplog.model.Claim;
import stoplog.model.Expr;
import stoplog.model.Model;
import stoplog.model.Role;

class DistanceTest {
  private final ModelBuilder m = new ModelBuilder("pump behind a valve");
  private final ModelBuilder.Var valve = m.equipment("valve", "closed", "opening", "open");
  private final ModelBuilder.Var open = m.switched("open");
  private final ModelBuilder.Var start = m.switched("start");
  private final ModelBuilder.Var stuck = m.bit("stuck", Role.FAULT);
  private final ModelBuilder.Var pump = m.bit("pump", Role.COMMAND);
  private final ModelBuilder.Var other = m.switched("other");

  private Distance of(Expr condition) {
    var travel = m.clock("travel", valve.is("opening")).limit(8);
    m.change("valve open")
        .between(travel, 4, 8)
        .when(stuck.off())
        .does(valve.to("open"));
    m.reactions(
        valve.to(
            choose(
                all(open.on(), valve.is("closed")),
                value(1),
                choose(open.on(), valve.read(), value(0)))));
    m.scans(pump.to(choose(all(start.on(), valve.is("open")), value(1), value(0))));
    m.hazard("H", condition);
    Model model = m.build();
    Claim claim = model.claims().getFirst();
    return new Distance(new Reads(model), claim, claim.condition(), c -> true);
  }

  private static Distance.Values state(int... values) {
    return v -> values[v];
  }

  @Test
  void whatHoldsIsNoDistanceAway() {
    assertEquals(0, of(pump.on()).from(state(2, 1, 1, 0, 1, 0)));
  }

  @Test
  void everyStepOnTheWayComesNearer() {
    Distance distance = of(pump.on());
    int farthest = distance.from(state(0, 0, 0, 0, 0, 0));
    int commanded = distance.from(state(1, 1, 0, 0, 0, 0));
    int isOpen = distance.from(state(2, 1, 0, 0, 0, 0));
    int wanted = distance.from(state(2, 1, 1, 0, 0, 0));
    assertTrue(farthest > commanded && commanded > isOpen && isOpen > wanted && wanted > 0,
        farthest + " " + commanded + " " + isOpen + " " + wanted);
    assertTrue(farthest < Distance.NEVER);
  }

  @Test
  void whatTheConditionDoesNotDependOnDoesNotMatter() {
    Distance distance = of(pump.on());
    assertEquals(distance.from(state(0, 0, 0, 0, 0, 0)), distance.from(state(0, 0, 0, 0, 0, 1)));
  }

  @Test
  void neverIsSaid() {
    // Nothing ever ends what sticks.
    assertEquals(Distance.NEVER, of(pump.on()).from(state(0, 0, 0, 1, 0, 0)));
  }

  @Test
  void valuesAreReckonedWithByExpressionsOfAllSorts() {
    Expr condition =
        all(
            not(ModelBuilder.same(valve.read(), shift(pump.read(), 1))),
            new Expr.In(shift(valve.read(), 1), 1L << 3),
            other.off());
    Distance distance = of(condition);
    assertEquals(0, distance.from(state(2, 1, 0, 0, 0, 0)));
    assertTrue(distance.from(state(2, 1, 0, 0, 0, 1)) > 0);
    assertTrue(distance.from(state(1, 1, 0, 0, 0, 0)) > 0);
  }

  @Test
  void whatIsAlwaysFalseLeadsNowhere() {
    Expr never = m.definition("never", value(0));
    m.change("springs open").when(never).does(valve.to("open"));
    m.change("waits in vain").from(m.clock("vain", value(0)), 3).does(valve.to("open"));
    Distance distance = of(choose(never, other.on(), pump.on()));
    assertEquals(Distance.NEVER, distance.from(state(0, 0, 0, 1, 0, 1)));
    assertTrue(distance.from(state(0, 0, 0, 0, 0, 0)) < Distance.NEVER);
    assertEquals(Distance.NEVER, new DistanceTest().of(value(0)).from(state(0, 0, 0, 0, 0, 0)));
  }
}
