package stoplog.checker.abstraction;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertInstanceOf;
import static stoplog.checker.testkit.ModelBuilder.choose;
import static stoplog.checker.testkit.ModelBuilder.value;
import static stoplog.model.Expr.all;
import static stoplog.model.Expr.not;

import java.time.Duration;
import java.util.BitSet;
import org.junit.jupiter.api.Test;
import stoplog.checker.explore.Budget;
import stoplog.checker.explore.Progress;
import stoplog.checker.explore.Search;
import stoplog.checker.reference.TickJudge;
import stoplog.checker.testkit.ModelBuilder;
import stoplog.checker.testkit.ModelBuilder.Var;
import stoplog.model.Bound;
import stoplog.model.Claim;
import stoplog.model.Expr;
import stoplog.model.FieldChange.Cause;
import stoplog.model.Model;
import stoplog.model.Role;
import stoplog.model.Verdict;

/** Steps that a localised search does not see, and that touch what it keeps all the same. */
class HiddenStepsTest {
  private static final Budget BUDGET = new Budget(100_000, 1L << 28, Duration.ofSeconds(20));

  /** Every change, hidden ones too, carries the monitors out: "before" moves on at each of them. */
  @Test
  void hiddenChangeCarriesOutMonitorsThatReadOnlyKeptVariables() {
    var m = new ModelBuilder("remembers the step before");
    Var lamp = m.bit("lamp", Role.PROCESS).starts(1);
    m.comesAndGoes("elsewhere");
    Var now = m.monitor("now");
    Var before = m.monitor("before");
    m.hazard("H", all(before.on(), lamp.on()))
        .remembering(before.to(now.read()), now.to(lamp.read()));
    Var power = withoutPower(m);
    assertReachable(m.build(), 1);
    assertReachableKeeping(m.build(), lamp, now, before, power);
  }

  /** A reaction that does not settle at once goes on at the next step, whatever the step is. */
  @Test
  void hiddenChangeCarriesOutReactionsThatReadOnlyKeptVariables() {
    var m = new ModelBuilder("stepper");
    Var stage = m.number("stage", Role.EQUIPMENT, 4);
    m.comesAndGoes("elsewhere");
    m.reactions(stage.to(choose(stage.is(3), value(3), ModelBuilder.shift(stage.read(), 1))));
    m.hazard("H", stage.is(3));
    Var power = withoutPower(m);
    assertReachable(m.build(), 2);
    assertReachableKeeping(m.build(), stage, power);
  }

  @Test
  void changeWithoutEffectsIsAStep() {
    var m = new ModelBuilder("stepper");
    Var stage = m.number("stage", Role.EQUIPMENT, 4);
    m.change("tick");
    m.reactions(stage.to(choose(stage.is(3), value(3), ModelBuilder.shift(stage.read(), 1))));
    m.hazard("H", stage.is(3));
    assertReachable(m.build(), 2);
  }

  /** A scan on account of a hidden input writes kept outputs anew. */
  @Test
  void scanForTheSakeOfAHiddenInputHappensThoughItReadsOnlyKeptOnes() {
    var m = new ModelBuilder("output held by the field");
    Var output = m.bit("output", Role.COMMAND);
    Var holding = m.bit("holding", Role.PROCESS).starts(1);
    Var shadow = m.bit("shadow", Role.MEMORY);
    Var other = m.comesAndGoes("other");
    var grip = m.clock("grip", holding.on()).limit(1);
    m.change("lets go").between(grip, 1, 1).does(holding.to(0));
    m.scans(output.to(0), shadow.to(other.read()));
    m.reactions(output.to(choose(holding.on(), value(1), output.read())));
    m.hazard("H", all(output.off(), holding.off()));
    assertReachable(m.build(), 4);
    assertReachableKeeping(m.build(), output, holding);
  }

