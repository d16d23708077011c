package stoplog.checker.differential;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertInstanceOf;
import static stoplog.model.Expr.all;
import static stoplog.model.Expr.any;
import static stoplog.model.Expr.not;

import java.time.Duration;
import java.util.ArrayList;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import stoplog.checker.abstraction.Decider;
import stoplog.checker.explore.Budget;
import stoplog.checker.explore.Progress;
import stoplog.checker.testkit.ModelBuilder;
import stoplog.checker.testkit.ModelBuilder.Var;
import stoplog.checker.testkit.ModelBuilder.Watch;
import stoplog.model.Bound;
import stoplog.model.Claim;
import stoplog.model.Expr;
import stoplog.model.Model;
import stoplog.model.Role;
import stoplog.model.Verdict;

/** Timed cases with published answers, searched whole and localised. */
class TimedCasesTest {
  private static final Budget BUDGET = new Budget(200_000, 1L << 29, Duration.ofMinutes(1));
  private final ModelBuilder m = new ModelBuilder("timed case");

  /** The whole search's answer, which the localised one shares. */
  private Verdict decided() {
    Model model = m.build();
    Claim claim = model.claims().getFirst();
    Verdict whole = Decider.decideWhole(model, claim, BUDGET, Progress.NONE);
    Verdict localised = Decider.decide(model, claim, BUDGET, Progress.NONE);
    assertEquals(whole.getClass(), localised.getClass(), localised.toString());
    return whole;
  }

  /**
   * Mutual exclusion by delay: L. Lamport, ACM TOCS 5(1), 1987. A process asks for at most {@code a}
   * before it writes its number, and waits at least {@code b} before it reads it back.
   */
  private void mutualExclusion(int processes, Bound a, Bound b) {
    Var id = m.number("id", Role.PROCESS, processes + 1);
    var inside = new ArrayList<Expr>();
    var both = new ArrayList<Expr>();
    for (int i = 1; i <= processes; i++) {
      Var p = m.equipment("process " + i, "rest", "ask", "wait", "inside");
      Watch ask = m.clock("ask " + i, p.is("ask")).limit(a);
      Watch wait = m.clock("wait " + i, p.is("wait"));
      m.change("asks " + i).when(all(p.is("rest"), id.is(0))).does(p.to("ask"));
      m.change("writes " + i).within(ask, Bound.at(0), null).does(p.to("wait"), id.to(i));
      m.change("enters " + i).when(id.is(i)).within(wait, b, null).does(p.to("inside"));
      m.change("retries " + i).when(all(p.is("wait"), id.is(0))).does(p.to("ask"));
      m.change("leaves " + i).when(p.is("inside")).does(p.to("rest"), id.to(0));
      inside.forEach(other -> both.add(all(other, p.is("inside"))));
      inside.add(p.is("inside"));
    }
    m.hazard("both inside", any(both));
  }

  @ParameterizedTest
  @CsvSource({"2, 18", "3, 65", "4, 220"})
  void mutualExclusionByDelayHoldsWithThePublishedNumberOfStates(int processes, int states) {
    mutualExclusion(processes, Bound.at(1), Bound.at(2));
    assertEquals(states, assertInstanceOf(Verdict.Proved.class, decided()).effort().states());
  }

  @ParameterizedTest
  @CsvSource({
    "2, 2, true, 1, true, true", "2, 1, true, 1, true, true", "2, 1, false, 1, true, false",
    "2, 1, true, 1, false, false", "2, 1, false, 1, false, false", "3, 2, true, 1, true, true",
    "3, 1, true, 1, true, true", "3, 1, true, 1, false, false", "4, 2, true, 1, true, true",
  })
  void mutualExclusionFailsExactlyIfTheWaitCanEndWithinTheAsking(
      int processes, long a, boolean aClosed, long b, boolean bClosed, boolean fails) {
    mutualExclusion(processes, new Bound(a, aClosed), new Bound(b, bClosed));
    if (fails) {
      assertEquals(6, assertInstanceOf(Verdict.Reached.class, decided()).events());
    } else {
      assertInstanceOf(Verdict.Proved.class, decided());
    }
  }

