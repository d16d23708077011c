package stoplog.checker.abstraction;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;
import static stoplog.checker.testkit.ModelBuilder.choose;
import static stoplog.checker.testkit.ModelBuilder.value;
import static stoplog.model.Expr.all;
import static stoplog.model.Expr.any;
import static stoplog.model.Expr.not;

import java.time.Duration;
import java.util.ArrayList;
import java.util.List;
import java.util.Set;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.ValueSource;
import stoplog.checker.explore.Budget;
import stoplog.checker.explore.Progress;
import stoplog.checker.reference.LockOutJudge;
import stoplog.checker.testkit.ModelBuilder;
import stoplog.checker.testkit.ModelBuilder.Var;
import stoplog.checker.testkit.ModelBuilder.Watch;
import stoplog.model.Assignment;
import stoplog.model.Claim;
import stoplog.model.Expr;
import stoplog.model.FieldChange;
import stoplog.model.FieldChange.Cause;
import stoplog.model.Model;
import stoplog.model.Role;

/**
 * Plants that come to rest on a way back only if one looks closer, and plants like them that do not: the judge that
 * knows every tick says which.
 */
class WayToRestTest {
  private static final Budget BUDGET = new Budget(100_000, 1L << 28, Duration.ofSeconds(20));

  private static void assertWayBack(boolean expected, ModelBuilder m, Expr condition) {
    m.claim("R-1", Claim.Kind.ALWAYS_CAN, condition);
    Model model = m.build();
    Claim claim = model.claims().getFirst();
    LockOutJudge.Answer judged = LockOutJudge.judge(model, claim, 200_000);
    assertFalse(judged instanceof LockOutJudge.TooBig);
    assertEquals(expected, judged instanceof LockOutJudge.Always);
    assertEquals(
        expected, Decider.hasWayBack(new Reads(model), claim, BUDGET, Progress.NONE));
  }

  // Deadlines that more than one change has to meet

  /** Whether a gauge has settled: it has to within 3 quanta, and can only while it reads off. */
  private static Var settled(ModelBuilder m, Var gauge) {
    Var settled = m.bit("settled", Role.INSTRUMENT).starts("on");
    Watch unsettled = m.clock("unsettled", settled.off()).limit(3);
    m.change("has settled").by(Cause.INSTRUMENT).when(gauge.off()).from(unsettled, 3).does(settled.to(1));
    return settled;
  }

  /**
   * A reading that has to come back before it settles, when its time is up.
   *
   * @param lamp the reading comes back only where there is light, which may be taken for good
   */
  @ParameterizedTest
  @ValueSource(booleans = {false, true})
  void aReadingComesBackAndThenSettles(boolean lamp) {
    var m = new ModelBuilder("gauge");
    Var call = m.switched("call");
    Var light = m.bit("light", Role.PROCESS).starts("on");
    Var gauge = m.bit("gauge", Role.INSTRUMENT);
    Var settled = settled(m, gauge);
    m.change("shaken").by(Cause.PROCESS).when(settled.on()).does(settled.to(0), gauge.to(1));
    m.change("reads right")
        .by(Cause.INSTRUMENT)
        .when(all(gauge.on(), settled.off(), lamp ? light.on() : Expr.TRUE))
        .does(gauge.to(0));
    if (lamp) {
      m.change("dark").by(Cause.PROCESS).when(light.on()).does(light.to(0));
    }
    assertWayBack(!lamp, m, call.on());
  }

  /**
   * The same where the reading takes its time once it moves.
   *
   * @param shutter when somebody may open the shutter without which it does not move; "none" if there is none
   */
  @ParameterizedTest
  @CsvSource({"2, none, true", "3, none, true", "4, none, false", "2, ever, false", "2, settled, false"})
  void anotherClockCountsOnlyIfItHasRunForLongEnough(long takes, String shutter, boolean always) {
    var m = new ModelBuilder("slow gauge");
    Var call = m.switched("call");
    Var open = m.bit("shutter", Role.PANEL);
    Var gauge = m.bit("gauge", Role.INSTRUMENT);
    Var settled = settled(m, gauge);
    Expr moves = shutter.equals("none") ? settled.off() : all(settled.off(), open.on());
    Watch moving = m.clock("moving", moves);
    m.change("shaken").by(Cause.PROCESS).when(settled.on()).does(settled.to(0), gauge.to(1));
    m.change("reads right").by(Cause.INSTRUMENT).when(gauge.on()).from(moving, takes).does(gauge.to(0));
    if (!shutter.equals("none")) {
      Expr when = shutter.equals("ever") ? Expr.TRUE : settled.on();
      m.change("opened").by(Cause.OPERATOR).when(all(open.off(), when)).does(open.to(1));
    }
    assertWayBack(always, m, call.on());
  }

