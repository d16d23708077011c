package stoplog.checker.abstraction;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertInstanceOf;
import static org.junit.jupiter.api.Assertions.assertNull;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;
import static stoplog.checker.abstraction.LockOutAsserts.BUDGET;
import static stoplog.checker.abstraction.LockOutAsserts.assertAlwaysCan;
import static stoplog.checker.abstraction.LockOutAsserts.assertLocksOut;
import static stoplog.checker.abstraction.LockOutAsserts.told;
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
import stoplog.checker.reference.Replay;
import stoplog.checker.reference.Replayed;
import stoplog.checker.reference.TickJudge;
import stoplog.checker.testkit.ModelBuilder;
import stoplog.checker.testkit.ModelBuilder.Var;
import stoplog.model.Claim;
import stoplog.model.Expr;
import stoplog.model.FieldChange.Cause;
import stoplog.model.Model;
import stoplog.model.Role;
import stoplog.model.Trace;
import stoplog.model.Verdict;

/** Small plants of which everybody can see whether they lock themselves out; and what is not said. */
class LockOutTest {
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
            model.name(), Fingerprint.of(model), "R-1", List.of(), List.of(), List.of(), true,
            List.of());
    assertEquals(
        "it speaks of what can be reached, and R-1 of what always can",
        CertificateChecker.refusal(model, forged));
    assertThrows(
        IllegalArgumentException.class, () -> TickJudge.reachable(model, claim, 1000));
  }
}
