package stoplog.checker.abstraction;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertInstanceOf;
import static stoplog.checker.testkit.ModelBuilder.choose;
import static stoplog.checker.testkit.ModelBuilder.same;
import static stoplog.checker.testkit.ModelBuilder.value;
import static stoplog.model.Expr.all;
import static stoplog.model.Expr.any;
import static stoplog.model.Expr.not;

import java.lang.reflect.RecordComponent;
import java.util.Arrays;
import java.util.List;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.ValueSource;
import stoplog.checker.explore.Progress;
import stoplog.checker.explore.Search;
import stoplog.checker.testkit.ModelBuilder.Var;
import stoplog.checker.testkit.ModelBuilder.Watch;
import stoplog.model.Bound;
import stoplog.model.Clock;
import stoplog.model.Expr;
import stoplog.model.FieldChange;
import stoplog.model.FieldChange.Cause;
import stoplog.model.Model;
import stoplog.model.Role;
import stoplog.model.Verdict;

/**
 * One small plant for each way in which an engine of this kind is known to prove what is not so: with
 * clocks, with scans, with what is hidden. (Power, faults, observers and limits: {@link
 * SoundnessTrapsBesideTest}.)
 */
class SoundnessTrapsTest extends Trap {
  // Extrapolation, windows, ties

  /** After one window has opened another is still open: of a clock with and without a deadline. */
  @ParameterizedTest
  @CsvSource({
    "2, true, 3, true, true", "3, true, 3, true, true", "3, false, 3, true, false",
    "3, true, 3, false, false", "4, true, 3, true, false", "40, true, 39, true, false",
    "39, false, 40, false, true",
  })
  void oneWindowIsOpenWhenAnotherCloses(
      long opens, boolean opensClosed, long closes, boolean closesClosed, boolean reachable) {
    Var stage = m.number("stage", Role.PROCESS, 3);
    Watch first = m.clock("first", stage.is(0));
    Watch second = m.clock("second", not(stage.is(2)));
    m.change("opens").within(first, new Bound(opens, opensClosed), null).does(stage.to(1));
    m.change("closes")
        .when(stage.is(1))
        .within(second, Bound.at(0), new Bound(closes, closesClosed))
        .does(stage.to(2));
    m.hazard("H", stage.is(2));
    assertDecided(reachable);
  }

  @ParameterizedTest
  @CsvSource({
    // At the deadline itself stage 1 is reached, but no time passes there.
    "2, true, 3, true, true", "3, true, 3, true, false", "3, false, 3, true, false",
    "3, true, 3, false, false", "4, true, 3, true, false",
  })
  void oneWindowOpensBeforeAnotherDeadline(
      long opens, boolean opensClosed, long limit, boolean limitClosed, boolean reachable) {
    Var stage = m.number("stage", Role.PROCESS, 3);
    Watch first = m.clock("first", stage.is(0));
    Watch second = m.clock("second", not(stage.is(2))).limit(new Bound(limit, limitClosed));
    m.change("opens").within(first, new Bound(opens, opensClosed), null).does(stage.to(1));
    m.change("leaves").from(second, 0).when(stage.is(0)).does(stage.to(2));
    m.change("late").from(second, opens).when(stage.is(1)).does(stage.to(2));
    m.hazard("H", stage.is(1));
    assertDecided(reachable);
  }

  /** At a deadline no time passes, however many steps come between. */
  @ParameterizedTest
  @CsvSource({"2, true", "3, false"})
  void whatStandsAtADeadlineStandsThereAfterMoreSteps(long opens, boolean reachable) {
    Var stage = m.number("stage", Role.PROCESS, 3);
    Var blinks = m.comesAndGoes("blinks");
    Watch first = m.clock("first", stage.is(0));
    Watch second = m.clock("second", not(stage.is(2))).limit(3);
    m.change("opens").when(blinks.on()).from(first, opens).does(stage.to(1));
    m.change("leaves").from(second, 0).does(stage.to(2));
    m.hazard("H", all(stage.is(1), any(blinks.on(), blinks.off())));
    assertDecided(reachable);
  }

