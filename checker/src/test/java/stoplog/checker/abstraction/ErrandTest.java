package stoplog.checker.abstraction;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertInstanceOf;
import static org.junit.jupiter.api.Assertions.assertNotNull;
import static org.junit.jupiter.api.Assertions.assertNull;
import static stoplog.checker.testkit.ModelBuilder.shift;
import static stoplog.model.Expr.all;
import static stoplog.model.Expr.any;
import static stoplog.model.Expr.not;

import java.time.Duration;
import java.util.List;
import org.jspecify.annotations.Nullable;
import org.junit.jupiter.api.Test;
import stoplog.checker.explore.Budget;
import stoplog.checker.explore.Progress;
import stoplog.checker.reference.Replay;
import stoplog.checker.reference.Replayed;
import stoplog.checker.testkit.ModelBuilder;
import stoplog.checker.testkit.ModelBuilder.Var;
import stoplog.model.Claim;
import stoplog.model.Expr;
import stoplog.model.FieldChange;
import stoplog.model.Model;
import stoplog.model.Role;
import stoplog.model.Verdict;

/** Runs that are wanted, in plants of many like things. */
class ErrandTest {
  private static final Budget BUDGET = new Budget(100_000, 1L << 28, Duration.ofSeconds(60));

  /** Pumps on one start button, each of which starts only while all valves of the others are shut. */
  private static Model pumps(int count, boolean startable) {
    var m = new ModelBuilder("pumps");
    Var start = m.button("start");
    Var water = m.comesAndGoes("water");
    var valves = new Var[count];
    for (int i = 0; i < count; i++) {
      valves[i] = m.switched("valve" + i);
    }
    var scans = new java.util.ArrayList<stoplog.model.Assignment>();
    for (int i = 0; i < count; i++) {
      Var wanted = m.bit("wanted" + i, Role.MEMORY);
      Var pump = m.number("pump" + i, Role.EQUIPMENT, 3);
      var starting = m.clock("starting" + i, pump.is(1)).limit(8);
      m.change("pump at speed").by(FieldChange.Cause.EQUIPMENT).when(pump.is(1)).between(starting, 4, 8).does(pump.to(2));
      Expr others = Expr.TRUE;
      for (int k = 0; k < count; k++) {
        others = k == i ? others : all(others, valves[k].off());
      }
      scans.add(wanted.to(startable ? any(wanted.on(), start.is(1)) : all(wanted.on(), start.is(1))));
      Expr starts = all(wanted.on(), valves[i].on(), others, water.is(1), pump.is(0));
      m.change("pump starts").by(FieldChange.Cause.EQUIPMENT).when(starts).within(m.clock("ready" + i, starts).limit(1), stoplog.model.Bound.at(0), stoplog.model.Bound.at(1)).does(pump.to(1));
      if (i == count - 1) {
        m.can("R", pump.is(2)).longerThan(3);
      }
    }
    m.reactsWithin(1).scans(scans.toArray(stoplog.model.Assignment[]::new));
    return m.build();
  }

  private static Errand.@Nullable Run run(Model model) {
    Claim claim = model.claims().getFirst();
    return Errand.of(new Reads(model), claim, new Searches(claim.id(), BUDGET, Progress.NONE));
  }

  @Test
  void aRunAmongManyCopiesCostsNoSearchOfThem() {
    Model model = pumps(60, true);
    Claim claim = model.claims().getFirst();
    var reached =
        assertInstanceOf(
            Verdict.Reached.class, Decider.decide(model, claim, BUDGET, Progress.NONE));
    assertInstanceOf(Replayed.Valid.class, Replay.run(model, claim, reached.trace()));
    Model twice = pumps(120, true);
    assertEquals(
        Decider.decide(twice, twice.claims().getFirst(), BUDGET, Progress.NONE).effort().searches(),
        reached.effort().searches());
  }

  /** How much the run does to the plant from outside. */
  private static long given(Model model, Errand.Run run) {
    return run.trace().steps().stream()
        .filter(s -> !s.isScan() && model.changes().get(s.change()).timing() == null)
        .count();
  }

  @Test
  void onlyWhatHelpsIsGivenToThePlant() {
    Model model = pumps(3, true);
    Errand.Run run = run(model);
    assertNotNull(run);
    assertEquals(3, given(model, run), "water, start and one valve");
  }

