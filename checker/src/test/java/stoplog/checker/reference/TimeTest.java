package stoplog.checker.reference;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;
import static stoplog.checker.testkit.ModelBuilder.choose;
import static stoplog.checker.testkit.ModelBuilder.value;
import static stoplog.model.Expr.not;

import org.junit.jupiter.api.Test;
import stoplog.checker.testkit.ModelBuilder;
import stoplog.checker.testkit.ModelBuilder.Var;
import stoplog.checker.testkit.ModelBuilder.Watch;
import stoplog.checker.testkit.Run;
import stoplog.model.Bound;
import stoplog.model.Expr;
import stoplog.model.Model;
import stoplog.model.Role;

/** Clocks, limits and windows: "Time passes", "A step" and "Ties" of the model's package comment. */
class TimeTest {
  /** Without logic no scan is ever due, so that only clocks hold up time. */
  private final ModelBuilder m = new ModelBuilder("time");

  private Run run() {
    return Run.of(m.build()).start();
  }

  private Run run(int ticksPerQuantum) {
    return Run.of(m.build(), Run.NO_CLAIM, ticksPerQuantum).start();
  }

  @Test
  void aClockStartsWhenAStepMakesItsConditionHoldAndHasNoValueWhileItDoesNot() {
    Var a = m.comesAndGoes("a");
    m.clock("c", a.on());
    Run run = run().pass(3);
    assertEquals(State.NOT_RUNNING, run.clock("c"));
    run.does("a starts");
    assertEquals(0, run.clock("c"));
    run.pass(2);
    assertEquals(2, run.clock("c"));
    run.does("a ends");
    assertEquals(State.NOT_RUNNING, run.clock("c"));
  }

  @Test
  void aClockRunsOnThroughStepsThatLeaveItsConditionTrue() {
    Var level = m.number("level", Role.PROCESS, 3).starts(1);
    m.clock("wet", not(level.is(0)));
    m.change("rises").when(level.is(1)).does(level.to(2));
    m.change("dips and rises").does(level.to(0), level.to(1));
    Run run = run().pass(4).does("rises").pass(1);
    assertEquals(5, run.clock("wet"));
    run.does("dips and rises");
    assertEquals(5, run.clock("wet"), "conditions are never compared in the midst of a step");
  }

  @Test
  void aDropAndANewStartInTwoStepsOfOneInstantRestartAClock() {
    Var a = m.comesAndGoes("a");
    m.clock("c", a.on());
    Run run = run().does("a starts").pass(7).does("a ends").does("a starts");
    assertEquals(0, run.clock("c"));
  }

  @Test
  void conditionsAreComparedAfterTheReactions() {
    Var a = m.comesAndGoes("a");
    Var b = m.bit("b", Role.EQUIPMENT);
    m.clock("c", b.on());
    m.reactions(b.to(a.read()));
    assertEquals(0, run().does("a starts").clock("c"));
  }

  @Test
  void allRunningClocksAdvanceTogether() {
    Var a = m.comesAndGoes("a");
    m.clock("c", a.on());
    m.clock("d", Expr.TRUE);
    Run run = run().pass(3).does("a starts").pass(4);
    assertEquals(4, run.clock("c"));
    assertEquals(7, run.clock("d"));
  }

  @Test
  void timePassesUpToAClosedLimitAndNotBeyond() {
    m.clock("c", Expr.TRUE).limit(8);
    Run run = run(3);
    assertEquals(24, run.mayPass());
    run.pass(20);
    assertEquals(4, run.mayPass());
    assertThrows(IllegalArgumentException.class, () -> run.copy().pass(5));
    assertEquals(0, run.pass(4).mayPass());
  }

  @Test
  void timeStaysBelowAnOpenLimit() {
    m.clock("c", Expr.TRUE).limit(Bound.open(8));
    assertEquals(23, run(3).mayPass());
    assertEquals(7, run(1).mayPass());
  }

  @Test
  void noTimePassesAtTheOpenLimitZero() {
    m.clock("c", Expr.TRUE).limit(Bound.open(0));
    assertEquals(0, run(3).mayPass());
  }

  @Test
  void withoutLimitsAnyTimePasses() {
    Var a = m.comesAndGoes("a");
    m.clock("free", Expr.TRUE);
    m.clock("idle", a.on()).limit(1);
    assertEquals(Long.MAX_VALUE, run().mayPass());
  }