  /** When the later clock reads 4, the earlier reads at most 2 more: a later window is not open. */
  @ParameterizedTest
  @CsvSource({"6, true", "7, false"})
  void aClockAtItsLastConstantIsNotYetForgotten(long out, boolean reachable) {
    Var stage = m.number("stage", Role.PROCESS, 5);
    Watch earlier = m.clock("earlier", not(stage.is(4)));
    Watch later = m.clock("later", stage.is("1", "2"));
    m.clock("at once", stage.is(3)).limit(0);
    m.change("begins").when(stage.is(0)).between(earlier, 0, 2).does(stage.to(1));
    m.change("goes on").when(stage.is(1)).from(later, 4).does(stage.to(2));
    m.change("ends").when(stage.is(2)).between(later, 0, 4).does(stage.to(3));
    m.change("out").when(stage.is(3)).from(earlier, out).does(stage.to(4));
    m.hazard("H", stage.is(4));
    assertDecided(reachable);
  }

  /** Two rounds of waiting add up, however often a search has forgotten what it need not know. */
  @ParameterizedTest
  @CsvSource({"5, true", "6, true", "7, false"})
  void waitingAddsUpOverManySteps(long duration, boolean reachable) {
    Var stage = m.number("stage", Role.PROCESS, 3);
    Var lit = m.bit("lit", Role.PROCESS).starts(1);
    for (int i = 0; i < 3; i++) {
      Watch at = m.clock("stage " + i, stage.is(i)).limit(2);
      m.change("stage " + i)
          .between(at, 2, 2)
          .does(stage.to((i + 1) % 3), lit.to(i == 2 ? value(0) : lit.read()));
    }
    m.hazard("H", lit.on()).longerThan(duration - 1);
    assertDecided(reachable);
  }

  /** What grows round by round is in the end taken to be all that deadlines allow, and no less. */
  @Test
  void zonesThatGrowForManyRoundsLoseNothing() {
    Var side = m.bit("side", Role.PROCESS);
    Var done = m.bit("done", Role.PROCESS);
    Watch ever = m.clock("ever", Expr.TRUE);
    for (int i = 0; i < 2; i++) {
      Watch here = m.clock("side " + i, side.is(i)).limit(1);
      m.change("leaves " + i).between(here, 1, 1).does(side.to(1 - i));
    }
    m.change("late").when(side.on()).from(ever, 60).does(done.to(1));
    m.hazard("H", done.on());
    assertDecided(true);
    var reads = new Reads(m.build());
    Kept kept = Kept.everything(reads);
    var system = new KeptSystem(reads, reads.model().claim("H"), kept);
    var searches = new Searches("H", BUDGET, Progress.NONE);
    assertInstanceOf(
        Search.Outcome.Found.class, searches.run(system, kept, Search.Zoning.MERGED));
  }

  /** A deadline that time comes to but does not reach. */
  @ParameterizedTest
  @ValueSource(booleans = {true, false})
  void whatComesAtADeadlineComesOnlyIfTimeReachesIt(boolean closed) {
    Var stage = m.number("stage", Role.PROCESS, 3);
    Watch first = m.clock("first", stage.is(0)).limit(new Bound(3, closed));
    m.change("in time").from(first, 0).does(stage.to(2));
    m.change("at the end").from(first, 3).does(stage.to(1));
    m.hazard("H", stage.is(1));
    assertDecided(closed);
  }

  /** By both ways the same values are reached, but the later way alone leads on. */
  @Test
  void twoWaysThatLeaveClocksApartAreBothFollowed() {
    Var stage = m.number("stage", Role.PROCESS, 5);
    Watch ever = m.clock("ever", Expr.TRUE);
    Watch here = m.clock("here", stage.is(1));
    m.clock("at once", stage.is(2)).limit(0);
    m.change("early").when(stage.is(0)).between(ever, 0, 1).does(stage.to(1));
    m.change("late").when(stage.is(0)).from(ever, 5).does(stage.to(1));
    m.change("on").when(stage.is(1)).between(here, 0, 1).does(stage.to(2));
    m.change("too early")
        .when(stage.is(2))
        .within(ever, Bound.at(0), Bound.open(5))
        .does(stage.to(4));
    m.change("there").when(stage.is(2)).from(ever, 5).does(stage.to(3));
    m.hazard("H", stage.is(3));
    assertDecided(true);
  }

  /** Extrapolation forgets what only such a comparison could tell; none can be written down. */
  @Test
  void noConstructComparesTwoClocks() {
    assertEquals(List.of("clock", "earliest", "latest"), parts(FieldChange.Timing.class));
    assertEquals(List.of("id", "name", "running", "limit", "setting", "origin"), parts(Clock.class));
    assertEquals(List.of("quanta", "closed"), parts(Bound.class));
    assertEquals(
        List.of("id", "text", "cause", "guard", "timing", "effects", "origin"),
        parts(FieldChange.class));
  }