  @Test
  void whereThereIsNoRunNoneIsTold() {
    Model model = pumps(3, false);
    assertNull(run(model));
  }

  @Test
  void whatCountsUpAndDownIsNoHindrance() {
    var m = new ModelBuilder("racks");
    Var dirty = m.number("dirty", Role.PROCESS, 3);
    m.change("falls").when(not(dirty.is(0))).does(dirty.to(shift(dirty.read(), -1)));
    m.change("rises").when(not(dirty.is(2))).does(dirty.to(shift(dirty.read(), 1)));
    m.can("R", dirty.is(1));
    Errand.Run run = run(m.build());
    assertNotNull(run);
    assertEquals(1, run.trace().steps().size());
    assertEquals(List.of(dirty.id()), run.sought());
  }

  @Test
  void whatMayStartWithPowerDoes() {
    var m = new ModelBuilder("lamp");
    Var power = m.bit("power", Role.POWER).startsAnywhere();
    Var lamp = m.bit("lamp", Role.COMMAND);
    Var button = m.button("button");
    m.powered(power.on()).scans(lamp.to(any(lamp.on(), button.on())));
    m.can("R", lamp.on());
    assertNotNull(run(m.build()));
  }

  @Test
  void theProcessIsWaitedFor() {
    var m = new ModelBuilder("tank");
    Var tank = m.bit("tank", Role.PROCESS);
    m.change("fills").from(m.clock("filling", tank.off()), 5).does(tank.to(1));
    m.can("R", tank.on()).longerThan(3);
    Errand.Run run = run(m.build());
    assertNotNull(run);
    assertEquals(5L * run.trace().ticksPerQuantum(), run.trace().steps().getFirst().tick());
  }

  /** A valve that is shut by the second of three steps, and by turning all of it off, which is counted. */
  private static Model sequence() {
    var m = new ModelBuilder("sequence");
    Var on = m.switched("on");
    Var dirt = m.bit("dirt", Role.PROCESS);
    Var step = m.number("step", Role.MEMORY, 3);
    Var open = m.bit("open", Role.COMMAND);
    Var valve = m.bit("valve", Role.EQUIPMENT);
    var opening = m.clock("opening", all(open.on(), valve.off())).limit(8);
    var shutting = m.clock("shutting", all(open.off(), valve.on())).limit(8);
    m.change("valve opens").by(FieldChange.Cause.EQUIPMENT).when(all(open.on(), valve.off())).between(opening, 4, 8).does(valve.to(1));
    m.change("valve shuts").by(FieldChange.Cause.EQUIPMENT).when(all(open.off(), valve.on())).between(shutting, 4, 8).does(valve.to(0));
    var fouling = m.clock("fouling", all(valve.on(), dirt.off())).limit(40);
    m.change("dirt comes").by(FieldChange.Cause.PROCESS).when(all(valve.on(), dirt.off())).between(fouling, 20, 40).does(dirt.to(1));
    Expr second = all(step.is(0), valve.on(), dirt.on());
    Expr third = all(step.is(1), valve.off());
    Var stops = m.number("stops", Role.MEMORY, 64);
    Expr stopped = all(on.off(), open.on(), Expr.not(stops.is(63)));
    Expr next = new Expr.Choose(second, new Expr.Constant(1), new Expr.Choose(third, new Expr.Constant(2), step.read()));
    m.reactsWithin(1).scans(
        stops.to(new Expr.Choose(stopped, new Expr.Shift(stops.read(), 1), stops.read())),
        step.to(new Expr.Choose(on.off(), new Expr.Constant(0), next)),
        open.to(all(on.on(), step.is(0))));
    m.can("R", step.is(2)).longerThan(3);
    return m.build();
  }

  @Test
  void whatALaterStepWaitsForDoesNotUndoAnEarlierOne() {
    Model model = sequence();
    Errand.Run run = run(model);
    assertNotNull(run);
    assertEquals(1, given(model, run), "turned on");
  }

