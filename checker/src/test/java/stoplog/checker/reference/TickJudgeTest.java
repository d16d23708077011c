package stoplog.checker.reference;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertInstanceOf;
import static stoplog.checker.testkit.ModelBuilder.choose;
import static stoplog.checker.testkit.ModelBuilder.shift;
import static stoplog.checker.testkit.ModelBuilder.value;
import static stoplog.model.Expr.all;
import static stoplog.model.Expr.any;
import static stoplog.model.Expr.not;

import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.ValueSource;
import stoplog.checker.reference.TickJudge.No;
import stoplog.checker.reference.TickJudge.TooBig;
import stoplog.checker.reference.TickJudge.Yes;
import stoplog.checker.testkit.ModelBuilder;
import stoplog.checker.testkit.ModelBuilder.Var;
import stoplog.checker.testkit.ModelBuilder.Watch;
import stoplog.model.Bound;
import stoplog.model.Expr;
import stoplog.model.FieldChange.Cause;
import stoplog.model.Model;
import stoplog.model.Role;
import stoplog.model.Trace;

class TickJudgeTest {
  private static final long PLENTY = 2_000_000;
  private final ModelBuilder m = new ModelBuilder("judged");

  private TickJudge.Answer judged() {
    Model model = m.build();
    return TickJudge.reachable(model, model.claims().getFirst(), PLENTY);
  }

  private static Bound bound(long quanta, boolean closed) {
    return new Bound(quanta, closed);
  }

  // Mutual exclusion by delay

  /**
   * Lamport, ACM TOCS 5(1), 1987: each process asks for at most {@code a} before it writes its number
   * and waits at least {@code b} before it reads it back.
   */
  private void mutualExclusion(int processes, Bound a, Bound b) {
    Var id = m.number("id", Role.PROCESS, processes + 1);
    var inside = new Expr[processes];
    for (int i = 1; i <= processes; i++) {
      Var p = m.equipment("p" + i, "rest", "ask", "wait", "inside");
      Watch ask = m.clock("ask" + i, p.is("ask")).limit(a);
      Watch wait = m.clock("wait" + i, p.is("wait"));
      m.change("ask" + i).when(all(p.is("rest"), id.is(0))).does(p.to("ask"));
      m.change("write" + i).within(ask, Bound.at(0), null).does(p.to("wait"), id.to(i));
      m.change("enter" + i)
          .when(all(p.is("wait"), id.is(i)))
          .within(wait, b, null)
          .does(p.to("inside"));
      m.change("retry" + i).when(all(p.is("wait"), id.is(0))).does(p.to("ask"));
      m.change("leave" + i).when(p.is("inside")).does(p.to("rest"), id.to(0));
      inside[i - 1] = p.is("inside");
    }
    m.hazard("both inside", all(inside[0], inside[1]));
  }

  @ParameterizedTest
  @CsvSource({
    "1, true, 2, true, false",
    "2, true, 1, true, true",
    "1, true, 1, true, true",
    "1, false, 1, true, false",
    "1, true, 1, false, false",
    "1, false, 1, false, false",
    "2, false, 1, false, true",
    "1, false, 0, false, true",
  })
  void mutualExclusionFailsExactlyIfTheWaitCanEndWithinTheAsking(
      long a, boolean aClosed, long b, boolean bClosed, boolean reachable) {
    mutualExclusion(2, bound(a, aClosed), bound(b, bClosed));
    TickJudge.Answer answer = judged();
    if (reachable) {
      // Both ask, then each writes and enters.
      assertEquals(6, assertInstanceOf(Yes.class, answer).trace().steps().size());
    } else {
      assertInstanceOf(No.class, answer);
    }
  }

  @Test
  void mutualExclusionOfThreeProcessesIsSafeWithALongerWait() {
    mutualExclusion(3, Bound.at(1), Bound.at(2));
    assertInstanceOf(No.class, judged());
  }

  // Level crossing

