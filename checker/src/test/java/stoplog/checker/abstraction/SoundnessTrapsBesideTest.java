package stoplog.checker.abstraction;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertInstanceOf;
import static org.junit.jupiter.api.Assertions.assertTrue;
import static stoplog.checker.testkit.ModelBuilder.choose;
import static stoplog.checker.testkit.ModelBuilder.shift;
import static stoplog.checker.testkit.ModelBuilder.value;
import static stoplog.model.Expr.all;
import static stoplog.model.Expr.any;
import static stoplog.model.Expr.not;

import java.time.Duration;
import java.util.ArrayList;
import java.util.BitSet;
import java.util.concurrent.atomic.AtomicInteger;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.EnumSource;
import org.junit.jupiter.params.provider.ValueSource;
import stoplog.checker.evidence.TraceTimes;
import stoplog.checker.explore.Budget;
import stoplog.checker.explore.Progress;
import stoplog.checker.explore.Search;
import stoplog.checker.testkit.ModelBuilder.Var;
import stoplog.checker.testkit.ModelBuilder.Watch;
import stoplog.model.Claim;
import stoplog.model.Expr;
import stoplog.model.FieldChange.Cause;
import stoplog.model.Model;
import stoplog.model.Role;
import stoplog.model.Verdict;

/** As {@link SoundnessTrapsTest}: power, faults, observers and limits. */
class SoundnessTrapsBesideTest extends Trap {
  // Power and faults

  /** When power returns a scan is due, though nothing else has changed. */
  @ParameterizedTest
  @CsvSource({"1, true", "2, false"})
  void whenPowerReturnsAScanIsDue(long duration, boolean reachable) {
    m.reactsWithin(2);
    Var power = m.bit("power", Role.POWER).starts(1);
    Var output = m.bit("output", Role.COMMAND).starts(1);
    m.powered(power.on());
    m.change("power fails").by(Cause.POWER).when(power.on()).does(power.to(0), output.to(0));
    m.change("power returns").by(Cause.POWER).when(power.off()).does(power.to(1));
    m.scans(output.to(1));
    m.hazard("H", all(power.on(), output.off())).longerThan(duration);
    assertDecided(reachable);
  }

  @Test
  void withoutPowerNothingIsScanned() {
    Var power = m.bit("power", Role.POWER).startsAnywhere();
    Var output = m.bit("output", Role.COMMAND);
    m.powered(power.on());
    m.scans(output.to(1));
    m.hazard("H", all(power.off(), output.on()));
    assertDecided(false);
  }

  /** Power fails in the midst of a travel, which goes on and ends when it would have. */
  @ParameterizedTest
  @CsvSource({"3, true", "4, false"})
  void clocksOfPhysicsRunOnThroughAPowerFailure(long duration, boolean reachable) {
    Var power = m.bit("power", Role.POWER).starts(1);
    Var command = m.bit("command", Role.COMMAND).starts(1);
    Var valve = m.equipment("valve", "opening", "open");
    m.powered(power.on());
    Watch travel = m.clock("travel", valve.is("opening")).limit(4);
    m.change("open").between(travel, 4, 4).does(valve.to("open"));
    m.change("power fails").by(Cause.POWER).when(power.on()).does(power.to(0), command.to(0));
    m.change("power returns").by(Cause.POWER).when(power.off()).does(power.to(1));
    m.scans(command.to(1));
    m.hazard("H", valve.is("opening")).longerThan(duration);
    assertDecided(reachable);
  }

  /** Powerless, the field need not wait for a scan. */
  @Test
  void aPowerFailureIsNeverHeldBackByAScan() {
    m.coincident(1);
    Var power = m.bit("power", Role.POWER).starts(1);
    Var input = m.bit("input", Role.PROCESS);
    Var output = m.bit("output", Role.COMMAND);
    m.powered(power.on());
    m.change("power fails").by(Cause.POWER).when(power.on()).does(power.to(0), input.to(0));
    m.change("input").when(all(power.on(), input.off(), output.off())).does(input.to(1));
    m.scans(output.to(any(output.on(), input.on())));
    Var was = m.monitor("was");
    m.hazard("H", all(was.on(), power.off(), output.off()))
        .remembering(was.to(any(was.on(), input.on())));
    assertDecided(true);
  }

