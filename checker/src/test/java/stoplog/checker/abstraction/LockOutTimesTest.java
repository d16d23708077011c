package stoplog.checker.abstraction;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;
import static stoplog.checker.abstraction.LockOutAsserts.assertAlwaysCan;
import static stoplog.checker.abstraction.LockOutAsserts.assertLocksOut;
import static stoplog.checker.abstraction.LockOutAsserts.told;
import static stoplog.model.Expr.all;
import static stoplog.model.Expr.any;
import static stoplog.model.Expr.not;

import java.util.List;
import org.junit.jupiter.api.Test;
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

/** Small plants that lock themselves out, or not, by the time that passes. */
class LockOutTimesTest {
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
}