  /** It gets ready sooner where it is turned off first, and ready all the same where it is not. */
  @Test
  void whatWasGivenInVainIsLeftOut() {
    var m = new ModelBuilder("oven");
    Var on = m.comesAndGoes("on");
    Var valve = m.bit("valve", Role.EQUIPMENT);
    Var ready = m.bit("ready", Role.EQUIPMENT);
    Expr opens = all(on.on(), valve.off());
    Expr rests = all(on.off(), ready.off());
    Expr warms = all(on.on(), ready.off());
    m.change("valve opens").by(FieldChange.Cause.EQUIPMENT).when(opens).between(m.clock("opening", opens).limit(8), 4, 8).does(valve.to(1));
    m.change("rests").by(FieldChange.Cause.EQUIPMENT).when(rests).between(m.clock("resting", rests).limit(2), 1, 2).does(ready.to(1));
    m.change("warms").by(FieldChange.Cause.EQUIPMENT).when(warms).between(m.clock("warming", warms).limit(20), 10, 20).does(ready.to(1));
    m.can("R", all(valve.on(), ready.on()));
    Model model = m.build();
    Claim claim = model.claims().getFirst();
    var reads = new Reads(model);
    var searches = new Searches(claim.id(), BUDGET, Progress.NONE);
    Errand.Run run = Errand.of(reads, claim, searches);
    assertNotNull(run);
    assertEquals(3, given(model, run), "on, off, on");
    Errand.Run shortened = Errand.shortened(run, reads, claim, searches);
    assertEquals(1, given(model, shortened), "on");
    assertInstanceOf(Replayed.Valid.class, Replay.run(model, claim, shortened.trace()));
  }

  @Test
  void noDetourIsTakenWhereOneThingIsLackingTwice() {
    var m = new ModelBuilder("two ways");
    Var water = m.comesAndGoes("water");
    Var detour = m.comesAndGoes("detour");
    Var pump = m.number("pump", Role.EQUIPMENT, 2);
    var filling = m.clock("filling", water.on()).limit(8);
    m.change("starts").by(FieldChange.Cause.EQUIPMENT).when(water.on()).between(filling, 4, 8).does(pump.to(1));
    m.change("starts otherwise").by(FieldChange.Cause.EQUIPMENT).when(detour.on()).does(pump.to(1));
    m.can("R", pump.is(1));
    Model model = m.build();
    var seeking = new Seeking(new Reads(model), model.claims().getFirst().condition(), new int[3], false, false);
    List<FieldChange> helpful = seeking.helpful();
    assertEquals(1, helpful.size(), helpful.toString());
    assertEquals(water.id(), helpful.getFirst().effects().getFirst().variable());
  }

  @Test
  void aFaultThatHasItsTimeStrikes() {
    var m = new ModelBuilder("a course");
    Var stage = m.number("stage", Role.TIMER, 2);
    Var broken = m.bit("broken", Role.FAULT);
    var until = m.clock("until it breaks", stage.is(0)).limit(5);
    m.change("breaks").by(FieldChange.Cause.FAULT).when(stage.is(0)).between(until, 5, 5).does(broken.to(1), stage.to(1));
    m.can("R", broken.on()).tolerating(1);
    Model model = m.build();
    assertNotNull(run(model));
  }

  /**
   * A valve by hand that has to stand open at the start, beside lamps that all would be lit one after the
   * other if they were switched on at the start like it.
   */
  @Test
  void whatDoesNotBearOnTheClaimStartsAtRest() {
    var m = new ModelBuilder("lamps");
    Var start = m.button("start");
    Var valve = m.bit("valve", Role.EQUIPMENT).starts(0, 1);
    Var pump = m.bit("pump", Role.EQUIPMENT);
    Expr starts = all(start.is(1), valve.on(), pump.off());
    m.change("pump starts").by(FieldChange.Cause.EQUIPMENT).when(starts).within(m.clock("ready", starts).limit(1), stoplog.model.Bound.at(0), stoplog.model.Bound.at(1)).does(pump.to(1));
    for (int i = 0; i < 450; i++) {
      Var lamp = m.number("lamp" + i, Role.EQUIPMENT, 3).starts(0, 1);
      var warming = m.clock("warming" + i, lamp.is(1)).limit(2);
      m.change("lamp is lit").by(FieldChange.Cause.EQUIPMENT).when(lamp.is(1)).between(warming, 1, 2).does(lamp.to(2));
    }
    m.can("R", pump.on()).longerThan(3);
    Errand.Run run = run(m.build());
    assertNotNull(run);
    assertEquals(2, run.trace().steps().size());
  }
}
