package stoplog.checker.reference;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;
import static stoplog.checker.testkit.ModelBuilder.choose;
import static stoplog.checker.testkit.ModelBuilder.shift;
import static stoplog.checker.testkit.ModelBuilder.value;

import java.util.HashSet;
import java.util.Iterator;
import java.util.List;
import org.junit.jupiter.api.Test;
import stoplog.checker.testkit.ModelBuilder;
import stoplog.checker.testkit.ModelBuilder.Var;
import stoplog.checker.testkit.Run;
import stoplog.model.Model;
import stoplog.model.Role;

/** The paragraph "Start" of the model's package comment. */
class StartTest {
  @Test
  void everyCombinationOfInitialValuesIsAPossibleStart() {
    var m = new ModelBuilder("starts");
    m.number("a", Role.PROCESS, 64).starts(0, 5, 63);
    m.number("b", Role.PROCESS, 4).starts(2);
    m.bit("c", Role.PROCESS).startsAnywhere();
    var seen = new HashSet<List<Integer>>();
    Iterator<List<Integer>> starts = new Interpreter(m.build(), Run.NO_CLAIM, 1).startValues();
    starts.forEachRemaining(s -> assertTrue(seen.add(s), "twice " + s));
    assertEquals(6, seen.size());
    assertTrue(seen.contains(List.of(63, 2, 1)));
    assertTrue(seen.contains(List.of(5, 2, 0)));
  }

  @Test
  void noOtherValueIsAStart() {
    var m = new ModelBuilder("starts");
    m.equipment("FV-101", "closed", "open");
    var interpreter = new Interpreter(m.build(), Run.NO_CLAIM, 1);
    assertEquals("FV-101 does not start open", interpreter.whyNotStart(List.of(1)));
    assertEquals("FV-101 has no value 2", interpreter.whyNotStart(List.of(2)));
    assertEquals(
        "there are 1 variables, but 0 values to start with", interpreter.whyNotStart(List.of()));
    assertThrows(IllegalArgumentException.class, () -> interpreter.start(List.of(1)));
  }

  @Test
  void startAssignmentsThenReactionsThenMonitorsAreCarriedOutOnce() {
    var m = new ModelBuilder("order");
    Var a = m.number("a", Role.PROCESS, 10);
    Var b = m.number("b", Role.EQUIPMENT, 10);
    Var seen = m.number("seen", Role.MONITOR, 10);
    m.start(a.to(3));
    m.reactions(b.to(shift(a.read(), 1)), a.to(shift(a.read(), 4)));
    m.hazard("H", a.is(9)).remembering(seen.to(shift(seen.read(), 1)));
    Run run = Run.of(m.build()).start();
    assertEquals(7, run.value("a"), "start assignment, then one reaction");
    assertEquals(4, run.value("b"), "the reaction saw the start assignment");
    assertEquals(1, run.value("seen"), "the monitor ran once");
  }

  @Test
  void aScanIsDueIfTheControllerIsPowered() {
    var m = new ModelBuilder("power");
    Var power = m.bit("power", Role.POWER).startsAnywhere();
    Var out = m.bit("out", Role.COMMAND);
    Model model = m.powered(power.on()).scans(out.to(1)).build();
    assertEquals(0, Run.of(model).start("power", "off").due());
    assertEquals(1, Run.of(model).start("power", "on").due());
    assertFalse(Run.of(model).start("power", "off").mayScan());
  }

  @Test
  void clocksThatRunAtTheStartAreAtZero() {
    var m = new ModelBuilder("clocks");
    Var a = m.bit("a", Role.PROCESS).startsAnywhere();
    m.clock("on", a.on());
    m.clock("off", a.off());
    m.hazard("H", a.on());
    Run run = Run.of(m.build()).start("a", "on");
    assertEquals(0, run.clock("on"));
    assertEquals(State.NOT_RUNNING, run.clock("off"));
    assertEquals(0, run.state().conditionTicks());
  }

  @Test
  void aValueOutsideItsDomainIsAMalformedModel() {
    var m = new ModelBuilder("malformed");
    Var a = m.bit("a", Role.PROCESS).startsAnywhere();
    m.start(a.to(choose(a.on(), value(2), value(0))));
    Model model = m.build();
    Run.of(model).start("a", "off");
    assertThrows(IllegalStateException.class, () -> Run.of(model).start("a", "on"));
  }
}
