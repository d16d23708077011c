package stoplog.checker.reference;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertInstanceOf;
import static org.junit.jupiter.api.Assertions.assertTrue;
import static stoplog.checker.testkit.ModelBuilder.choose;
import static stoplog.checker.testkit.ModelBuilder.value;
import static stoplog.model.Expr.all;
import static stoplog.model.Expr.any;

import java.util.ArrayList;
import java.util.List;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import stoplog.checker.testkit.ModelBuilder;
import stoplog.checker.testkit.ModelBuilder.Var;
import stoplog.checker.testkit.ModelBuilder.Watch;
import stoplog.model.Claim;
import stoplog.model.FieldChange.Cause;
import stoplog.model.Model;
import stoplog.model.Role;
import stoplog.model.Trace;
import stoplog.model.Trace.Step;

/** A valve that is commanded open by a button and travels 4 to 8 quanta; "open for 3" is asked. */
class ReplayTest {
  private static final int START_PRESSED = 0;
  private static final int OPEN = 1;
  private final ModelBuilder m = new ModelBuilder("valve").reactsWithin(1);
  private Model model = m.build();

  @BeforeEach
  void valve() {
    Var valve = m.equipment("FV-101", "closed", "opening", "open");
    Var start = m.button("start");
    Var command = m.bit("FV-101.command", Role.COMMAND);
    Watch travel = m.clock("travel", valve.is("opening")).limit(8);
    m.change("FV-101 open").by(Cause.EQUIPMENT).between(travel, 4, 8).does(valve.to("open"));
    m.reactions(
        valve.to(
            choose(
                all(command.on(), valve.is("closed")),
                value(1),
                valve.read())));
    m.scans(
        command.to(any(start.on(), command.on())), start.to(0));
    m.hazard("H-01", valve.is("open")).longerThan(3);
    model = m.build();
  }

  private Replayed run(List<Integer> start, long end, Step... steps) {
    return Replay.run(
        model, model.claim("H-01"), new Trace(2, start, List.of(steps), end));
  }

  private Replayed run(long end, Step... steps) {
    return run(List.of(0, 0, 0), end, steps);
  }

  private static void assertInvalid(int step, String reason, Replayed replayed) {
    assertEquals(new Replayed.Invalid(step, reason), replayed);
  }

  @Test
  void aRunIsValidWithTheStatesBeforeAndAfterEveryStep() {
    Replayed replayed =
        run(
            19,
            new Step(1, Step.SCAN),
            new Step(1, START_PRESSED),
            new Step(3, Step.SCAN),
            new Step(5, Step.SCAN),
            new Step(12, OPEN));
    var valid = assertInstanceOf(Replayed.Valid.class, replayed);
    assertEquals(5, valid.moments().size());
    assertEquals(0, valid.start().value(0));
    Replayed.Moment opened = valid.moments().getLast();
    assertEquals(12, opened.tick());
    assertEquals(new Step(12, OPEN), opened.step());
    assertEquals(1, opened.before().value(0));
    assertEquals(9, opened.before().clockTicks(0));
    assertEquals(2, opened.after().value(0));
    assertEquals(7, valid.end().conditionTicks());
  }

  @Test
  void whereARunBreaksARuleItIsSaid() {
    assertInvalid(-1, "FV-101 does not start open", run(List.of(2, 0, 0), 1));
    assertInvalid(
        0, "a scan is due, and the controller reacts within 1 quanta", run(9, new Step(3, -1)));
    assertInvalid(
        0, "FV-101 open: its condition does not hold", runOpenWithGuard(new Step(1, OPEN)));
    assertInvalid(0, "FV-101 open: clock travel does not run", run(9, new Step(1, OPEN)));
    assertInvalid(1, "scan: no scan is due", run(9, new Step(1, -1), new Step(1, -1)));
    assertInvalid(0, "there is no field change 7", run(9, new Step(1, 7)));
    assertInvalid(0, "there is no field change -2", run(9, new Step(1, -2)));
    assertInvalid(1, "time does not run backwards", run(9, new Step(1, -1), new Step(0, 0)));
    assertInvalid(
        -1, "there are 3 variables, but 0 values to start with", run(List.of(), 9));
  }

  private Replayed runOpenWithGuard(Step step) {
    var guarded = new ModelBuilder("guarded");
    Var valve = guarded.equipment("FV-101", "closed", "open");
    guarded.change("nothing");
    guarded.change("FV-101 open").when(valve.is("open"));
    guarded.reactsWithin(1).hazard("H-01", valve.is("open"));
    Model other = guarded.build();
    return Replay.run(
        other, other.claim("H-01"), new Trace(2, List.of(0), List.of(step), 9));
  }

  @Test
  void aTraceWithoutTicksIsNone() {
    var trace = new Trace(0, List.of(0, 0, 0), List.of(), 9);
    assertInvalid(
        -1,
        "there is less than one tick to the quantum",
        Replay.run(model, model.claim("H-01"), trace));
  }

  @Test
  void theConditionMustHaveHeldForTooLongAtTheEnd() {
    Step[] steps = {
      new Step(0, -1), new Step(0, 0), new Step(0, -1), new Step(0, -1), new Step(8, 1)
    };
    assertInvalid(5, "the condition of H-01 has not held for long enough", run(14, steps));
    assertInstanceOf(Replayed.Valid.class, run(15, steps));
  }

  @Test
  void everyLimitHoldsToTheVeryEnd() {
    Step[] steps = {new Step(0, -1), new Step(0, 0), new Step(0, -1), new Step(0, -1)};
    assertInvalid(4, "clock travel may not run beyond its limit", run(17, steps));
    assertInvalid(4, "the condition of H-01 has not held for long enough", run(16, steps));
  }

  @Test
  void theEarliestTimesOfARunAreItsLeast() {
    var steps = List.of(Step.SCAN, START_PRESSED, Step.SCAN, Step.SCAN, OPEN);
    Trace trace = EarliestTimes.of(model, model.claim("H-01"), List.of(0, 0, 0), steps);
    var times = new ArrayList<Long>();
    trace.steps().forEach(s -> times.add(s.tick()));
    assertEquals(List.of(0L, 0L, 0L, 0L, 4L), times);
    assertEquals(8, trace.endTick());
    assertEquals(1, trace.ticksPerQuantum());
    assertTrue(Replay.run(model, model.claim("H-01"), trace) instanceof Replayed.Valid);
  }

  /** A run of what can always be begins, and stays, where its claim's assumption holds. */
  @Test
  void aRunStartsWhereWhatIsTakenForGrantedHolds() {
    var plant = new ModelBuilder("modes");
    Var mode = plant.bit("mode", Role.PANEL).startsAnywhere();
    plant.claim("C", Claim.Kind.ALWAYS_CAN, mode.read()).onlyWhile(mode.off());
    Model modes = plant.build();
    for (int start = 0; start < 2; start++) {
      var replayed =
          Replay.run(modes, modes.claim("C"), new Trace(1, List.of(start), List.of(), 0));
      assertEquals(start == 1, replayed instanceof Replayed.Invalid, replayed.toString());
    }
  }
}
