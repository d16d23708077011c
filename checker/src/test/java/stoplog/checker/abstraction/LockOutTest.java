package stoplog.checker.abstraction;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertInstanceOf;
import static org.junit.jupiter.api.Assertions.assertNull;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;
import static stoplog.checker.testkit.ModelBuilder.choose;
import static stoplog.checker.testkit.ModelBuilder.value;
import static stoplog.model.Expr.all;
import static stoplog.model.Expr.any;
import static stoplog.model.Expr.not;

import java.time.Duration;
import java.util.List;
import org.junit.jupiter.api.Test;
import stoplog.checker.certificate.Certificate;
import stoplog.checker.certificate.CertificateChecker;
import stoplog.checker.certificate.Fingerprint;
import stoplog.checker.explore.Budget;
import stoplog.checker.explore.Progress;
import stoplog.checker.reference.LockOutJudge;
import stoplog.checker.reference.Replay;
import stoplog.checker.reference.Replayed;
import stoplog.checker.reference.TickJudge;
import stoplog.checker.testkit.ModelBuilder;
import stoplog.checker.testkit.ModelBuilder.Var;
import stoplog.checker.testkit.ModelBuilder.Watch;
import stoplog.model.Bound;
import stoplog.model.Claim;
import stoplog.model.Expr;
import stoplog.model.FieldChange.Cause;
import stoplog.model.Model;
import stoplog.model.Role;
import stoplog.model.Trace;
import stoplog.model.Verdict;

/** Small plants of which everybody can see whether they lock themselves out. */
class LockOutTest {
  private static final Budget BUDGET = new Budget(100_000, 1L << 28, Duration.ofSeconds(20));

  private static Verdict.Reached assertLocksOut(Model model) {
    Claim claim = model.claim("R-1");
    assertInstanceOf(LockOutJudge.LockOut.class, LockOutJudge.judge(model, claim, 100_000));
    assertEnds(model, claim, Decider.decide(model, claim, BUDGET, Progress.NONE));
    return assertEnds(model, claim, Decider.decideWhole(model, claim, BUDGET, Progress.NONE));
  }

  private static Verdict.Reached assertEnds(Model model, Claim claim, Verdict verdict) {
    Verdict.Reached reached = assertInstanceOf(Verdict.Reached.class, verdict);
    Trace trace = reached.trace();
    Replayed.Valid valid =
        assertInstanceOf(Replayed.Valid.class, Replay.run(model, claim, trace));
    assertEquals(
        Boolean.TRUE,
        LockOutJudge.isLockOut(model, claim, valid.end(), trace.ticksPerQuantum(), 100_000));
    return reached;
  }

  /** The variables that the localised proof keeps. */
  private static List<String> assertAlwaysCan(Model model) {
    Claim claim = model.claim("R-1");
    assertInstanceOf(LockOutJudge.Always.class, LockOutJudge.judge(model, claim, 100_000));
    assertInstanceOf(
        Verdict.Proved.class, Decider.decideWhole(model, claim, BUDGET, Progress.NONE));
    Verdict verdict = Decider.decide(model, claim, BUDGET, Progress.NONE);
    return assertInstanceOf(Verdict.Proved.class, verdict).kept();
  }

  private static List<String> told(Model model, Trace trace) {
    return trace.steps().stream()
        .map(s -> s.tick() + " " + (s.isScan() ? "scan" : model.changes().get(s.change()).text()))
        .toList();
  }

  // A trip without, and with, a reset

  private static ModelBuilder trip(boolean reset) {
    var m = new ModelBuilder("trip");
    Var start = m.button("start");
    Var resetButton = m.button("reset");
    Var low = m.comesAndGoes("low level");
    Var trip = m.bit("P-201.trip", Role.MEMORY);
    Var command = m.bit("P-201.command", Role.COMMAND);
    Var pump = m.equipment("P-201", "at rest", "running");
    Expr cleared = reset ? all(resetButton.on(), low.off()) : Expr.FALSE;
    m.reactions(pump.to(command.read()));
    m.reactsWithin(2)
        .scans(
            trip.to(choose(low.on(), value(1), choose(cleared, value(0), trip.read()))),
            command.to(all(any(start.on(), command.on()), trip.off())),
            start.to(0),
            resetButton.to(0));
    m.claim("R-1", Claim.Kind.ALWAYS_CAN, pump.is("running"));
    return m;
  }