  /** Alur and Dill, TCS 126, 1994: a train, a gate and a controller that lowers and raises it. */
  private void levelCrossing(Bound enters) {
    Var train = m.equipment("train", "far", "near", "in", "past");
    Var gate = m.equipment("gate", "up", "lowering", "down", "raising");
    Var controller = m.equipment("controller", "idle", "to lower", "to raise");
    Watch x = m.clock("x", not(train.is("far"))).limit(Bound.open(5));
    Watch zLower = m.clock("z lower", controller.is("to lower")).limit(1);
    Watch zRaise = m.clock("z raise", controller.is("to raise")).limit(Bound.open(1));
    Watch yLower = m.clock("y lower", gate.is("lowering")).limit(Bound.open(1));
    Watch yRaise = m.clock("y raise", gate.is("raising")).limit(Bound.open(2));
    m.change("approach")
        .when(all(train.is("far"), controller.is("idle")))
        .does(train.to("near"), controller.to("to lower"));
    m.change("in").when(train.is("near")).within(x, enters, null).does(train.to("in"));
    m.change("past").when(train.is("in")).does(train.to("past"));
    m.change("exit")
        .when(all(train.is("past"), controller.is("idle")))
        .does(train.to("far"), controller.to("to raise"));
    m.change("lower").between(zLower, 1, 1).does(controller.to("idle"), gate.to("lowering"));
    m.change("raise").from(zRaise, 0).does(controller.to("idle"), gate.to("raising"));
    m.change("down").from(yLower, 0).does(gate.to("down"));
    m.change("up").within(yRaise, Bound.open(1), null).does(gate.to("up"));
    m.hazard("open gate", all(train.is("in"), not(gate.is("down"))));
  }

  @Test
  void theGateIsDownWhenTheTrainIsInTheCrossing() {
    levelCrossing(Bound.open(2));
    assertInstanceOf(No.class, judged());
  }

  @Test
  void theGateIsNotDownInTimeForAFasterTrain() {
    levelCrossing(Bound.open(1));
    assertInstanceOf(Yes.class, judged());
  }

  // Stop race

  /** At 0 the pump is stopped and the valve is told to close a delay later; times in 0.1 s. */
  private void stopRace(long vLow, long vHigh, long pLow, long pHigh, long delay) {
    Var valve = m.equipment("valve", "told", "closing", "shut");
    Var pump = m.equipment("pump", "coasting", "at rest");
    Watch wait = m.clock("wait", valve.is("told")).limit(delay);
    Watch travel = m.clock("travel", valve.is("closing")).limit(vHigh);
    Watch coast = m.clock("coast", pump.is("coasting")).limit(pHigh);
    m.change("valve closes").between(wait, delay, delay).does(valve.to("closing"));
    m.change("valve shut").between(travel, vLow, vHigh).does(valve.to("shut"));
    m.change("pump at rest").between(coast, pLow, pHigh).does(pump.to("at rest"));
    m.hazard("dead head", all(valve.is("shut"), pump.is("coasting")));
  }

  @ParameterizedTest
  @CsvSource({
    "5, 5, 8, 8, 0, true",
    "5, 5, 8, 8, 2, true",
    "5, 5, 8, 8, 3, false",
    "5, 5, 8, 8, 4, false",
    "3, 7, 5, 12, 8, true",
    "3, 7, 5, 12, 9, false",
    "3, 7, 5, 12, 10, false",
  })
  void theValveIsShutBeforeThePumpRestsIfItsDelayIsTooShort(
      long vLow, long vHigh, long pLow, long pHigh, long delay, boolean reachable) {
    stopRace(vLow, vHigh, pLow, pHigh, delay);
    assertEquals(reachable, judged() instanceof Yes);
  }

  @Test
  void longerThanIsStrict() {
    // The valve is shut from 5 at the earliest, the pump rests at 12 at the latest: exactly 7.
    stopRace(4, 7, 5, 12, 1);
    Model model = m.build();
    Expr condition = model.claims().getFirst().condition();
    m.hazard("for 6", condition).longerThan(6);
    m.hazard("for 7", condition).longerThan(7);
    Model both = m.build();
    var six = TickJudge.reachable(both, both.claim("for 6"), PLENTY);
    assertInstanceOf(Yes.class, six);
    var seven = TickJudge.reachable(both, both.claim("for 7"), PLENTY);
    assertInstanceOf(No.class, seven);
  }

  // Open bounds

