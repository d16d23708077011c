package stoplog.checker.abstraction;

import static org.junit.jupiter.api.Assertions.assertEquals;

import java.util.List;
import org.junit.jupiter.api.Test;
import stoplog.checker.explore.Budget;
import stoplog.checker.explore.Progress;
import stoplog.checker.testkit.ModelBuilder;
import stoplog.model.Bound;
import stoplog.model.Expr;
import stoplog.model.FieldChange.Cause;
import stoplog.model.Model;
import stoplog.model.Role;
import stoplog.model.Trace;
import stoplog.model.Verdict;

final class SteadySettingsTest {
  /**
   * Two timers of one setpoint, 5 to 30 quanta, start together. The first may elapse at once, the
   * second only after something that takes {@code gate} quanta.
   */
  private static Model model(long gate, boolean sameSetpoint) {
    var m = new ModelBuilder("two timers");
    ModelBuilder.Var first = m.bit("first", Role.TIMER);
    ModelBuilder.Var second = m.bit("second", Role.TIMER);
    ModelBuilder.Var opened = m.bit("opened", Role.EQUIPMENT);
    ModelBuilder.Watch one = m.clock("one", first.off()).limit(30).setBy("soak");
    ModelBuilder.Watch two =
        m.clock("two", second.off()).limit(30).setBy(sameSetpoint ? "soak" : "rinse");
    ModelBuilder.Watch opening = m.clock("opening", opened.off()).limit(gate);
    m.change("first").by(Cause.TIMER).when(first.off()).within(one, Bound.at(5), Bound.at(30)).does(first.to(1));
    m.change("second")
        .by(Cause.TIMER)
        .when(Expr.all(second.off(), opened.on(), first.on()))
        .within(two, Bound.at(5), Bound.at(30))
        .does(second.to(1));
    m.change("opens").by(Cause.EQUIPMENT).when(Expr.all(opened.off(), first.on())).from(opening, gate).does(opened.to(1));
    m.hazard("H-01", Expr.all(first.on(), second.on()));
    return m.build();
  }

  private static List<Long> times(Model model) {
    Verdict verdict =
        Decider.decide(model, model.claim("H-01"), Budget.standard(), Progress.NONE);
    Trace trace = ((Verdict.Reached) verdict).trace();
    return trace.steps().stream().map(s -> s.tick() / trace.ticksPerQuantum()).toList();
  }

  @Test
  void oneSetpointIsHeldAtATimeThatDoesForAllItsUses() {
    assertEquals(List.of(8L, 8L, 8L), times(model(8, true)));
  }

  @Test
  void twoSetpointsNeedNotAgree() {
    assertEquals(List.of(5L, 8L, 8L), times(model(8, false)));
  }
}