  @Test
  void tripThatNothingResetsLocksOut() {
    Model model = trip(false).build();
    Verdict.Reached reached = assertLocksOut(model);
    assertEquals(List.of("0 low level starts", "0 scan"), told(model, reached.trace()));
    assertEquals(0, reached.trace().endTick());
    assertEquals(2, reached.events());
    assertEquals(2, reached.fewest());
  }

  @Test
  void tripThatTheOperatorResetsDoesNot() {
    assertAlwaysCan(trip(true).build());
  }

  @Test
  void latchThatPowerFailureForgetsIsNoLockOut() {
    var m = new ModelBuilder("power");
    Var power = m.bit("power", Role.POWER).starts("on");
    Var sick = m.comesAndGoes("sick");
    Var latch = m.bit("latch", Role.MEMORY);
    m.powered(power.on());
    m.change("power fails").by(Cause.POWER).when(power.on()).does(power.to(0), latch.to(0));
    m.change("power returns").by(Cause.POWER).when(power.off()).does(power.to(1));
    m.scans(latch.to(any(latch.on(), sick.on())));
    m.claim("R-1", Claim.Kind.ALWAYS_CAN, all(latch.off(), power.on()));
    assertAlwaysCan(m.build());
  }

  // Faults

  private static Model weld(int tolerated) {
    var m = new ModelBuilder("weld");
    Var welded = m.bit("P-1 welded", Role.FAULT);
    Var pump = m.bit("P-1", Role.EQUIPMENT);
    m.change("P-1 welds").by(Cause.FAULT).when(pump.on()).does(welded.to(1));
    m.change("P-1 starts").by(Cause.EQUIPMENT).when(pump.off()).does(pump.to(1));
    m.change("P-1 stops")
        .by(Cause.EQUIPMENT)
        .when(all(pump.on(), welded.off()))
        .does(pump.to(0));
    m.claim("R-1", Claim.Kind.ALWAYS_CAN, pump.off()).tolerating(tolerated);
    return m.build();
  }

  @Test
  void faultLocksOutOnlyWithinTheBudget() {
    assertAlwaysCan(weld(0));
    Model model = weld(1);
    assertEquals(
        List.of("0 P-1 starts", "0 P-1 welds"), told(model, assertLocksOut(model).trace()));
  }

  @Test
  void faultIsNoWayOut() {
    var m = new ModelBuilder("helpful fault");
    Var door = m.bit("door", Role.EQUIPMENT);
    m.change("door breaks open").by(Cause.FAULT).when(door.off()).does(door.to(1));
    m.claim("R-1", Claim.Kind.ALWAYS_CAN, door.on()).tolerating(1);
    assertEquals(List.of(), assertLocksOut(m.build()).trace().steps());
  }

  // Assumptions

  /** A door that may slam shut for good, unless the claim takes for granted that it never slams. */
  private static Model door(boolean granted, boolean opensBySlamming) {
    var m = new ModelBuilder("door");
    Var door = m.variable("door", Role.EQUIPMENT, "shut", "open", "slammed");
    Var broken = m.monitor("R-1.assumption");
    m.change("door slams").when(not(door.is("slammed"))).does(door.to("slammed"));
    m.change("door opens").when(door.is("shut")).does(door.to("open"));
    m.change("door shuts").when(door.is("open")).does(door.to("shut"));
    m.comesAndGoes("rain");
    m.claim("R-1", Claim.Kind.ALWAYS_CAN, door.is(opensBySlamming ? "slammed" : "open"))
        .remembering(broken.to(any(broken.on(), door.is("slammed"))))
        .onlyWhile(granted ? broken.off() : Expr.TRUE);
    return m.build();
  }

  @Test
  void runsAgainstTheAssumptionAreNotFollowedIntoALockOut() {
    assertLocksOut(door(false, false));
    assertEquals(
        List.of("door", "R-1.assumption"), assertAlwaysCan(door(true, false)));
  }

  @Test
  void runsAgainstTheAssumptionAreNoWayOutOfALockOut() {
    assertAlwaysCan(door(false, true));
    assertEquals(List.of(), assertLocksOut(door(true, true)).trace().steps());
  }

  @Test
  void runAgainstTheAssumptionDoesNotReplay() {
    Model model = door(true, false);
    Trace slams = new Trace(1, List.of(0, 0, 0), List.of(new Trace.Step(0, 0)), 0);
    Replayed.Invalid refused =
        assertInstanceOf(
            Replayed.Invalid.class, Replay.run(model, model.claim("R-1"), slams));
    assertEquals("what R-1 takes for granted does not hold", refused.reason());
  }

  // Times

