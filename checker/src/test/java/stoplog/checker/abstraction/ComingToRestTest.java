package stoplog.checker.abstraction;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertInstanceOf;
import static org.junit.jupiter.api.Assertions.assertTrue;
import static stoplog.checker.testkit.ModelBuilder.choose;
import static stoplog.checker.testkit.ModelBuilder.same;
import static stoplog.checker.testkit.ModelBuilder.value;
import static stoplog.model.Expr.all;
import static stoplog.model.Expr.any;
import static stoplog.model.Expr.not;

import java.time.Duration;
import java.util.Set;
import org.junit.jupiter.api.Test;
import stoplog.checker.explore.Budget;
import stoplog.checker.explore.Progress;
import stoplog.checker.reference.LockOutJudge;
import stoplog.checker.testkit.ModelBuilder;
import stoplog.checker.testkit.ModelBuilder.Var;
import stoplog.checker.testkit.ModelBuilder.Watch;
import stoplog.checker.testkit.Question;
import stoplog.model.Assignment;
import stoplog.model.Claim;
import stoplog.model.Expr;
import stoplog.model.FieldChange.Cause;
import stoplog.model.Model;
import stoplog.model.Role;

/** What is left of each variable's values after a long wait, and what must not be made of it. */
class ComingToRestTest {
  private static final Budget BUDGET = new Budget(100_000, 1L << 28, Duration.ofSeconds(20));

  private static long lasting(ModelBuilder m, Var v) {
    return lasting(m, v.id());
  }

  private static long lasting(ModelBuilder m, int variable) {
    Model model = m.build();
    var reads = new Reads(model);
    var rest =
        new ComingToRest(reads, model.claims().getFirst(), Kept.everything(reads).variables(), Set.of());
    rest.settle();
    return rest.values(variable);
  }

  private static Question always(ModelBuilder m, Expr condition) {
    return m.claim("R-1", Claim.Kind.ALWAYS_CAN, condition);
  }

  private static void assertNoWayBackFromLockOut(ModelBuilder m) {
    Model model = m.build();
    Claim claim = model.claims().getFirst();
    assertInstanceOf(LockOutJudge.LockOut.class, LockOutJudge.judge(model, claim, 100_000));
    assertFalse(hasWayBack(model));
  }

  private static void assertWayBack(ModelBuilder m) {
    Model model = m.build();
    Claim claim = model.claims().getFirst();
    assertInstanceOf(LockOutJudge.Always.class, LockOutJudge.judge(model, claim, 100_000));
    assertTrue(hasWayBack(model));
  }

  private static boolean hasWayBack(Model model) {
    return Decider.hasWayBack(new Reads(model), model.claims().getFirst(), BUDGET, Progress.NONE);
  }

  // Values that last

  @Test
  void whatMayBeGotToFromALastingValueLasts() {
    var m = new ModelBuilder("door");
    Var door = m.equipment("door", "ajar", "swinging", "shut");
    Watch ajar = m.clock("ajar", door.is("ajar"));
    Watch swing = m.clock("swing", door.is("swinging")).limit(2);
    m.change("draught").from(ajar, 3).does(door.to("swinging"));
    m.change("shut").between(swing, 1, 2).does(door.to("shut"));
    always(m, door.is("shut"));
    assertEquals(0b111, lasting(m, door));
  }

  @Test
  void valuesThatComeRoundAgainLast() {
    assertEquals(0b111, lasting(stirrer(), 0));
    assertNoWayBackFromLockOut(stirrer());
  }

  /** It turns left and right for ever unless the brake, which nobody works, happens to be on. */
  private static ModelBuilder stirrer() {
    var m = new ModelBuilder("stirrer");
    Var stirrer = m.equipment("stirrer", "left", "right", "held");
    Var brake = m.bit("brake", Role.PROCESS).startsAnywhere();
    Watch left = m.clock("left", stirrer.is("left")).limit(2);
    Watch right = m.clock("right", stirrer.is("right")).limit(2);
    m.change("reverses").between(left, 1, 2).does(stirrer.to("right"));
    m.change("returns").when(brake.off()).between(right, 1, 2).does(stirrer.to("left"));
    m.change("caught").when(brake.on()).between(right, 1, 2).does(stirrer.to("held"));
    always(m, stirrer.is("held"));
    return m;
  }