  @Test
  void theNearestLimitCounts() {
    m.clock("c", Expr.TRUE).limit(8);
    m.clock("d", Expr.TRUE).limit(5);
    assertEquals(5, run().mayPass());
  }

  @Test
  void timeDoesNotRunBackwards() {
    assertThrows(IllegalArgumentException.class, () -> run().pass(-1));
  }

  @Test
  void aClosedWindowHoldsItsEnds() {
    Watch c = m.clock("c", Expr.TRUE);
    m.change("x").between(c, 2, 4);
    assertEquals("clock c has not yet run long enough", run(3).pass(5).whyNot("x"));
    assertTrue(run(3).pass(6).can("x"));
    assertTrue(run(3).pass(12).can("x"));
    assertEquals("clock c has run too long", run(3).pass(13).whyNot("x"));
  }

  @Test
  void anOpenWindowDoesNotHoldItsEnds() {
    Watch c = m.clock("c", Expr.TRUE);
    m.change("x").within(c, Bound.open(2), Bound.open(4));
    assertFalse(run(3).pass(6).can("x"));
    assertTrue(run(3).pass(7).can("x"));
    assertTrue(run(3).pass(11).can("x"));
    assertFalse(run(3).pass(12).can("x"));
  }

  @Test
  void aWindowMayHaveNoEnd() {
    Watch c = m.clock("c", Expr.TRUE);
    m.change("x").from(c, 2);
    assertFalse(run().pass(1).can("x"));
    assertTrue(run().pass(1_000_000).can("x"));
  }

  @Test
  void aChangeThatWaitsForAClockNeedsItRunning() {
    Var a = m.comesAndGoes("a");
    Watch c = m.clock("c", a.on());
    m.change("x").from(c, 0);
    assertEquals("clock c does not run", run().whyNot("x"));
    assertTrue(run().does("a starts").can("x"));
  }

  @Test
  void aChangeNeedsItsConditionAndNeverMustHappen() {
    Var a = m.comesAndGoes("a");
    assertEquals("its condition does not hold", run().whyNot("a ends"));
    assertThrows(IllegalArgumentException.class, () -> run().does("a ends"));
    assertEquals(0, run().pass(1_000_000).value("a"));
    assertEquals(0, a.id());
  }

  @Test
  void effectsAreCarriedOutInOrderThenTheReactions() {
    Var a = m.number("a", Role.PROCESS, 10);
    Var b = m.number("b", Role.PROCESS, 10);
    Var e = m.number("e", Role.EQUIPMENT, 10);
    m.change("x").does(a.to(4), b.to(a.read()), a.to(5));
    m.reactions(e.to(choose(b.is(4), a.read(), value(0))), b.to(e.read()));
    Run run = run().does("x");
    assertEquals(5, run.value("a"));
    assertEquals(5, run.value("e"));
    assertEquals(5, run.value("b"));
  }

  @Test
  void twoThingsDueAtOneInstantHappenInEitherOrder() {
    Var first = m.number("first", Role.PROCESS, 3);
    Var a = m.bit("a", Role.EQUIPMENT);
    Var b = m.bit("b", Role.EQUIPMENT);
    Watch ca = m.clock("ca", a.off()).limit(5);
    Watch cb = m.clock("cb", b.off()).limit(5);
    Expr none = first.is(0);
    m.change("a").between(ca, 5, 5).does(a.to(1), first.to(choose(none, value(1), first.read())));
    m.change("b").between(cb, 5, 5).does(b.to(1), first.to(choose(none, value(2), first.read())));
    Run tie = run().pass(5);
    assertEquals(0, tie.mayPass());
    assertEquals(1, tie.copy().does("a").does("b").value("first"));
    assertEquals(2, tie.copy().does("b").does("a").value("first"));
    m.hazard("A", first.is(1));
    m.hazard("B", first.is(2));
    Model model = m.build();
    for (String id : new String[] {"A", "B"}) {
      var answer = TickJudge.reachable(model, model.claim(id), 1000);
      assertTrue(answer instanceof TickJudge.Yes yes && yes.trace().steps().size() == 2, id);
    }
  }
}