  /**
   * A beat at every whole quantum, and between two beats one event that must come less than a quantum
   * after the one before: it comes a little earlier after every beat.
   */
  private void everEarlier(int events) {
    Var beat = m.bit("beat", Role.EQUIPMENT);
    Var turn = m.bit("turn", Role.EQUIPMENT);
    Var count = m.number("count", Role.EQUIPMENT, events + 1);
    for (int i = 0; i < 2; i++) {
      Watch x = m.clock("beat " + i, beat.is(i)).limit(1);
      m.clock("event " + i, turn.is(i)).limit(Bound.open(1));
      m.change("beat " + i).when(turn.is(1 - i)).between(x, 1, 1).does(beat.to(1 - i));
      m.change("event " + i)
          .when(all(turn.is(i), not(count.is(events))))
          .within(x, Bound.open(0), null)
          .does(turn.to(1 - i), count.to(shift(count.read(), 1)));
    }
    m.hazard("all events", count.is(events));
  }

  @Test
  void eventsThatComeEverEarlierAreFound() {
    everEarlier(20);
    Trace trace = assertInstanceOf(Yes.class, judged()).trace();
    assertEquals(39, trace.steps().size(), "20 events and 19 beats between them");
  }

  @Test
  void noFixedTickFindsEventsThatComeEverEarlier() {
    everEarlier(20);
    Model model = m.build();
    for (int ticks = 1; ticks <= 20; ticks++) {
      assertInstanceOf(
          No.class, TickJudge.reachable(model, model.claims().getFirst(), PLENTY, ticks));
    }
    assertInstanceOf(
        Yes.class, TickJudge.reachable(model, model.claims().getFirst(), PLENTY, 21));
  }

  /** Seven things, each a little after the one before, all within less than a quantum. */
  @Test
  void theFractionalPartsOfAllClocksAtOnceAreToldApart() {
    Var stage = m.number("stage", Role.EQUIPMENT, 8);
    m.change("stage 1").when(stage.is(0)).does(stage.to(1));
    for (int i = 1; i < 7; i++) {
      Watch c =
          m.clock("since stage " + i, new Expr.In(stage.read(), -1L << i)).limit(Bound.open(1));
      m.change("stage " + (i + 1))
          .when(stage.is(i))
          .within(c, Bound.open(0), null)
          .does(stage.to(i + 1));
    }
    m.hazard("H", stage.is(7));
    Trace trace = assertInstanceOf(Yes.class, judged()).trace();
    assertEquals(7, trace.steps().size());
    assertEquals(9, trace.ticksPerQuantum());
  }

  // Shortest, finite, bounded

  /** The same state is reached by time from one start and by a step from the other. */
  @ParameterizedTest
  @ValueSource(ints = {0, 1})
  void aWayWithFewerStepsReplacesOneFoundBefore(int good) {
    Var side = m.bit("side", Role.PROCESS).startsAnywhere();
    Var done = m.bit("done", Role.PROCESS);
    Watch c = m.clock("c", Expr.TRUE);
    m.change("changes sides").from(c, 1).when(side.is(1 - good)).does(side.to(good));
    m.change("done").from(c, 2).when(side.is(good)).does(done.to(1));
    m.hazard("H", done.on());
    assertEquals(1, assertInstanceOf(Yes.class, judged()).trace().steps().size());
  }

  @Test
  void aTraceHasTheFewestStepsEvenIfItTakesLonger() {
    Var a = m.number("a", Role.PROCESS, 4);
    Watch c = m.clock("c", Expr.TRUE);
    m.change("quick").when(not(a.is(3))).does(a.to(choose(a.is(2), value(3), shift(a.read(), 1))));
    m.change("slow").from(c, 50).does(a.to(3));
    m.hazard("H", a.is(3));
    Trace trace = assertInstanceOf(Yes.class, judged()).trace();
    assertEquals(1, trace.steps().size());
    assertEquals(50, trace.steps().getFirst().tick());
  }

  @Test
  void aTraceBeginsAtTheStartThatNeedsTheFewestSteps() {
    Var a = m.number("a", Role.PROCESS, 5).starts(0, 2, 3);
    for (int i = 0; i < 4; i++) {
      m.change("to " + (i + 1)).when(a.is(i)).does(a.to(i + 1));
    }
    m.hazard("H", a.is(4));
    Trace trace = assertInstanceOf(Yes.class, judged()).trace();
    assertEquals(3, trace.start().getFirst());
    assertEquals(1, trace.steps().size());
  }