  private static List<String> parts(Class<? extends Record> of) {
    return Arrays.stream(of.getRecordComponents()).map(RecordComponent::getName).toList();
  }

  // Instants, scans, reaction time

  @ParameterizedTest
  @CsvSource({"0, 0, false", "1, 0, true", "2, 1, true", "2, 2, false"})
  void whatAnImmediateScanEndsIsNoHazard(long reaction, long duration, boolean reachable) {
    m.reactsWithin(reaction);
    Var high = m.comesAndGoes("high");
    Var pump = m.bit("pump", Role.COMMAND);
    m.scans(pump.to(high.off()));
    m.hazard("H", all(high.on(), pump.on())).longerThan(duration);
    assertDecided(reachable);
  }

  /** True before and after an immediate scan, it has held without a break. */
  @Test
  void whatHoldsAcrossAnImmediateScanHolds() {
    Var high = m.comesAndGoes("high");
    Var pump = m.bit("pump", Role.COMMAND);
    Var turning = m.equipment("pump turns", "at rest", "turning", "coasting");
    Watch coasts = m.clock("coast", turning.is("coasting")).limit(4);
    m.change("at rest").between(coasts, 3, 4).does(turning.to("at rest"));
    m.scans(pump.to(high.off()));
    m.reactions(
        turning.to(
            choose(
                pump.on(), value(1), choose(turning.is("turning"), value(2), turning.read()))));
    m.hazard("H", all(high.on(), not(turning.is("at rest")))).longerThan(3);
    assertDecided(true);
  }

  /** Every scan that leaves another one due gives it the whole reaction time again. */
  @ParameterizedTest
  @CsvSource({"3, true", "4, false"})
  void aScanThatMakesAnotherDueStartsTheReactionTimeAfresh(long duration, boolean reachable) {
    m.reactsWithin(2);
    Var input = m.comesAndGoes("input");
    Var first = m.bit("first", Role.MEMORY);
    Var second = m.bit("second", Role.MEMORY);
    m.scans(second.to(first.read()), first.to(input.read()));
    m.hazard("H", all(input.on(), second.off())).longerThan(duration);
    assertDecided(reachable);
  }

  @ParameterizedTest
  @CsvSource({"1, false", "2, true"})
  void aPulseGoesUnseenIfItsTwoChangesShareAScan(int coincident, boolean reachable) {
    m.coincident(coincident);
    Var pulse = m.comesAndGoes("pulse");
    Var seen = m.bit("seen", Role.MEMORY);
    Var was = m.monitor("was");
    m.scans(seen.to(any(seen.on(), pulse.on())));
    m.hazard("H", all(was.on(), seen.off())).remembering(was.to(any(was.on(), pulse.on())));
    assertDecided(reachable);
  }

  /** A change that nobody sees does not wait for a scan that is held up. */
  @Test
  void whatTheControllerDoesNotSeeHappensWhileScansAreFull() {
    Var a = m.bit("a", Role.PROCESS);
    Var b = m.bit("b", Role.PROCESS);
    Var lamp = m.bit("lamp", Role.MEMORY);
    Var missed = m.monitor("missed");
    m.change("a").when(a.off()).does(a.to(1));
    m.change("b").when(all(a.on(), b.off())).does(b.to(1));
    m.scans(lamp.to(a.read()));
    m.hazard("H", missed.on())
        .remembering(missed.to(any(missed.on(), all(a.on(), b.on(), lamp.off()))));
    m.change("b ends").when(all(a.on(), b.on())).does(b.to(0));
    assertDecided(true);
  }

  /** An output that somebody reads is watched: the scan sets it right at once. */
  @Test
  void anOutputTheFieldChangesIsScannedAgain() {
    Var output = m.bit("output", Role.MEMORY);
    Var upset = m.bit("upset", Role.PROCESS);
    m.change("upsets").when(upset.off()).does(upset.to(1), output.to(1));
    m.scans(output.to(0));
    m.hazard("H", output.on());
    assertDecided(false);
  }

  /** While a scan is due that comes at once nothing else comes that it would see; later it may. */
  @ParameterizedTest
  @CsvSource({"0, false", "2, true"})
  void aChangeWaitsOnlyForAScanThatComesAtOnce(long reaction, boolean reachable) {
    m.reactsWithin(reaction);
    Var input = m.bit("input", Role.PROCESS);
    Var lamp = m.bit("lamp", Role.COMMAND);
    m.change("comes").when(lamp.off()).does(input.to(1));
    m.scans(lamp.to(any(input.on(), input.off())));
    m.hazard("H", input.on());
    assertDecided(reachable);
  }