  /** The way out is open until the clock reads this; waiting too long shuts it. */
  private static Model latch(Bound latest) {
    var m = new ModelBuilder("late");
    Var door = m.variable("door", Role.EQUIPMENT, "ajar", "open");
    Watch ajar = m.clock("ajar", door.is("ajar"));
    m.change("door pushed")
        .by(Cause.OPERATOR)
        .within(ajar, Bound.at(0), latest)
        .does(door.to("open"));
    m.claim("R-1", Claim.Kind.ALWAYS_CAN, door.is("open"));
    return m.build();
  }

  @Test
  void waitingTooLongLocksOut() {
    Trace late = assertLocksOut(latch(Bound.at(5))).trace();
    assertEquals(List.of(), late.steps());
    assertTrue(late.endTick() > 5L * late.ticksPerQuantum(), "after the window, not at its end");
    Trace atEnd = assertLocksOut(latch(Bound.open(5))).trace();
    assertEquals(5L * atEnd.ticksPerQuantum(), atEnd.endTick());
  }

  @Test
  void deadlineThatEndsTheWaitIsAWayOut() {
    var m = new ModelBuilder("travel");
    Var valve = m.equipment("FV-1", "closed", "opening", "open");
    Watch travel = m.clock("travel", valve.is("opening")).limit(8);
    m.change("open FV-1").by(Cause.OPERATOR).when(valve.is("closed")).does(valve.to("opening"));
    m.change("FV-1 open").by(Cause.EQUIPMENT).between(travel, 4, 8).does(valve.to("open"));
    m.change("close FV-1").by(Cause.OPERATOR).when(valve.is("open")).does(valve.to("closed"));
    m.claim("R-1", Claim.Kind.ALWAYS_CAN, valve.is("open"));
    assertAlwaysCan(m.build());
  }

  /**
   * Three clocks are started one after another, all within a given time, or it is called off. At 7 of
   * the first there is a way out if the second reads 5 or more; if it reads less, there is one at 7 of
   * the second if the third reads 5 or more.
   */
  private static Model threeStarts(long inAll) {
    var m = new ModelBuilder("three starts");
    Var at = m.variable("at", Role.PROCESS, "none", "one", "two", "missed", "out");
    Expr early = any(at.is("none"), at.is("one"), at.is("two"));
    Watch x = m.clock("x", early).limit(7);
    Watch y = m.clock("y", any(at.is("one"), at.is("two"), at.is("missed"))).limit(7);
    Watch z = m.clock("z", any(at.is("two"), at.is("missed")));
    m.change("y starts").when(at.is("none")).between(x, 0, inAll).does(at.to("one"));
    m.change("z starts").when(at.is("one")).between(x, 0, inAll).does(at.to("two"));
    m.change("called off").when(any(at.is("none"), at.is("one"))).does(at.to("out"));
    Var seven = m.bit("seven", Role.PROCESS);
    m.clock("now", seven.on()).limit(0);
    m.change("x at 7").when(all(at.is("two"), seven.off())).from(x, 7).does(seven.to(1));
    m.change("y over 5")
        .when(all(at.is("two"), seven.on()))
        .from(y, 5)
        .does(at.to("out"), seven.to(0));
    m.change("y under 5")
        .when(all(at.is("two"), seven.on()))
        .within(y, Bound.at(0), Bound.open(5))
        .does(at.to("missed"), seven.to(0));
    m.change("z over 5").when(at.is("missed")).from(z, 5).does(at.to("out"));
    m.claim("R-1", Claim.Kind.ALWAYS_CAN, at.is("out"));
    return m.build();
  }

  @Test
  void lockOutBetweenWholeQuantaIsFound() {
    assertAlwaysCan(threeStarts(4));
    Trace trace = assertLocksOut(threeStarts(5)).trace();
    assertTrue(trace.ticksPerQuantum() > 1, "no run in whole quanta is locked out");
  }

  @Test
  void noTimeIsWaitedForWhileAScanIsDue() {
    var m = new ModelBuilder("before the scan");
    Var press = m.bit("press", Role.PANEL);
    Var late = m.bit("late", Role.MEMORY);
    Var out = m.bit("out", Role.PROCESS);
    Watch x = m.clock("x", Expr.TRUE);
    m.change("pressed").by(Cause.OPERATOR).when(press.off()).from(x, 1).does(press.to(1));
    m.change("out").when(all(press.on(), late.off())).from(x, 5).does(out.to(1));
    m.coincident(2).scans(late.to(any(late.on(), press.on())), press.to(0));
    m.claim("R-1", Claim.Kind.ALWAYS_CAN, out.on());
    // Pressed before 5, the scan comes at once, and then it is too late: it is so before the scan.
    Model model = m.build();
    assertEquals(List.of("0 scan", "1 pressed"), told(model, assertLocksOut(model).trace()));
  }