  /** No time passes beyond an open limit of 0, but steps do happen. */
  @Test
  void clockWithTheOpenLimitZeroLeavesRoomForSteps() {
    var m = new ModelBuilder("instant");
    Var at = m.number("at", Role.PROCESS, 2);
    m.clock("never", at.is(0)).limit(Bound.open(0));
    m.change("leaves").when(at.is(0)).does(at.to(1));
    m.hazard("H", at.is(1));
    assertReachable(m.build(), 1);
  }

  /** A clock whose condition reads nothing has a deadline and windows like any other. */
  @Test
  void clockThatAlwaysRunsIsKept() {
    var m = new ModelBuilder("warm-up");
    Var lamp = m.bit("lamp", Role.PROCESS);
    var since = m.clock("since the start", Expr.TRUE);
    m.change("on").by(Cause.EQUIPMENT).between(since, 2, 3).does(lamp.to(1));
    var up = m.clock("lamp is on", lamp.on());
    m.change("off").from(up, 0).does(lamp.to(0));
    m.hazard("early", lamp.on()).longerThan(1);
    assertReachable(m.build(), 1);

    var late = new ModelBuilder("watchdog");
    Var dark = late.bit("dark", Role.PROCESS).starts(1);
    var running = late.clock("since the start", Expr.TRUE).limit(3);
    late.change("light").from(running, 0).when(dark.on()).does(dark.to(0));
    late.hazard("H", not(dark.off())).longerThan(3);
    Model model = late.build();
    Claim claim = model.claims().getFirst();
    assertInstanceOf(TickJudge.No.class, TickJudge.reachable(model, claim, 10_000));
    assertInstanceOf(
        Verdict.Proved.class, Decider.decideWhole(model, claim, BUDGET, Progress.NONE));
    assertInstanceOf(Verdict.Proved.class, Decider.decide(model, claim, BUDGET, Progress.NONE));
  }

  /** The output is watched because a change reads it, though that change never happens in the trace. */
  @Test
  void quietPlantStillWatchesWhatTheChangesLeftOutRead() {
    var m = new ModelBuilder("scans first");
    Var output = m.bit("output", Role.MEMORY);
    Var alarm = m.bit("alarm", Role.PROCESS);
    Var other = m.bit("other", Role.PROCESS);
    m.change("alarm starts").when(alarm.off()).does(alarm.to(1), output.to(1));
    m.change("other starts").when(output.on()).does(other.to(1));
    m.scans(output.to(0));
    m.hazard("H", alarm.on());
    assertReachable(m.build(), 3);
  }

  /** Without power there are no scans that could stand in for the hidden change. */
  private static Var withoutPower(ModelBuilder m) {
    Var power = m.bit("power", Role.POWER);
    m.powered(power.on());
    return power;
  }

  /** A search finds a way that keeps these, and whether scans are due. */
  private static void assertReachableKeeping(Model model, Var... variables) {
    var kept = new BitSet();
    for (Var v : variables) {
      kept.set(v.id());
    }
    var system =
        new KeptSystem(new Reads(model), model.claims().getFirst(), new Kept(kept, true));
    long deadline = System.nanoTime() + BUDGET.time().toNanos();
    assertInstanceOf(
        Search.Outcome.Found.class,
        new Search(system, Search.Zoning.FOR_REACHING, BUDGET, deadline, Progress.NONE, "H", variables.length).run());
  }

  /** All ways to decide find a run; the shortest has so many steps. */
  private static void assertReachable(Model model, int steps) {
    Claim claim = model.claims().getFirst();
    var judged =
        assertInstanceOf(TickJudge.Yes.class, TickJudge.reachable(model, claim, 10_000));
    assertEquals(steps, judged.trace().steps().size());
    var whole =
        assertInstanceOf(
            Verdict.Reached.class, Decider.decideWhole(model, claim, BUDGET, Progress.NONE));
    assertEquals(steps, whole.events());
    assertInstanceOf(Verdict.Reached.class, Decider.decide(model, claim, BUDGET, Progress.NONE));
  }
}
