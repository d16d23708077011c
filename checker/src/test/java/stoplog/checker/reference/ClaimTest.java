package stoplog.checker.reference;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertInstanceOf;
import static org.junit.jupiter.api.Assertions.assertTrue;
import static stoplog.checker.testkit.ModelBuilder.choose;
import static stoplog.checker.testkit.ModelBuilder.value;
import static stoplog.model.Expr.all;

import org.junit.jupiter.api.Test;
import stoplog.checker.testkit.ModelBuilder;
import stoplog.checker.testkit.ModelBuilder.Var;
import stoplog.checker.testkit.ModelBuilder.Watch;
import stoplog.checker.testkit.Run;
import stoplog.model.Claim;
import stoplog.model.FieldChange.Cause;
import stoplog.model.Model;
import stoplog.model.Role;

/** The comment of {@link stoplog.model.Claim}, sentence by sentence. */
class ClaimTest {
  private final ModelBuilder m = new ModelBuilder("claims").reactsWithin(100);

  private TickJudge.Answer judged() {
    Model model = m.build();
    return TickJudge.reachable(model, model.claims().getFirst(), 100_000);
  }

  @Test
  void theConditionHasToHoldForLongerThanItsTime() {
    Var a = m.comesAndGoes("a");
    m.hazard("H", a.on()).longerThan(3);
    Run run = Run.of(m.build()).start().does("a starts").pass(3);
    assertFalse(run.violated());
    assertTrue(run.pass(1).violated());
  }

  @Test
  void withoutATimeAnInstantIsNoViolationAndTheLeastTimeIs() {
    Var a = m.comesAndGoes("a");
    m.hazard("H", a.on());
    Model model = m.build();
    Run run = Run.of(model, model.claim("H"), 1000).start().does("a starts");
    assertFalse(run.violated());
    assertTrue(run.pass(1).violated());
  }

  @Test
  void aBreakOfNoDurationIsABreak() {
    Var a = m.comesAndGoes("a");
    m.hazard("H", a.on()).longerThan(3);
    Run run = Run.of(m.build()).start().does("a starts").pass(3).does("a ends").does("a starts");
    assertFalse(run.pass(3).violated());
    assertTrue(run.pass(1).violated());
  }

  @Test
  void stepsThatLeaveTheConditionTrueAreNoBreak() {
    Var a = m.comesAndGoes("a");
    Var b = m.comesAndGoes("b");
    Var out = m.bit("out", Role.COMMAND);
    m.scans(out.to(b.read()));
    m.hazard("H", a.on()).longerThan(3);
    Run run = Run.of(m.build()).start().does("a starts").pass(2).does("b starts").scan();
    assertTrue(run.pass(2).violated());
  }

  @Test
  void anOverlapThatVanishesInTheSameInstantIsNoHazard() {
    Var valve = m.equipment("valve", "open", "closed");
    Var pump = m.equipment("pump", "turning", "at rest");
    Watch closing = m.clock("closing", valve.is("open")).limit(5);
    Watch coasting = m.clock("coasting", pump.is("turning")).limit(5);
    m.change("valve closed").between(closing, 5, 5).does(valve.to("closed"));
    m.change("pump at rest").between(coasting, 5, 5).does(pump.to("at rest"));
    m.hazard("H", all(valve.is("closed"), pump.is("turning")));
    assertInstanceOf(TickJudge.No.class, judged());
  }

  @Test
  void aConditionThatHoldsAcrossAnInstantaneousScanIsSeenByTheMonitors() {
    m.reactsWithin(0);
    Var a = m.switched("a");
    Var command = m.bit("command", Role.COMMAND);
    Var seen = m.monitor("seen");
    m.scans(command.to(a.read()));
    m.hazard("H", seen.on())
        .remembering(seen.to(choose(all(a.on(), command.off()), value(1), seen.read())));
    assertInstanceOf(TickJudge.Yes.class, judged(), "between the change and its scan");
  }