  @Test
  void aValueThatIsLeftForGoodIsGone() {
    var m = new ModelBuilder("valve");
    Var valve = m.equipment("valve", "opening", "open");
    Watch travel = m.clock("travel", valve.is("opening")).limit(2);
    m.change("open").between(travel, 1, 2).does(valve.to("open"));
    always(m, valve.is("open"));
    assertEquals(0b10, lasting(m, valve));
    assertWayBack(m);
  }

  @Test
  void aClockThatMayBeHeldUpEndsNothing() {
    var m = new ModelBuilder("conveyor");
    Var load = m.equipment("load", "coming", "there");
    Var drive = m.bit("drive", Role.EQUIPMENT).starts("on");
    Watch travel = m.clock("travel", all(load.is("coming"), drive.on())).limit(3);
    m.change("there").between(travel, 1, 3).does(load.to("there"));
    m.change("belt torn").when(drive.on()).does(drive.to(0));
    always(m, load.is("there"));
    assertEquals(0b11, lasting(m, load));
    assertNoWayBackFromLockOut(m);
  }

  @Test
  void withoutPowerNoScanEndsAnything() {
    assertEquals(0b11, lasting(lamp(false), 0));
    assertNoWayBackFromLockOut(lamp(false));
    assertWayBack(lamp(true));
  }

  /** A lamp that the first scan puts out. */
  private static ModelBuilder lamp(boolean returns) {
    var m = new ModelBuilder("lamp");
    Var lamp = m.bit("lamp", Role.MEMORY).starts("on");
    Var power = m.bit("power", Role.POWER).starts("on");
    m.change("power fails").by(Cause.POWER).when(power.on()).does(power.to(0));
    if (returns) {
      m.change("power returns").by(Cause.POWER).when(power.off()).does(power.to(1));
    }
    m.reactsWithin(2).powered(power.on()).scans(lamp.to(0));
    always(m, lamp.off());
    return m;
  }

  @Test
  void aFieldThatAnswersOnlyOnceAStepIsNotWaitedFor() {
    var m = new ModelBuilder("relay");
    Var first = m.bit("first", Role.EQUIPMENT);
    Var second = m.bit("second", Role.EQUIPMENT);
    Var coil = m.bit("coil", Role.PROCESS);
    Var knock = m.bit("knock", Role.PROCESS);
    m.change("coil on").when(coil.off()).does(coil.to(1));
    m.change("knocked").when(knock.off()).does(knock.to(1));
    // The second sees the first as it was before this step.
    m.reactions(second.to(first.read()), first.to(coil.read()));
    always(m, second.on());
    Model model = m.build();
    assertFalse(ComingToRest.applies(new Reads(model), model.claims().getFirst()));
    assertNoWayBackFromLockOut(m);
  }

  @Test
  void whatIsReadInTheMiddleOfAScanMayBeOtherThanAfterIt() {
    var m = new ModelBuilder("holder");
    Var supply = m.bit("supply", Role.PROCESS).starts("on");
    Var pulse = m.bit("pulse", Role.MEMORY);
    Var held = m.bit("held", Role.MEMORY).startsAnywhere();
    // The scan sees the pulse that the field has ended when the step is over.
    m.scans(pulse.to(supply.read()), held.to(all(pulse.on(), held.on())));
    m.reactions(pulse.to(0));
    always(m, held.off());
    assertEquals(0b11, lasting(m, held));
    assertEquals(0b1, lasting(m, pulse));
    assertNoWayBackFromLockOut(m);
  }

  @Test
  void whatAScanAssignsTwiceMayBeReadInBetween() {
    var m = new ModelBuilder("counter");
    Var step = m.number("step", Role.MEMORY, 4);
    // From 0 to 1, to 2 and by the field to 3, where it stays; 1 alone would fall back to 0.
    m.reactsWithin(2)
        .scans(step.to(1), step.to(choose(step.is(1), value(2), step.read())))
        .reactions(step.to(choose(step.is(2), value(3), choose(step.is(1), value(0), step.read()))));
    always(m, step.is(0));
    assertNoWayBackFromLockOut(m);
  }

  @Test
  void whatAFieldIsForAMomentMayMoveAnother() {
    var m = new ModelBuilder("flap");
    Var flap = m.bit("flap", Role.EQUIPMENT);
    Var pulse = m.bit("pulse", Role.EQUIPMENT);
    Var wind = m.bit("wind", Role.EQUIPMENT).startsAnywhere();
    m.reactions(
        pulse.to(wind.read()),
        flap.to(choose(pulse.on(), value(1), flap.read())),
        pulse.to(0));
    always(m, flap.off());
    assertNoWayBackFromLockOut(m);
  }