  @ParameterizedTest
  @CsvSource({"0, false", "1, false", "2, true", "3, true"})
  void aBudgetOfFaultsIsExactlyThat(int budget, boolean reachable) {
    Var broken = m.number("broken", Role.FAULT, 4);
    m.comesAndGoes("input");
    m.change("breaks")
        .by(Cause.FAULT)
        .when(not(broken.is(3)))
        .does(broken.to(choose(broken.is(3), value(3), shift(broken.read(), 1))));
    m.hazard("H", broken.is(2)).tolerating(budget);
    assertDecided(reachable);
  }

  @ParameterizedTest
  @ValueSource(booleans = {true, false})
  void onlyTheFaultsThatAreNamedStrike(boolean named) {
    Var here = m.bit("here", Role.FAULT);
    Var there = m.bit("there", Role.FAULT);
    m.change("breaks here").by(Cause.FAULT).does(here.to(1));
    m.change("breaks there").by(Cause.FAULT).does(there.to(1));
    m.hazard("H", here.on()).tolerating(1, named ? here : there);
    assertDecided(named);
  }

  /** Scans between two faults do not give the first one back. */
  @Test
  void aScanDoesNotRenewTheFaultBudget() {
    Var broken = m.number("broken", Role.FAULT, 3);
    Var seen = m.number("seen", Role.MEMORY, 3);
    m.scans(seen.to(broken.read()));
    m.change("first").by(Cause.FAULT).when(broken.is(0)).does(broken.to(1));
    m.change("second").by(Cause.FAULT).when(seen.is(1)).does(broken.to(2));
    m.hazard("H", broken.is(2)).tolerating(1);
    assertDecided(false);
  }

  /** Nor does a scan, or something that happens elsewhere, use it up. */
  @ParameterizedTest
  @ValueSource(booleans = {true, false})
  void whatIsNoFaultUsesUpNoneOfTheBudget(boolean scan) {
    Var light = m.bit("light", Role.PROCESS);
    m.change("light").does(light.to(1));
    Var valve = m.bit("valve", scan ? Role.MEMORY : Role.EQUIPMENT);
    Var broken = m.bit("broken", Role.FAULT);
    Var ready = m.bit("ready", Role.PROCESS);
    Var late = m.bit("late", Role.EQUIPMENT);
    m.change("ready").when(ready.off()).does(ready.to(1));
    m.change("breaks").by(Cause.FAULT).when(valve.on()).does(broken.to(1));
    m.hazard("H", broken.on()).tolerating(1);
    var opens = valve.to(any(valve.on(), all(light.on(), late.on())));
    if (scan) {
      m.scans(opens).reactions(late.to(ready.read()));
    } else {
      m.powered(Expr.FALSE).reactions(opens, late.to(ready.read()));
    }
    assertDecided(true);
    assertFoundKeeping(valve, broken, ready, late);
  }

  /** The light is hidden there. */
  private void assertFoundKeeping(Var... variables) {
    var reads = new Reads(m.build());
    var all = new BitSet();
    for (Var v : variables) {
      all.set(v.id());
    }
    for (boolean due : new boolean[] {true, false}) {
      Kept kept = new Kept(new BitSet(), false).with(all, due, reads);
      var system = new KeptSystem(reads, reads.model().claims().getFirst(), kept);
      assertInstanceOf(
          Search.Outcome.Found.class,
          new Searches("H", BUDGET, Progress.NONE).run(system, kept, Search.Zoning.FOR_REACHING));
    }
  }

  // Observers

  /** A stop and a start in one instant are two steps; the hazard's clock starts afresh. */
  @ParameterizedTest
  @CsvSource({"3, true", "4, false"})
  void aBreakOfAnInstantIsABreak(long duration, boolean reachable) {
    Var pump = m.bit("pump", Role.EQUIPMENT).starts(1);
    Watch on = m.clock("on", pump.on()).limit(4);
    Watch off = m.clock("off", pump.off()).limit(0);
    m.change("stops").between(on, 0, 4).does(pump.to(0));
    m.change("starts").from(off, 0).does(pump.to(1));
    m.hazard("H", pump.on()).longerThan(duration);
    assertDecided(reachable);
  }

  /** There is no later step in which it could still be seen. */
  @Test
  void observersLookAfterTheScan() {
    Var lamp = m.bit("lamp", Role.COMMAND);
    m.scans(lamp.to(1));
    Var was = m.monitor("was");
    m.hazard("H", was.on()).remembering(was.to(lamp.read()));
    assertDecided(true);
  }

