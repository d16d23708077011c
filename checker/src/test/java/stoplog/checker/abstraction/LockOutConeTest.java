package stoplog.checker.abstraction;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertInstanceOf;
import static stoplog.checker.abstraction.LockOutAsserts.BUDGET;
import static stoplog.checker.abstraction.LockOutAsserts.assertAlwaysCan;
import static stoplog.checker.abstraction.LockOutAsserts.assertLocksOut;
import static stoplog.checker.testkit.ModelBuilder.choose;
import static stoplog.checker.testkit.ModelBuilder.value;
import static stoplog.model.Expr.all;
import static stoplog.model.Expr.any;
import static stoplog.model.Expr.not;

import java.util.List;
import org.junit.jupiter.api.Test;
import stoplog.checker.explore.Progress;
import stoplog.checker.testkit.ModelBuilder;
import stoplog.checker.testkit.ModelBuilder.Var;
import stoplog.checker.testkit.ModelBuilder.Watch;
import stoplog.model.Claim;
import stoplog.model.Expr;
import stoplog.model.FieldChange.Cause;
import stoplog.model.Model;
import stoplog.model.Role;
import stoplog.model.Verdict;

/** Lock-outs in plants of which only a part bears on the condition, and what the rest does to it. */
class LockOutConeTest {
  /** A pump by the operator's hand, beside an instrument that lags behind a condition. */
  private static ModelBuilder beside(long limit, boolean falls) {
    var m = new ModelBuilder("beside");
    Var pump = m.switched("P-1");
    Var wet = m.comesAndGoes("wet");
    Var reading = m.bit("LS-1", Role.INSTRUMENT);
    Watch lag =
        m.clock("lag", not(new Expr.Same(reading.read(), wet.read()))).limit(limit);
    m.change("LS-1 makes").when(all(reading.off(), wet.on())).from(lag, 1).does(reading.to(1));
    if (falls) {
      m.change("LS-1 drops").when(all(reading.on(), wet.off())).from(lag, 1).does(reading.to(0));
    }
    Var alarm = m.bit("alarm", Role.MEMORY);
    m.reactsWithin(1).scans(alarm.to(any(alarm.on(), reading.on())));
    m.claim("R-1", Claim.Kind.ALWAYS_CAN, pump.on());
    return m;
  }

  @Test
  void proofKeepsOnlyWhatTheConditionDependsOn() {
    assertEquals(List.of("P-1"), assertAlwaysCan(beside(3, true).build()));
  }

  @Test
  void deadlineOutsideTheConeThatNothingMeetsIsNotLeftOut() {
    // The reading cannot drop, but what it watches may come back: to see that takes the whole plant.
    assertEquals(4, assertAlwaysCan(beside(3, false).build()).size());
  }

  @Test
  void blockOutsideTheConeLocksOut() {
    var m = beside(3, true);
    Var jammed = m.bit("jammed", Role.PROCESS);
    Var run = m.bit("run", Role.PROCESS);
    Watch stroke = m.clock("stroke", run.on()).limit(2);
    m.change("jams").does(jammed.to(1));
    m.change("run begins").does(run.to(1));
    m.change("run ends").when(jammed.off()).from(stroke, 1).does(run.to(0));
    // Time stops at 2; at that instant the pump can be switched but not run.
    assertLocksOut(m.build());
  }

  @Test
  void reactionThatAnyStepSetsOffIsNotLeftOut() {
    var m = new ModelBuilder("restless field");
    Var flip = m.bit("flip", Role.PROCESS);
    m.comesAndGoes("elsewhere");
    m.reactions(flip.to(not(flip.read())));
    m.claim("R-1", Claim.Kind.ALWAYS_CAN, flip.on());
    assertEquals(2, assertAlwaysCan(m.build()).size());
  }

  /** Ticks every so many quanta, outside everything else. */
  private static Var ticker(ModelBuilder m, long quanta) {
    Var tick = m.bit("tick", Role.PROCESS);
    Watch off = m.clock("tick off", tick.off()).limit(quanta);
    Watch on = m.clock("tick on", tick.on()).limit(quanta);
    m.change("ticks").between(off, quanta, quanta).does(tick.to(1));
    m.change("tocks").between(on, quanta, quanta).does(tick.to(0));
    return tick;
  }

  /** A phase that has to stay for a time to get out; the operator may turn it over. */
  private static Var phase(ModelBuilder m, long quanta) {
    Var phase = m.bit("phase", Role.PROCESS);
    Var out = m.bit("out", Role.PROCESS);
    Watch steady = m.clock("steady", phase.on()).limit(20);
    m.change("turned over").by(Cause.OPERATOR).does(phase.to(choose(phase.on(), value(0), value(1))));
    m.change("out").from(steady, quanta).does(out.to(1));
    m.claim("R-1", Claim.Kind.ALWAYS_CAN, out.on());
    return phase;
  }

  @Test
  void stepsOutsideThatKeepSettingTheConeBackLockOut() {
    var m = new ModelBuilder("reaction to anything");
    // So that no scan shows what steps outside do.
    m.powered(Expr.FALSE);
    Var phase = phase(m, 5);
    m.reactions(phase.to(choose(phase.on(), value(0), value(1))));
    m.change("nudged").by(Cause.OPERATOR).does(phase.to(phase.read()));
    assertAlwaysCan(m.build());
    ticker(m, 1);
    assertLocksOut(m.build());
  }

  @Test
  void scansForOthersThatKeepSettingTheConeBackLockOut() {
    var m = new ModelBuilder("scan on anything");
    Var phase = phase(m, 5);
    Var kick = m.bit("kick", Role.COMMAND);
    m.reactsWithin(1).scans(kick.to(1));
    m.reactions(
        phase.to(
            choose(kick.on(), choose(phase.on(), value(0), value(1)), phase.read())),
        kick.to(0));
    assertAlwaysCan(m.build());
    Var tick = ticker(m, 3);
    m.scans(m.bit("seen", Role.MEMORY).to(tick.read()));
    assertLocksOut(m.build());
  }

  /** Found by a random model: the run the cone shows is not the shortest, and must not be called so. */
  @Test
  void logicOutsideTheConeThatNeverSettlesLocksOutAtOnce() {
    var m = new ModelBuilder("chatter");
    Var door = m.variable("door", Role.EQUIPMENT, "shut", "open", "slammed");
    m.change("door slams").when(not(door.is("slammed"))).does(door.to("slammed"));
    m.change("door opens").when(door.is("shut")).does(door.to("open"));
    Var chatter = m.bit("chatter", Role.MEMORY);
    m.scans(chatter.to(choose(chatter.on(), value(0), value(1))));
    m.claim("R-1", Claim.Kind.ALWAYS_CAN, door.is("open"));
    Model model = m.build();
    assertEquals(0, assertLocksOut(model).events());
    Verdict verdict = Decider.decide(model, model.claim("R-1"), BUDGET, Progress.NONE);
    assertEquals(0, assertInstanceOf(Verdict.Reached.class, verdict).fewest());
  }
}