  @Test
  void twoThatMayBeAlikeNeedNotBe() {
    var m = new ModelBuilder("pair");
    Var left = m.bit("left", Role.PROCESS).startsAnywhere();
    Var right = m.bit("right", Role.PROCESS).startsAnywhere();
    Var held = m.bit("held", Role.MEMORY).startsAnywhere();
    m.scans(held.to(choose(same(left.read(), right.read()), value(0), held.read())));
    always(m, held.off());
    assertNoWayBackFromLockOut(m);
  }

  @Test
  void momentsMayFollowFromMoments() {
    var m = new ModelBuilder("holder");
    Var held = m.bit("held", Role.MEMORY).startsAnywhere();
    Var echo = m.bit("echo", Role.MEMORY);
    Var pulse = m.bit("pulse", Role.MEMORY);
    Var supply = m.bit("supply", Role.PROCESS).starts("on");
    m.scans(
        pulse.to(supply.read()), echo.to(pulse.read()), held.to(all(echo.on(), held.on())));
    m.reactions(pulse.to(0), echo.to(0));
    always(m, held.off());
    assertEquals(0b11, lasting(m, held));
    assertNoWayBackFromLockOut(m);
  }

  @Test
  void whatTheScanAssignedIsTrustedOnlyIfItSeesThatSomethingElseAssignsIt() {
    assertFalse(applies(tally(false)));
    assertTrue(applies(tally(true)));
    // What has its power back before the step is over has not lost it.
    ModelBuilder backed = tally(true);
    backed.reactions(new Assignment(1, value(1)));
    assertFalse(applies(backed));
  }

  @Test
  void whatIsSetAtTheStartIsReckonedWith() {
    var m = new ModelBuilder("lock");
    Var key = m.bit("key", Role.PROCESS).startsAnywhere();
    Var locked = m.bit("locked", Role.EQUIPMENT);
    m.start(locked.to(key.read()));
    always(m, locked.off());
    assertNoWayBackFromLockOut(m);
  }

  private static boolean applies(ModelBuilder m) {
    Model model = m.build();
    return ComingToRest.applies(new Reads(model), model.claims().getFirst());
  }

  /** A memory that nobody reads is upset, perhaps because the power fails, and another scan puts it right. */
  private static ModelBuilder tally(boolean byPowerFailure) {
    var m = new ModelBuilder("tally");
    Var tally = m.bit("tally", Role.MEMORY);
    Var power = m.bit("power", Role.POWER).starts("on");
    m.change("upset").does(tally.to(1), power.to(byPowerFailure ? 0 : 1));
    m.powered(power.on()).scans(tally.to(0));
    always(m, tally.off());
    return m;
  }

  // What the way back takes for granted

  @Test
  void theWayBackDoesNotLeaveWhatIsTakenForGranted() {
    var m = new ModelBuilder("tank");
    Var full = m.bit("full", Role.PROCESS).starts("on");
    Var mixed = m.bit("mixed", Role.PROCESS);
    m.change("drained").when(full.on()).does(full.to(0));
    m.change("filled").when(full.off()).does(full.to(1), mixed.to(1));
    always(m, mixed.on()).onlyWhile(full.on());
    assertNoWayBackFromLockOut(m);
  }

  @Test
  void thePlantItselfMayLeaveWhatIsTakenForGrantedOnItsWayToRest() {
    var m = new ModelBuilder("carriage");
    Var carriage = m.equipment("carriage", "held", "passing", "home");
    Watch held = m.clock("held", carriage.is("held")).limit(2);
    Watch passing = m.clock("passing", carriage.is("passing")).limit(2);
    m.change("lets go").by(Cause.EQUIPMENT).between(held, 1, 2).does(carriage.to("passing"));
    m.change("arrives").by(Cause.EQUIPMENT).between(passing, 1, 2).does(carriage.to("home"));
    always(m, carriage.is("home")).onlyWhile(carriage.is("held", "home"));
    assertNoWayBackFromLockOut(m);
  }

  @Test
  void aScanThatComesBeforeTheFirstInputMayLeaveWhatIsTakenForGranted() {
    var m = new ModelBuilder("gate");
    Var gate = m.bit("gate", Role.COMMAND);
    Var near = m.bit("near", Role.PROCESS);
    m.change("comes").when(near.off()).does(near.to(1));
    m.change("goes").when(near.on()).does(near.to(0), gate.to(0));
    Var horn = m.bit("horn", Role.EQUIPMENT);
    m.scans(gate.to(near.read())).reactions(horn.to(gate.read()));
    always(m, near.off()).onlyWhile(gate.off());
    assertNoWayBackFromLockOut(m);
  }