  @Test
  void blockedPlantIsLockedOut() {
    var m = new ModelBuilder("blocked");
    Var valve = m.bit("FV-1", Role.EQUIPMENT);
    Var shut = m.comesAndGoes("shut off");
    Watch travel = m.clock("travel", valve.off()).limit(3);
    m.change("FV-1 open").when(shut.off()).from(travel, 3).does(valve.to(1));
    m.change("nothing more").when(all(valve.off(), shut.on())).by(Cause.FAULT).does(shut.to(0));
    m.claim("R-1", Claim.Kind.ALWAYS_CAN, all(valve.on(), shut.off()));
    assertAlwaysCan(m.build());
    var stuck = new ModelBuilder("stuck");
    Var door = stuck.bit("FV-2", Role.EQUIPMENT);
    stuck.clock("travel", door.off()).limit(3);
    stuck.claim("R-1", Claim.Kind.ALWAYS_CAN, door.on());
    assertLocksOut(stuck.build());
  }

  @Test
  void momentWithoutTimeIsNotEnough() {
    var m = new ModelBuilder("moment");
    Var lamp = m.bit("lamp", Role.PANEL);
    Watch lit = m.clock("lit", lamp.on()).limit(0);
    m.change("lamp lit").when(lamp.off()).does(lamp.to(1));
    m.change("lamp out").from(lit, 0).does(lamp.to(0));
    m.claim("R-1", Claim.Kind.ALWAYS_CAN, lamp.on());
    assertLocksOut(m.build());
  }

  // What the cone leaves out

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

  // What is refused, and what is not said

  @Test
  void durationIsRefused() {
    assertThrows(
        IllegalArgumentException.class,
        () -> {
          var m = new ModelBuilder("for long");
          m.claim("R-1", Claim.Kind.ALWAYS_CAN, Expr.TRUE).longerThan(1);
          m.build();
        });
  }

  @Test
  void budgetUsedUpIsUndecided() {
    Model model = trip(true).build();
    Budget none = new Budget(100, 1L << 28, Duration.ZERO);
    for (Verdict v :
        List.of(
            Decider.decideWhole(model, model.claim("R-1"), none, Progress.NONE),
            Decider.decide(model, model.claim("R-1"), none, Progress.NONE))) {
      Verdict.Undecided undecided = assertInstanceOf(Verdict.Undecided.class, v);
      assertTrue(undecided.reason().startsWith("the time budget"), undecided.reason());
    }
  }

  @Test
  void wayBackCanBeInterrupted() {
    var m = new ModelBuilder("counters");
    Var low = m.number("low", Role.PROCESS, 20);
    Var high = m.number("high", Role.PROCESS, 20);
    m.change("one more").when(not(low.is("19"))).does(low.to(new Expr.Shift(low.read(), 1)));
    m.change("one more of many")
        .when(all(low.is("19"), not(high.is("19"))))
        .does(low.to(0), high.to(new Expr.Shift(high.read(), 1)));
    m.claim("R-1", Claim.Kind.ALWAYS_CAN, all(low.is("19"), high.is("19")));
    Model model = m.build();
    assertAlwaysCan(model);
    // The search asks twice about 400 states; the third to ask is the way back.
    int[] asked = new int[1];
    Progress impatient =
        new Progress() {
          @Override
          public void at(String claim, int level, long states, int kept) {}

          @Override
          public boolean stopped() {
            return ++asked[0] > 2;
          }
        };
    Verdict verdict = Decider.decideWhole(model, model.claim("R-1"), BUDGET, impatient);
    assertEquals(
        "interrupted", assertInstanceOf(Verdict.Undecided.class, verdict).reason());
    assertEquals(3, asked[0]);
  }

  @Test
  void proofOfWhatCanBeReachedIsNoCertificate() {
    Model model = trip(false).build();
    Claim claim = model.claim("R-1");
    assertNull(
        Decider.decideWholeCertified(new Reads(model), claim, BUDGET, Progress.NONE)
            .certificate());
    var forged =
        new Certificate(
            model.name(), Fingerprint.of(model), "R-1", List.of(), List.of(), true, List.of());
    assertEquals(
        "it speaks of what can be reached, and R-1 of what always can",
        CertificateChecker.refusal(model, forged));
    assertThrows(
        IllegalArgumentException.class, () -> TickJudge.reachable(model, claim, 1000));
  }
}