  /** An output that somebody reads is watched: the field changes it only where a scan has room. */
  @ParameterizedTest
  @CsvSource({"1, false", "2, true"})
  void anOutputTheFieldChangesWaitsForAScan(int coincident, boolean reachable) {
    m.coincident(coincident);
    Var output = m.bit("output", Role.MEMORY);
    Var lamp = m.bit("lamp", Role.MEMORY);
    m.change("upsets").when(lamp.off()).does(output.to(1));
    m.scans(output.to(0), lamp.to(1));
    Var was = m.monitor("was");
    m.hazard("H", was.on()).remembering(was.to(any(was.on(), output.on())));
    assertDecided(reachable);
  }

  /** The field answers to a scan by taking the power away: the next scan is due no more. */
  @Test
  void withoutPowerTimePassesThoughTheLogicHasNotSettled() {
    Var power = m.bit("power", Role.POWER).starts(1);
    Var lamp = m.bit("lamp", Role.COMMAND);
    m.powered(power.on());
    m.scans(lamp.to(any(lamp.on(), lamp.off())));
    m.reactions(power.to(choose(lamp.on(), value(0), power.read())));
    m.hazard("H", lamp.on()).longerThan(3);
    assertDecided(true);
  }

  // What is hidden

  /** The deadline holds only while something else does, which a localised search does not see. */
  @ParameterizedTest
  @ValueSource(booleans = {true, false})
  void aDeadlineThatAHiddenConditionStopsBindsNobody(boolean alwaysEnabled) {
    Var open = m.bit("open", Role.EQUIPMENT).starts(1);
    Var enabled =
        alwaysEnabled ? m.bit("enabled", Role.PROCESS).starts(1) : m.comesAndGoes("enabled");
    Watch c = m.clock("closing", all(open.on(), enabled.on())).limit(3);
    m.change("closes").between(c, 2, 3).does(open.to(0));
    m.hazard("H", open.on()).longerThan(4);
    assertDecided(!alwaysEnabled);
  }

  /** Only a clock's condition reads it; what it is between two steps matters all the same. */
  @Test
  void aVariableThatOnlyADeadlineReadsIsKeptBetweenSteps() {
    Var open = m.bit("open", Role.EQUIPMENT).starts(1);
    Var enabled = m.bit("enabled", Role.MEMORY).starts(1);
    Watch c = m.clock("closing", all(open.on(), enabled.on())).limit(3);
    m.change("closes").between(c, 2, 3).does(open.to(0));
    m.change("jams").by(Cause.FAULT).does(enabled.to(0));
    m.hazard("H", open.on()).longerThan(3);
    assertDecided(false);
    m.hazard("F", open.on()).longerThan(3).tolerating(1);
    Model model = m.build();
    assertInstanceOf(
        Verdict.Reached.class,
        Decider.decide(model, model.claim("F"), BUDGET, Progress.NONE));
    assertInstanceOf(
        Verdict.Reached.class,
        Decider.decideWhole(model, model.claim("F"), BUDGET, Progress.NONE));
  }

  /** Read, written and read again in one scan: a hidden variable has two values there. */
  @Test
  void aHiddenVariableChangesWithinAScan() {
    m.coincident(2);
    Var input = m.comesAndGoes("input");
    Var memory = m.bit("memory", Role.MEMORY);
    Var before = m.bit("before", Role.MEMORY);
    Var after = m.bit("after", Role.MEMORY);
    m.scans(before.to(memory.read()), memory.to(input.read()), after.to(memory.read()));
    Var differed = m.monitor("differed");
    m.hazard("H", differed.on())
        .remembering(differed.to(any(differed.on(), not(same(before.read(), after.read())))));
    assertDecided(true);
  }

  /** Two definitions that read the same hidden variable cannot differ. */
  @Test
  void twoReadsOfOneHiddenVariableAgree() {
    Var input = m.comesAndGoes("input");
    Expr seen = m.definition("seen", input.on());
    Expr unseen = m.definition("unseen", not(seen));
    Var both = m.bit("both", Role.MEMORY);
    m.scans(both.to(all(seen, unseen)));
    m.hazard("H", both.on());
    assertDecided(false);
  }

  @Test
  void aStartOutsideTheFirstInitialValuesCounts() {
    Var side = m.bit("side", Role.PROCESS).startsAnywhere();
    Var other = m.bit("other", Role.PROCESS).startsAnywhere();
    m.hazard("H", all(side.on(), other.on()));
    assertDecided(true);
  }
}