  @Test
  void aConditionThatHoldsOnlyUntilTheImmediateScanIsNoHazard() {
    m.reactsWithin(0);
    Var a = m.switched("a");
    Var command = m.bit("command", Role.COMMAND);
    m.scans(command.to(a.read()));
    m.hazard("H", all(a.on(), command.off()));
    assertInstanceOf(TickJudge.No.class, judged());
  }

  @Test
  void monitorsFollowTheReactionsInTheirOrderAfterEveryStep() {
    Var a = m.switched("a");
    Var b = m.bit("b", Role.EQUIPMENT);
    Var command = m.bit("command", Role.COMMAND);
    Var first = m.monitor("first");
    Var second = m.monitor("second");
    Var c = m.bit("c", Role.EQUIPMENT);
    m.reactions(b.to(a.read()), c.to(command.read()));
    m.scans(command.to(a.read()));
    m.hazard("H", second.on()).remembering(second.to(first.read()), first.to(all(b.on(), c.on())));
    Run run = Run.of(m.build()).start().settle().does("a on");
    assertEquals("off", run.is("first"));
    run.scan();
    assertEquals("on", run.is("first"), "after the reaction, and after a scan too");
    assertEquals("off", run.is("second"), "one step behind");
    run.does("a off");
    assertEquals("on", run.is("second"));
  }

  @Test
  void onlyTheClaimInQuestionRunsItsMonitors() {
    Var a = m.comesAndGoes("a");
    Var mine = m.monitor("mine");
    Var other = m.monitor("other");
    m.hazard("H-1", mine.on()).remembering(mine.to(a.read()));
    m.hazard("H-2", other.on()).remembering(other.to(a.read()));
    Run run = Run.of(m.build()).start().does("a starts");
    assertEquals("on", run.is("mine"));
    assertEquals("off", run.is("other"));
  }

  @Test
  void aRunHoldsNoMoreFaultsThanTheClaimAllows() {
    Var sticks = m.number("stuck valves", Role.FAULT, 4);
    for (int i = 0; i < 3; i++) {
      m.change("fault " + i).by(Cause.FAULT).when(sticks.is(i)).does(sticks.to(i + 1));
    }
    m.hazard("H", sticks.is(3)).tolerating(2);
    Run run = Run.of(m.build()).start().does("fault 0").does("fault 1");
    assertEquals(2, run.state().faults());
    assertEquals("the fault budget of H is 2", run.whyNot("fault 2"));
    assertInstanceOf(TickJudge.No.class, judged());
  }

  @Test
  void aSufficientBudgetOfFaultsReachesIt() {
    Var stuck = m.bit("stuck", Role.FAULT);
    m.change("sticks").by(Cause.FAULT).when(stuck.off()).does(stuck.to(1));
    m.hazard("H", stuck.on()).tolerating(1);
    assertInstanceOf(TickJudge.Yes.class, judged());
  }

  @Test
  void aResponseIsAMonitorThatWaitsForTooLong() {
    Var a = m.bit("a", Role.PROCESS);
    Var b = m.bit("b", Role.PROCESS);
    Var waiting = m.monitor("R.waiting");
    Watch c = m.clock("c", all(a.on(), b.off())).limit(5);
    m.change("a starts").when(a.off()).does(a.to(1));
    m.change("b starts").between(c, 2, 5).does(b.to(1));
    var remembered =
        waiting.to(choose(b.on(), value(0), choose(a.on(), value(1), waiting.read())));
    m.claim("within 5", Claim.Kind.RESPONSE, waiting.on()).longerThan(5).remembering(remembered);
    m.claim("within 4", Claim.Kind.RESPONSE, waiting.on()).longerThan(4).remembering(remembered);
    Model model = m.build();
    assertInstanceOf(
        TickJudge.No.class, TickJudge.reachable(model, model.claim("within 5"), 1000));
    assertInstanceOf(
        TickJudge.Yes.class, TickJudge.reachable(model, model.claim("within 4"), 1000));
  }
}