  /** It moves once it is wet, and may get wet just before it has to have settled. */
  @Test
  void anotherClockThatMayStartLateDoesNotCount() {
    var m = new ModelBuilder("wet gauge");
    Var call = m.switched("call");
    Var wet = m.bit("wet", Role.PROCESS);
    Var gauge = m.bit("gauge", Role.INSTRUMENT);
    Var settled = settled(m, gauge);
    Watch moving = m.clock("moving", all(settled.off(), wet.on()));
    m.change("shaken").by(Cause.PROCESS).when(settled.on()).does(settled.to(0));
    m.change("wetted").by(Cause.PROCESS).when(all(settled.off(), wet.off())).does(wet.to(1), gauge.to(1));
    m.change("reads right").by(Cause.INSTRUMENT).when(gauge.on()).from(moving, 2).does(gauge.to(0));
    assertWayBack(false, m, call.on());
  }

  /** What is needed at a deadline counts among what comes of its own. */
  @Test
  void whatADeadlineNeedsGoesOnHappening() {
    var m = new ModelBuilder("float");
    Var up = m.bit("up", Role.INSTRUMENT);
    Watch sinks = m.clock("sinks", up.on()).limit(3);
    m.change("sinks").by(Cause.INSTRUMENT).between(sinks, 1, 3).does(up.to(0));
    m.change("rises").by(Cause.INSTRUMENT).when(up.off()).does(up.to(1));
    m.claim("R-1", Claim.Kind.ALWAYS_CAN, up.on());
    Model model = m.build();
    assertEquals(0b01, lasting(model, Set.of()));
    assertEquals(0b11, lasting(model, Set.of(model.changes().get(1))));
  }

  private static long lasting(Model model, Set<FieldChange> atDeadlines) {
    var reads = new Reads(model);
    var rest =
        new ComingToRest(
            reads, model.claims().getFirst(), Kept.everything(reads).variables(), atDeadlines);
    rest.settle();
    return rest.values(0);
  }

  /** What the first change brings about at the limit, the controller takes back before the second. */
  @Test
  void aScanInBetweenMayUndoTheFirstChange() {
    var m = new ModelBuilder("latched gauge");
    Var call = m.switched("call");
    Var wanted = m.bit("wanted", Role.INSTRUMENT);
    Var gauge = m.bit("gauge", Role.MEMORY);
    Var settled = settled(m, gauge);
    m.change("shaken").by(Cause.PROCESS).when(settled.on()).does(settled.to(0), wanted.to(1));
    m.change("reads right")
        .by(Cause.INSTRUMENT)
        .when(all(gauge.on(), settled.off()))
        .does(gauge.to(0));
    m.scans(gauge.to(wanted.read()));
    m.claim("R-1", Claim.Kind.ALWAYS_CAN, call.on());
    Model model = m.build();
    assertFalse(
        Decider.hasWayBack(new Reads(model), model.claims().getFirst(), BUDGET, Progress.NONE));
  }

  // Variables that move for each other's sake

  /** A memory that its own timer clears, while nobody sets it. */
  @Test
  void whatItsOwnTimerClearsComesToRest() {
    var m = new ModelBuilder("shelf");
    Var press = m.switched("shelve");
    Var shelved = m.bit("shelved", Role.MEMORY);
    Var time = m.variable("time", Role.TIMER, "idle", "timing", "elapsed");
    Watch timing = m.clock("timing", time.is("timing")).limit(4);
    m.change("time is up").by(Cause.TIMER).between(timing, 4, 4).does(time.to("elapsed"));
    m.reactsWithin(1);
    m.scans(
        shelved.to(choose(press.on(), value(1), all(shelved.on(), not(time.is("elapsed"))))),
        time.to(choose(shelved.on(), choose(time.is("idle"), value(1), time.read()), value(0))));
    assertWayBack(true, m, shelved.off());
  }

  /** Two that chase each other for ever once they are let go are at rest nowhere. */
  @Test
  void twoThatChaseEachOtherDoNotComeToRest() {
    var m = new ModelBuilder("chase");
    Var loose = m.bit("loose", Role.PANEL);
    Var hare = m.equipment("hare", "left", "right");
    Var hound = m.equipment("hound", "left", "right");
    Expr together = any(all(hare.is(0), hound.is(0)), all(hare.is(1), hound.is(1)));
    Watch runs = m.clock("runs", all(loose.on(), together)).limit(2);
    Watch follows = m.clock("follows", all(loose.on(), not(together))).limit(2);
    m.change("runs right").when(hare.is(0)).between(runs, 1, 2).does(hare.to(1));
    m.change("runs left").when(hare.is(1)).between(runs, 1, 2).does(hare.to(0));
    m.change("follows right").when(hare.is(1)).between(follows, 1, 2).does(hound.to(1));
    m.change("follows left").when(hare.is(0)).between(follows, 1, 2).does(hound.to(0));
    m.change("let go").by(Cause.OPERATOR).when(loose.off()).does(loose.to(1));
    assertWayBack(false, m, loose.off());
  }