  /** From the other start the same state is reached with more room, but by one step more. */
  @Test
  void aShorterWayIsFoundThoughALongerOneHasMoreRoom() {
    Var side = m.bit("side", Role.PROCESS).startsAnywhere();
    Var done = m.bit("done", Role.PROCESS);
    Watch ever = m.clock("ever", Expr.TRUE);
    Watch there = m.clock("there", side.on());
    m.change("crosses").when(side.off()).does(side.to(1));
    m.change("done").between(ever, 2, 5).when(side.on()).does(done.to(1));
    m.change("returns").between(there, 3, 5).does(side.to(0));
    m.hazard("H", done.on());
    Model model = m.build();
    var whole =
        assertInstanceOf(
            Verdict.Reached.class,
            Decider.decideWhole(model, model.claim("H"), BUDGET, Progress.NONE));
    assertEquals(1, whole.events());
    assertDecided(true);
  }

  /** Nothing but the claim's own memory ever looks at either of the two. */
  @ParameterizedTest
  @ValueSource(booleans = {true, false})
  void whatOnlyAnObserverReadsIsKeptBetweenSteps(boolean leaves) {
    Var left = m.bit("left", Role.PROCESS);
    Var right = m.bit("right", Role.PROCESS);
    Var was = m.monitor("was");
    m.change("left").does(left.to(1), right.to(leaves ? right.read() : value(0)));
    m.change("right").does(left.to(0), right.to(1));
    m.hazard("H", was.on())
        .remembering(was.to(any(was.on(), all(left.on(), right.on()))));
    assertDecided(leaves);
  }

  // Limits

  @ParameterizedTest
  @ValueSource(longs = {0, 1, 20, 300})
  void aSearchThatStopsAtALimitProvesNothing(long states) {
    Var count = m.number("count", Role.PROCESS, 40);
    Var other = m.number("other", Role.PROCESS, 40);
    for (Var v : new Var[] {count, other}) {
      m.change(v.id() + " up").does(v.to(choose(v.is(39), value(0), shift(v.read(), 1))));
    }
    m.hazard("H", all(count.is(39), other.is(39)));
    Model model = m.build();
    Claim claim = model.claims().getFirst();
    Budget small = BUDGET.withStates(states);
    assertInstanceOf(
        Verdict.Undecided.class, Decider.decideWhole(model, claim, small, Progress.NONE));
    assertInstanceOf(
        Verdict.Undecided.class, Decider.decide(model, claim, small, Progress.NONE));
    Budget noTime = new Budget(100_000, 1L << 28, Duration.ZERO);
    assertInstanceOf(
        Verdict.Undecided.class, Decider.decide(model, claim, noTime, Progress.NONE));
    Budget noMemory = new Budget(100_000, 0, Duration.ofSeconds(20));
    assertInstanceOf(
        Verdict.Undecided.class, Decider.decide(model, claim, noMemory, Progress.NONE));
  }

  /** Each counts up until it or the next is full: they do come to rest, but it takes long to see. */
  @ParameterizedTest
  @ValueSource(ints = {3, 4})
  void logicThatIsTooMuchToTryCountsAsRestless(int counters) {
    var all = new ArrayList<Var>();
    for (int i = 0; i < counters; i++) {
      all.add(m.number("counter " + i, Role.MEMORY, 64));
    }
    for (int i = 0; i < counters; i++) {
      Var own = all.get(i);
      Expr full = any(own.is(63), all.get((i + 1) % counters).is(63));
      m.scans(own.to(choose(full, value(63), shift(own.read(), 1))));
    }
    m.hazard("H", Expr.FALSE);
    Model model = m.build();
    assertInstanceOf(
        Verdict.Undecided.class,
        Decider.decide(model, model.claims().getFirst(), BUDGET, Progress.NONE));
  }

  /** Where scans might follow each other for ever while time stands still, nothing is proved. */
  @ParameterizedTest
  @EnumSource(names = {"HAZARD", "ALWAYS_CAN"})
  void logicThatMightNeverRestLetsNothingBeProved(Claim.Kind kind) {
    Var flips = m.bit("flips", Role.MEMORY);
    Var valve = m.switched("valve");
    Var never = m.bit("never", Role.PROCESS);
    m.scans(flips.to(choose(never.on(), flips.off(), flips.read())));
    m.claim("C", kind, kind == Claim.Kind.HAZARD ? Expr.FALSE : any(valve.on(), valve.off()));
    Model restless = m.build();
    assertUndecided(restless);
    m.reactsWithin(1);
    Model resting = m.build();
    assertInstanceOf(
        Verdict.Proved.class,
        Decider.decide(resting, resting.claim("C"), BUDGET, Progress.NONE));
  }