  /** R. Alur and D. Dill, TCS 126, 1994: a train, a gate, and a controller between them. */
  @ParameterizedTest
  @CsvSource({"2, false", "1, true"})
  void theGateIsDownUnlessTheTrainIsFaster(long enters, boolean reachable) {
    Var train = m.equipment("train", "far", "near", "in", "past");
    Var gate = m.equipment("gate", "up", "lowering", "down", "raising");
    Var controller = m.equipment("controller", "idle", "to lower", "to raise");
    Watch x = m.clock("x", not(train.is("far"))).limit(Bound.open(5));
    Watch lowers = m.clock("z, lowering", controller.is("to lower")).limit(1);
    Watch raises = m.clock("z, raising", controller.is("to raise")).limit(Bound.open(1));
    Watch down = m.clock("y, down", gate.is("lowering")).limit(Bound.open(1));
    Watch up = m.clock("y, up", gate.is("raising")).limit(Bound.open(2));
    m.change("approaches")
        .when(all(train.is("far"), controller.is("idle")))
        .does(train.to("near"), controller.to("to lower"));
    m.change("in").when(train.is("near")).within(x, Bound.open(enters), null).does(train.to("in"));
    m.change("past").when(train.is("in")).does(train.to("past"));
    m.change("leaves")
        .when(all(train.is("past"), controller.is("idle")))
        .does(train.to("far"), controller.to("to raise"));
    m.change("lowers").between(lowers, 1, 1).does(controller.to("idle"), gate.to("lowering"));
    m.change("raises").from(raises, 0).does(controller.to("idle"), gate.to("raising"));
    m.change("down").from(down, 0).does(gate.to("down"));
    m.change("up").within(up, Bound.open(1), null).does(gate.to("up"));
    m.hazard("in the crossing, gate not down", all(train.is("in"), not(gate.is("down"))));
    assertEquals(reachable, decided() instanceof Verdict.Reached);
  }

  /** One stop: the valve is told to shut after a delay, the pump coasts. Times in tenths of a second. */
  @ParameterizedTest
  @CsvSource({
    "5, 5, 8, 8, 0, true", "5, 5, 8, 8, 3, false", "5, 5, 8, 8, 4, false",
    "3, 7, 5, 12, 8, true", "3, 7, 5, 12, 9, false", "3, 7, 5, 12, 10, false",
  })
  void theValveShutsBeforeThePumpRestsIfItsDelayIsTooShort(
      long shutFirst, long shutLast, long restFirst, long restLast, long delay, boolean reachable) {
    stopRace(shutFirst, shutLast, restFirst, restLast, delay, 0);
    assertEquals(reachable, decided() instanceof Verdict.Reached);
  }

  /** Shut from 0.5 s, at rest by 1.2 s: 0.7 s and no longer. */
  @ParameterizedTest
  @CsvSource({"6, true", "7, false"})
  void longerThanIsStrict(long duration, boolean reachable) {
    stopRace(4, 7, 5, 12, 1, duration);
    assertEquals(reachable, decided() instanceof Verdict.Reached);
  }

  private void stopRace(
      long shutFirst, long shutLast, long restFirst, long restLast, long delay, long duration) {
    Var valve = m.equipment("valve", "told", "closing", "shut");
    Var pump = m.equipment("pump", "coasting", "at rest");
    Watch wait = m.clock("delay", valve.is("told")).limit(delay);
    Watch travel = m.clock("travel", valve.is("closing")).limit(shutLast);
    Watch coast = m.clock("coast", pump.is("coasting")).limit(restLast);
    m.change("valve closes").between(wait, delay, delay).does(valve.to("closing"));
    m.change("valve shut").between(travel, shutFirst, shutLast).does(valve.to("shut"));
    m.change("pump at rest").between(coast, restFirst, restLast).does(pump.to("at rest"));
    m.hazard("H", all(valve.is("shut"), pump.is("coasting"))).longerThan(duration);
  }

  /** Two clocks drift apart without end: only extrapolation ends the search. */
  @Test
  void clocksThatDriftApartDoNotKeepASearchFromEnding() {
    Var fast = m.bit("fast", Role.PROCESS);
    Var slow = m.bit("slow", Role.PROCESS);
    for (int i = 0; i < 2; i++) {
      Watch f = m.clock("fast " + i, fast.is(i)).limit(2);
      Watch s = m.clock("slow " + i, slow.is(i));
      m.change("fast " + i).between(f, 1, 2).does(fast.to(1 - i));
      m.change("slow " + i).from(s, 3).does(slow.to(1 - i));
    }
    m.hazard("never", all(fast.on(), fast.off(), slow.on()));
    assertInstanceOf(Verdict.Proved.class, decided());
  }
}