  /** Two of which each would free the other, were it free itself. */
  @Test
  void twoThatHoldEachOtherStay() {
    var m = new ModelBuilder("clasp");
    Var hook = m.equipment("hook", "away", "held", "free");
    Var eye = m.equipment("eye", "away", "held", "free");
    Watch begin = m.clock("begin", hook.is("away")).limit(2);
    Watch held = m.clock("held", any(hook.is("held"), eye.is("held")));
    m.change("caught").between(begin, 1, 2).does(hook.to("held"), eye.to("held"));
    m.change("passes").between(begin, 1, 2).does(hook.to("free"), eye.to("free"));
    m.change("hook lets go").when(all(hook.is("held"), not(eye.is("held")))).from(held, 1).does(hook.to("free"));
    m.change("eye lets go").when(all(eye.is("held"), not(hook.is("held")))).from(held, 1).does(eye.to("free"));
    assertWayBack(false, m, hook.is("free"));
  }

  /** What a scan has set while there was power is so when it may have gone. */
  @Test
  void scansCountWhereThePowerIsUncertain() {
    var m = new ModelBuilder("jam");
    Var power = m.bit("power", Role.POWER).starts("on");
    Var call = m.switched("call");
    Var jam = m.bit("jam", Role.MEMORY);
    m.change("power fails").by(Cause.POWER).when(power.on()).does(power.to(0));
    m.change("power returns").by(Cause.POWER).when(power.off()).does(power.to(1));
    m.reactsWithin(1).powered(power.on());
    m.scans(jam.to(any(jam.on(), call.on())));
    assertWayBack(false, m, jam.off());
  }

  // What the claim does not depend on, and where the plant is left on

  /** A lamp that flashes for ever beside what is asked about. */
  @Test
  void whatTheClaimDoesNotDependOnMayGoOn() {
    var m = new ModelBuilder("lamp");
    flashing(m, Expr.TRUE);
    Var call = m.switched("call");
    Var bell = m.bit("bell", Role.MEMORY);
    m.reactsWithin(1);
    m.scans(bell.to(call.read()));
    assertWayBack(true, m, bell.on());
  }

  /** The plant goes in circles while it is on, as it is at the start. */
  @Test
  void aPlantThatGoesInCirclesIsSwitchedOffFirst() {
    var m = new ModelBuilder("drum");
    Var on = m.switched("on").starts("on");
    Var drum = flashing(m, on.on());
    assertWayBack(true, m, all(on.on(), drum.on()));
  }

  private static Var flashing(ModelBuilder m, Expr while_) {
    Var lamp = m.bit("lamp", Role.EQUIPMENT);
    Watch dark = m.clock("dark", all(lamp.off(), while_)).limit(2);
    Watch lit = m.clock("lit", all(lamp.on(), while_)).limit(2);
    m.change("lights").between(dark, 1, 2).does(lamp.to(1));
    m.change("goes out").between(lit, 1, 2).does(lamp.to(0));
    return lamp;
  }

  /** What the claim does not depend on may stop time all the same. */
  @Test
  void whatTheClaimDoesNotDependOnMayStopTime() {
    var m = new ModelBuilder("belt");
    Var call = m.switched("call");
    Var load = m.bit("load", Role.EQUIPMENT);
    Var belt = m.bit("belt", Role.PROCESS).starts("on");
    Watch coming = m.clock("coming", load.on()).limit(3);
    m.change("put on").by(Cause.OPERATOR).when(load.off()).does(load.to(1));
    m.change("there").when(belt.on()).between(coming, 1, 3).does(load.to(0));
    m.change("belt torn").by(Cause.PROCESS).when(belt.on()).does(belt.to(0));
    assertWayBack(false, m, call.on());
  }

  // Reactions

  @ParameterizedTest
  @CsvSource({"false, true", "true, false"})
  void manyReactionsOneAfterTheOtherAreTriedAlone(boolean turns, boolean once) {
    var m = new ModelBuilder("row");
    var reactions = new ArrayList<Assignment>();
    Var before = m.switched("first");
    for (int i = 0; i < 30; i++) {
      Var next = m.bit("valve " + i, Role.EQUIPMENT);
      boolean toggles = turns && i == 29;
      reactions.add(next.to(toggles ? not(next.read()) : before.read()));
      before = next;
    }
    // Read before it is assigned, and so tried together with what it reads.
    Var ahead = m.bit("ahead", Role.EQUIPMENT);
    Var behind = m.bit("behind", Role.EQUIPMENT);
    reactions.add(ahead.to(any(ahead.on(), behind.on())));
    reactions.add(behind.to(any(behind.on(), before.on())));
    m.reactions(reactions.toArray(Assignment[]::new));
    m.claim("R-1", Claim.Kind.ALWAYS_CAN, before.on());
    Model model = m.build();
    List<Assignment> all = model.reactions();
    assertFalse(TwiceIsOnce.holds(new Reads(model), all));
    assertEquals(once, TwiceIsOnce.holds(new Reads(model), all.subList(0, 30)));
    assertTrue(TwiceIsOnce.holds(new Reads(model), all.subList(31, 32)));
  }
}