  @Test
  void whatMayBeRefusedIsNotGivenForCertain() {
    var m = new ModelBuilder("hatch");
    Var hatch = m.bit("hatch", Role.PROCESS).startsAnywhere();
    Var bolted = m.bit("bolted", Role.PROCESS).startsAnywhere();
    m.change("hatch shut").when(all(hatch.on(), bolted.off())).does(hatch.to(0));
    always(m, hatch.off());
    assertNoWayBackFromLockOut(m);
  }

  @Test
  void aFaultThatComesInTimeIsNoWayBack() {
    var m = new ModelBuilder("seal");
    Var seal = m.equipment("seal", "tight", "leaks").startsAnywhere();
    m.change("gives way").by(Cause.FAULT).from(m.clock("age", seal.is("tight")), 1).does(seal.to("leaks"));
    always(m, seal.is("leaks")).tolerating(1);
    assertNoWayBackFromLockOut(m);
  }

  @Test
  void aWindowThatWasOpenBeforeTheRestIsShut() {
    var m = new ModelBuilder("fuse");
    Var button = m.switched("button");
    Var lamp = m.bit("lamp", Role.EQUIPMENT);
    Watch fuse = m.clock("fuse", lamp.off());
    m.change("lit").by(Cause.EQUIPMENT).when(button.on()).between(fuse, 1, 3).does(lamp.to(1));
    always(m, lamp.on());
    assertNoWayBackFromLockOut(m);
  }

  @Test
  void ofSeveralThingsOneOfWhichIsTakenForGrantedNoneIsCertain() {
    var m = new ModelBuilder("supplies");
    Var well = m.bit("well", Role.PROCESS).startsAnywhere();
    Var mains = m.bit("mains", Role.PROCESS).startsAnywhere();
    always(m, all(well.on(), mains.on())).onlyWhile(any(well.on(), mains.on()));
    assertNoWayBackFromLockOut(m);
    var both = new ModelBuilder("both supplies");
    Var first = both.bit("first", Role.PROCESS).startsAnywhere();
    Var second = both.bit("second", Role.PROCESS).startsAnywhere();
    always(both, first.on()).onlyWhile(all(first.on(), second.on()));
    assertWayBack(both);
  }

  @Test
  void aDeadlineMetByAChangeThatTheFieldUndoesBlocksThePlant() {
    var m = new ModelBuilder("damper");
    Var damper = m.bit("damper", Role.EQUIPMENT);
    Var spring = m.bit("spring", Role.EQUIPMENT);
    Var wind = m.bit("wind", Role.EQUIPMENT);
    Var call = m.switched("call");
    Watch flutter = m.clock("flutter", all(damper.on(), wind.on())).limit(3);
    m.change("falls shut").between(flutter, 1, 3).does(damper.to(0));
    m.change("spring breaks").when(spring.off()).does(spring.to(1));
    m.change("wind").when(wind.off()).does(wind.to(1));
    m.reactions(damper.to(spring.read()));
    always(m, call.on());
    assertNoWayBackFromLockOut(m);
  }

  @Test
  void whatAFieldAssignsInBetweenCountsWhereADeadlineIsMet() {
    var m = new ModelBuilder("flap");
    Var flap = m.bit("flap", Role.EQUIPMENT);
    Var pulse = m.bit("pulse", Role.EQUIPMENT);
    Var wind = m.bit("wind", Role.EQUIPMENT);
    Var call = m.switched("call");
    Watch flutter = m.clock("flutter", all(flap.on(), wind.on(), pulse.off())).limit(3);
    m.change("falls shut").between(flutter, 1, 3).does(flap.to(0));
    m.change("wind").when(wind.off()).does(wind.to(1));
    // With wind the flap is thrown open by a pulse that is over when the step is.
    m.reactions(
        pulse.to(wind.read()),
        flap.to(choose(pulse.on(), value(1), flap.read())),
        pulse.to(0));
    always(m, call.on());
    assertNoWayBackFromLockOut(m);
  }

  @Test
  void twoThatMoveEachOtherDoNotComeToRest() {
    var m = new ModelBuilder("see-saw");
    Var left = m.bit("left", Role.MEMORY);
    Var right = m.bit("right", Role.MEMORY);
    m.reactsWithin(1).scans(left.to(not(right.on())), right.to(left.read()));
    always(m, left.on());
    assertFalse(hasWayBack(m.build()));
    assertEquals(0b11, lasting(m, right));
  }
}