  private static void assertUndecided(Model model) {
    Claim claim = model.claim("C");
    assertInstanceOf(
        Verdict.Undecided.class, Decider.decideWhole(model, claim, BUDGET, Progress.NONE));
    assertInstanceOf(
        Verdict.Undecided.class, Decider.decide(model, claim, BUDGET, Progress.NONE));
  }

  /** Of the many values that the deadline's change looks at, it is refused at one alone. */
  @Test
  void aDeadlineWithTooMuchToTryCountsAsOneThatNothingMeets() {
    Var pump = m.switched("pump");
    Var run = m.bit("run", Role.PROCESS);
    Watch stroke = m.clock("stroke", run.on()).limit(2);
    var ends = new ArrayList<Expr>();
    for (int i = 0; i < 3; i++) {
      Var wide = m.number("wide " + i, Role.PROCESS, 64);
      m.change("wide " + i).does(wide.to(63));
      ends.add(wide.is(63));
    }
    m.change("run begins").does(run.to(1));
    m.change("run ends").when(not(all(ends.toArray(Expr[]::new)))).from(stroke, 1).does(run.to(0));
    m.claim("R", Claim.Kind.ALWAYS_CAN, pump.on());
    Model model = m.build();
    Claim claim = model.claims().getFirst();
    assertInstanceOf(
        Verdict.Reached.class, Decider.decideWhole(model, claim, BUDGET, Progress.NONE));
    assertInstanceOf(Verdict.Reached.class, Decider.decide(model, claim, BUDGET, Progress.NONE));
  }

  /** Whenever the user loses patience: in a search, while a path is followed, on the way back. */
  @ParameterizedTest
  @EnumSource(names = {"HAZARD", "ALWAYS_CAN"})
  void interruptedAtAnyMomentNothingIsProved(Claim.Kind kind) {
    Var low = m.comesAndGoes("low");
    Var start = m.button("start");
    Var trip = m.bit("trip", Role.MEMORY);
    Var pump = m.bit("pump", Role.COMMAND);
    Var turns = m.equipment("turns", "no", "yes");
    Watch on = m.clock("on", turns.is("yes")).limit(9);
    m.change("stops").between(on, 3, 9).does(turns.to("no"), low.to(1));
    m.reactions(turns.to(choose(pump.on(), value(1), turns.read())));
    m.scans(
        trip.to(any(trip.on(), all(low.on(), turns.is("yes")))),
        pump.to(all(start.on(), not(trip.on()))),
        start.to(0));
    m.claim("C", kind, kind == Claim.Kind.HAZARD ? all(trip.on(), turns.is("no")) : pump.on());
    Model model = m.build();
    int undecided = 0;
    Verdict verdict;
    do {
      var patience = new AtomicInteger(undecided);
      Progress stopping =
          new Progress() {
            @Override
            public void at(String claim, int level, long states, int kept) {}

            @Override
            public boolean stopped() {
              return patience.getAndDecrement() <= 0;
            }
          };
      verdict = Decider.decide(model, model.claims().getFirst(), BUDGET, stopping);
      assertFalse(verdict instanceof Verdict.Proved, "stopped when asked " + undecided + " times");
      undecided++;
    } while (verdict instanceof Verdict.Undecided && undecided < 200);
    assertInstanceOf(Verdict.Reached.class, verdict);
    assertTrue(undecided > 2, "only " + undecided + " moments to stop at");
  }

  /** What the interpreter does not replay is no run, whatever a search says. */
  @Test
  void aRunThatDoesNotReplayIsRefused() {
    Var lamp = m.bit("lamp", Role.PROCESS);
    Watch dark = m.clock("dark", lamp.off());
    m.change("lit").from(dark, 3).does(lamp.to(1));
    m.hazard("H", lamp.on()).longerThan(2);
    Model model = m.build();
    var reads = new Reads(model);
    Claim claim = model.claims().getFirst();
    var system = new KeptSystem(reads, claim, Kept.everything(reads));
    var searches = new Searches("H", BUDGET, Progress.NONE);
    var found =
        assertInstanceOf(
            Search.Outcome.Found.class,
            searches.run(system, system.kept(), Search.Zoning.FOR_REACHING));
    assertInstanceOf(
        Completion.Valid.class, Completion.check(reads, claim, system, found.path()));
    for (long[] wrong : new long[][] {{2, 6}, {3, 5}, {7, 6}}) {
      var times = new TraceTimes(1, new long[] {wrong[0]}, wrong[1]);
      assertInstanceOf(
          Completion.Refused.class, Completion.check(reads, claim, system, found.path(), times));
    }
  }
}