  @Test
  void clocksThatRunForeverAreKeptFinite() {
    Var a = m.comesAndGoes("a");
    Watch compared = m.clock("compared", a.on());
    m.clock("never compared", any(a.on(), a.off()));
    m.change("x").between(compared, 2, 3);
    m.hazard("H", Expr.FALSE);
    // Off: one state. On: the compared clock at 0, 1, 2, 3 and beyond.
    assertEquals(new No(6), judged());
  }

  @ParameterizedTest
  @ValueSource(longs = {5, 6})
  void itGivesUpBeyondSoManyStates(long maxStates) {
    Var a = m.number("a", Role.PROCESS, 6);
    for (int i = 0; i < 5; i++) {
      m.change("to " + (i + 1)).when(a.is(i)).does(a.to(i + 1));
    }
    m.hazard("H", Expr.FALSE);
    Model model = m.build();
    TickJudge.Answer answer =
        TickJudge.reachable(model, model.claims().getFirst(), maxStates);
    assertEquals(maxStates == 6 ? new No(6) : new TooBig(), answer);
  }

  @Test
  void itGivesUpBeyondSoManyStarts() {
    for (int i = 0; i < 30; i++) {
      m.bit("a" + i, Role.PROCESS).startsAnywhere();
    }
    m.hazard("H", Expr.FALSE);
    Model model = m.build();
    assertEquals(
        new TooBig(), TickJudge.reachable(model, model.claims().getFirst(), 1000));
  }

  // A reaction time takes part

  @ParameterizedTest
  @CsvSource({"2, 3, false", "3, 3, false", "4, 3, true"})
  void theReactionTimeDecidesWhetherAStopComesInTime(
      long reaction, long tolerated, boolean reachable) {
    var plant = new ModelBuilder("stop").reactsWithin(reaction);
    Var high = plant.comesAndGoes("pressure high");
    Var run = plant.bit("pump", Role.COMMAND);
    plant.scans(run.to(high.off()));
    plant.hazard("H", all(high.on(), run.on())).longerThan(tolerated);
    Model model = plant.build();
    var answer = TickJudge.reachable(model, model.claim("H"), PLENTY);
    assertEquals(reachable, answer instanceof Yes);
  }

  // Dosing without flow

  /**
   * Steps to "dosing, no flow", or -1. Sensors may stick true; a blocked pipe is an option. After the
   * outbreak reports in CDC MMWR 66(19), 2017; the table was computed by hand-written search.
   */
  @ParameterizedTest
  @CsvSource({
    "false, false, false, 0, 2", "true, false, false, 0, -1", "true, false, false, 1, 3",
    "false, true, false, 0, -1", "false, true, false, 1, 3", "true, true, false, 0, -1",
    "true, true, false, 1, -1", "true, true, false, 2, 4", "true, false, true, 0, 2",
    "false, true, true, 0, -1", "false, true, true, 1, 3", "true, true, true, 0, -1",
    "true, true, true, 1, 3",
  })
  void dosingWithoutFlowNeedsAsManyFaultsAsThereAreInterlocks(
      boolean contact, boolean flowSwitch, boolean blockage, int faults, int steps) {
    Var pump = m.bit("pump", Role.EQUIPMENT).starts(1);
    Var demand = m.bit("demand", Role.PANEL);
    Var blocked = m.bit("blocked", Role.PROCESS);
    Var contactStuck = m.bit("contact stuck", Role.FAULT);
    Var switchStuck = m.bit("switch stuck", Role.FAULT);
    m.change("pump").does(pump.to(pump.off()));
    m.change("demand").by(Cause.OPERATOR).does(demand.to(demand.off()));
    m.change("contact").by(Cause.FAULT).when(contactStuck.off()).does(contactStuck.to(1));
    m.change("switch").by(Cause.FAULT).when(switchStuck.off()).does(switchStuck.to(1));
    if (blockage) {
      m.change("blockage").does(blocked.to(blocked.off()));
    }
    Expr flow = m.definition("flow", all(pump.on(), blocked.off()));
    Expr contactReads = contact ? any(pump.on(), contactStuck.on()) : Expr.TRUE;
    Expr switchReads = flowSwitch ? any(flow, switchStuck.on()) : Expr.TRUE;
    m.hazard("H", all(demand.on(), contactReads, switchReads, not(flow))).tolerating(faults);
    TickJudge.Answer answer = judged();
    assertEquals(steps, answer instanceof Yes yes ? yes.trace().steps().size() : -1);
  }
}
