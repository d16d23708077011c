package stoplog.checker.certificate;

import static stoplog.model.Expr.any;

import java.util.List;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.ValueSource;
import stoplog.checker.testkit.ModelBuilder.Var;
import stoplog.checker.testkit.ModelBuilder.Watch;
import stoplog.model.Bound;
import stoplog.model.Expr;
import stoplog.model.Model;
import stoplog.model.Role;

/** As {@link ForgedStepsTest}, of time. */
class ForgedTimesTest extends Forgery {
  private static final String MOVING = "moving";
  private static final String CONDITION = Certificate.Bound.CONDITION;

  /** A valve that opens in this window of a clock with this limit. */
  private Model valve(Bound earliest, Bound latest, Bound limit) {
    Var valve = m.equipment("valve", "moving", "open");
    Watch moving = m.clock(MOVING, valve.is("moving"));
    if (limit != null) {
      moving.limit(limit);
    }
    m.change("opens").within(moving, earliest, latest).does(valve.to("open"));
    m.hazard("H-1", valve.is("open"));
    return m.build();
  }

  // Windows and limits that meet in one instant

  @Test
  void windowThatOpensAtTheLimitIsOpenThere() {
    Model closed = valve(Bound.at(4), null, Bound.at(4));
    assertLeadsOut("opens", closed, of(closed, List.of("valve"), state(0)));
  }

  @Test
  void windowThatOpensAfterTheLimitIsNot() {
    Model open = valve(Bound.open(4), null, Bound.at(4));
    assertStands(open, of(open, List.of("valve"), within(state(0), upTo(MOVING, 4))));
  }

  @ParameterizedTest
  @ValueSource(booleans = {true, false})
  void windowOfOneInstantIsOpenIfBothItsEndsAre(boolean closed) {
    Model model = valve(Bound.at(3), new Bound(3, closed), null);
    Certificate c = of(model, List.of("valve"), state(0));
    if (closed) {
      assertLeadsOut("opens", model, c);
    } else {
      assertStands(model, c);
    }
  }

  /** Time comes to a limit that is attained, and only near to one that is not. */
  @ParameterizedTest
  @CsvSource({"true, false", "false, true"})
  void timeComesToTheLimit(boolean closed, boolean stands) {
    Model model = valve(Bound.at(9), null, new Bound(8, closed));
    Certificate c = of(model, List.of("valve"), within(state(0), below(MOVING, 8)));
    if (stands) {
      assertStands(model, c);
    } else {
      assertLeadsOut("a start", model, c);
    }
  }

  // How long the condition has held

  /** The condition may hold for this long, and no longer, be it by less than a quantum. */
  @ParameterizedTest
  @CsvSource({"3, true, true", "4, false, false", "4, true, false", "3, false, true"})
  void longerThanIsStrict(long limit, boolean closed, boolean stands) {
    Var valve = m.equipment("valve", "moving", "open");
    Watch moving = m.clock(MOVING, valve.is("moving")).limit(new Bound(limit, closed));
    m.change("opens").from(moving, 0).does(valve.to("open"));
    m.hazard("H-1", valve.is("moving")).longerThan(3);
    Model model = m.build();
    Certificate c =
        of(
            model, List.of("valve"),
            within(state(0), new Certificate.Bound(CONDITION, "0", limit, closed)), state(1));
    if (stands) {
      assertStands(model, c);
    } else {
      assertRefused("it holds a state that breaks the claim", model, c);
    }
  }

  // Clocks that run on, and clocks that start

  /** Two strokes of a cycle, during all of which the condition holds. */
  @ParameterizedTest
  @CsvSource({"4, false", "5, true"})
  void clockThatRunsBeforeAndAfterAStepRunsOn(long bound, boolean stands) {
    Var stage = m.number("stage", Role.PROCESS, 3);
    for (int i = 0; i < 2; i++) {
      Watch at = m.clock("stage " + i, stage.is(i)).limit(i == 0 ? 2 : 3);
      m.change("leaves " + i).between(at, 1, 3).does(stage.to(i + 1));
    }
    m.hazard("H-1", any(stage.is(0), stage.is(1))).longerThan(bound);
    Model model = m.build();
    Certificate c =
        of(
            model, List.of("stage"),
            within(
                state(0), upTo(CONDITION, 2), ahead(CONDITION, "stage 0", 0),
                ahead("stage 0", CONDITION, 0)),
            within(
                state(1), upTo("stage 1", 3), upTo(CONDITION, bound),
                ahead(CONDITION, "stage 1", 2), ahead("stage 1", CONDITION, -1)),
            state(2));
    if (stands) {
      assertStands(model, c);
    } else {
      assertLeadsOut("leaves 0", model, c);
    }
  }

  /** One clock is ahead by less than 4: when it reads 7, the other reads more than 3. */
  @Test
  void sumOfAnAttainedAndAnOpenBoundIsOpen() {
    Var stage = m.number("stage", Role.PROCESS, 4);
    Watch first = m.clock("first", Expr.TRUE).limit(7);
    Watch second = m.clock("second", stage.is("1", "2"));
    m.change("on").when(stage.is(0)).within(first, Bound.at(0), Bound.open(4)).does(stage.to(1));
    m.change("at the end").when(stage.is(1)).from(first, 7).does(stage.to(2));
    m.change("out").when(stage.is(2)).between(second, 0, 3).does(stage.to(3));
    m.hazard("H-1", stage.is(3));
    Model model = m.build();
    var close = new Certificate.Bound("first", "second", 4, false);
    var late = new Certificate.Bound("0", "second", -3, false);
    assertStands(
        model,
        of(model, List.of("stage"), state(0), within(state(1), close), within(state(2), late)));
  }

  // Bounds that are none

  @Test
  void boundsBeyondAllTimesAreRefused() {
    Model model = valve(Bound.at(9), null, Bound.at(8));
    for (long quanta : new long[] {Long.MAX_VALUE, Long.MIN_VALUE + 1, 1L << 62, -(1L << 62)}) {
      assertRefused(
          "it has a bound beyond any time of a plant",
          model,
          of(model, List.of("valve"), within(state(0), upTo(MOVING, quanta))));
    }
  }

  @Test
  void boundsThatContradictEachOtherAreRefused() {
    Model model = valve(Bound.at(9), null, Bound.at(8));
    assertRefused(
        "a state has bounds that contradict each other",
        model,
        of(model, List.of("valve"), within(state(0), upTo(MOVING, -1))));
  }
}
