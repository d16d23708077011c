package stoplog.checker.reference;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;
import static stoplog.checker.testkit.ModelBuilder.choose;
import static stoplog.checker.testkit.ModelBuilder.value;
import static stoplog.model.Expr.all;
import static stoplog.model.Expr.any;

import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;
import stoplog.checker.testkit.ModelBuilder;
import stoplog.checker.testkit.ModelBuilder.Var;
import stoplog.checker.testkit.Run;
import stoplog.model.Claim;
import stoplog.model.Expr;
import stoplog.model.FieldChange.Cause;
import stoplog.model.Model;
import stoplog.model.Role;

/** The comment of {@link stoplog.model.Controller}, sentence by sentence. */
class ControllerTest {
  private final ModelBuilder m = new ModelBuilder("controller");

  /** Started, with the scan of the start done. */
  private Run settled() {
    return Run.of(m.build()).start().settle();
  }

  // What it can see

  @Test
  void aChangeOfWhatTheProgramReadsMakesAScanDue() {
    Var seen = m.switched("seen");
    Var out = m.bit("out", Role.COMMAND);
    m.scans(out.to(seen.read()));
    Run run = settled();
    assertEquals(0, run.due());
    assertFalse(run.mayScan());
    assertThrows(IllegalArgumentException.class, run::scan);
    run.does("seen on");
    assertEquals(1, run.due());
    assertEquals("on", run.scan().is("out"));
  }

  @Test
  void whatIsReadThroughADefinitionIsVisible() {
    Var truth = m.comesAndGoes("truth");
    Var out = m.bit("out", Role.COMMAND);
    Expr reading = m.definition("reading", m.definition("inner", truth.on()));
    m.scans(out.to(reading));
    assertEquals(1, settled().does("truth starts").due());
  }

  @Test
  void whatTheProgramNeitherReadsNorAssignsMakesNoScanDue() {
    Var seen = m.switched("seen");
    m.comesAndGoes("hidden");
    Var out = m.bit("out", Role.COMMAND);
    m.scans(out.to(seen.read()));
    assertEquals(0, settled().does("hidden starts").due());
  }

  /** A field change turns a command off; the program would turn it on again. */
  private Var commandThatFails() {
    Var out = m.bit("out", Role.COMMAND);
    m.change("out fails").does(out.to(0));
    m.scans(out.to(1));
    return out;
  }

  @Test
  void aChangeOfWhatTheProgramAssignsAndNobodyReadsMakesNoScanDue() {
    commandThatFails();
    assertEquals(0, settled().does("out fails").due());
  }

  @ParameterizedTest
  @ValueSource(
      strings = {
        "start", "reaction", "guard", "effect", "clock", "claim", "granted", "monitor",
        "other claim"
      })
  void aChangeOfWhatTheProgramAssignsMakesAScanDueIfSomethingElseReadsIt(String reader) {
    Var out = commandThatFails();
    Var other = m.bit("other", Role.EQUIPMENT);
    Var seen = m.monitor("seen");
    var unused = m.change("unused").when(other.on());
    var claim = m.hazard("H", other.on());
    switch (reader) {
      case "start" -> m.start(other.to(out.read()));
      case "reaction" -> m.reactions(other.to(out.read()));
      case "guard" -> unused.when(out.on());
      case "effect" -> unused.does(other.to(out.read()));
      case "clock" -> m.clock("c", m.definition("out is on", out.on()));
      case "claim" -> m.hazard("question", out.on());
      case "granted" -> m.claim("question", Claim.Kind.ALWAYS_CAN, other.on()).onlyWhile(out.on());
      case "monitor" -> claim.remembering(seen.to(out.read()));
      default -> m.hazard("not in question", out.on());
    }
    Model model = m.build();
    boolean another = reader.equals("claim") || reader.equals("granted");
    var question = model.claim(another ? "question" : "H");
    Run run = Run.of(model, question, 1).start().settle().does("out fails");
    assertEquals(reader.equals("other claim") ? 0 : 1, run.due());
  }

  @Test
  void aChangeThatLeavesEverythingAsItWasMakesNoScanDue() {
    Var seen = m.switched("seen");
    Var out = m.bit("out", Role.COMMAND);
    m.change("nothing").does(seen.to(seen.read()));
    m.change("there and back").does(seen.to(1), seen.to(0));
    m.scans(out.to(seen.read()));
    assertEquals(0, settled().does("nothing").does("there and back").due());
  }

  // After a scan

  @Test
  void aScanThatChangesSomethingVisibleMakesAnotherDue() {
    Var seen = m.switched("seen");
    Var first = m.bit("first", Role.MEMORY);
    Var second = m.bit("second", Role.MEMORY);
    // Second is evaluated before first, so it follows one scan later.
    m.scans(second.to(first.read()), first.to(seen.read()));
    Run run = settled().does("seen on").scan();
    assertEquals("on", run.is("first"));
    assertEquals("off", run.is("second"));
    assertEquals(1, run.due());
    run.scan();
    assertEquals("on", run.is("second"));
    assertEquals(0, run.due(), "second is assigned, but not read before that");
  }

  @Test
  void aScanThatChangesOnlyWhatIsAssignedBeforeItIsReadIsTheLast() {
    Var seen = m.switched("seen");
    Var first = m.bit("first", Role.MEMORY);
    Var second = m.bit("second", Role.MEMORY);
    m.scans(first.to(seen.read()), second.to(first.read()));
    Run run = settled().does("seen on").scan();
    assertEquals("on", run.is("second"));
    assertEquals(0, run.due());
  }

  @Test
  void reactionsToAScanCount() {
    Var command = m.bit("command", Role.COMMAND);
    Var position = m.bit("position", Role.EQUIPMENT);
    Var seen = m.switched("seen");
    m.scans(command.to(any(seen.on(), position.on())));
    m.reactions(position.to(command.read()));
    Run run = settled().does("seen on").scan();
    assertEquals(1, run.due(), "the position has changed and is read");
    assertEquals(0, run.scan().due());
  }

  @Test
  void aScanThatNeverSettlesStaysDue() {
    Var memory = m.bit("memory", Role.MEMORY);
    m.scans(memory.to(Expr.not(memory.read())));
    Run run = Run.of(m.build()).start();
    for (int i = 0; i < 10; i++) {
      assertEquals(1, run.scan().due());
      assertEquals(0, run.mayPass());
    }
  }

  @Test
  void aButtonIsConsumedByOneScan() {
    Var start = m.button("start");
    Var presses = m.number("presses", Role.MEMORY, 8);
    m.scans(
        presses.to(choose(all(start.on(), presses.is(0)), value(1), presses.read())),
        start.to(0));
    Run run = settled().does("start pressed");
    assertFalse(run.can("start pressed"), "it is pressed already");
    run.scan();
    assertEquals(1, run.value("presses"));
    assertEquals("off", run.is("start"));
    run.settle();
    assertEquals(1, run.value("presses"));
    assertTrue(run.can("start pressed"));
  }

  // Reaction time above 0

  private Run reacting(long within) {
    Var a = m.switched("a");
    Var b = m.switched("b");
    Var out = m.bit("out", Role.COMMAND);
    m.reactsWithin(within).scans(out.to(all(a.on(), b.on())));
    return settled();
  }

  @Test
  void aDueScanHappensAtAnyInstantWithinTheReactionTime() {
    Run run = reacting(4).pass(100).does("a on");
    assertEquals(4, run.mayPass());
    assertTrue(run.copy().mayScan(), "at once");
    assertTrue(run.copy().pass(4).mayScan(), "at the last moment");
    assertThrows(IllegalArgumentException.class, () -> run.copy().pass(5));
  }

  @Test
  void theReactionTimeCountsFromTheFirstUnseenChange() {
    Run run = reacting(4).does("a on").pass(3).does("b on");
    assertEquals(1, run.due(), "only 0 or not matters");
    assertEquals(1, run.mayPass());
    assertEquals("on", run.scan().is("out"), "it sees several changes at once");
  }

  @Test
  void anyNumberOfChangesMayShareAScanAndAPulseMayGoUnseen() {
    Run run = reacting(4).does("b on").settle();
    run.does("a on").pass(1).does("a off").does("a on").does("a off").scan();
    assertEquals("off", run.is("out"));
  }

  @Test
  void afterAScanThatLeavesAnotherDueTheReactionTimeCountsAnew() {
    Var memory = m.bit("memory", Role.MEMORY);
    m.reactsWithin(4).scans(memory.to(Expr.not(memory.read())));
    Run run = Run.of(m.build()).start().pass(3).scan();
    assertEquals(4, run.mayPass());
  }

  // Reaction time 0

  private Run immediate(int coincident) {
    Var a = m.switched("a");
    Var b = m.switched("b");
    Var far = m.comesAndGoes("far");
    Var near = m.bit("near", Role.EQUIPMENT);
    m.comesAndGoes("hidden");
    Var out = m.bit("out", Role.COMMAND);
    Expr nearOn = m.definition("near on", near.on());
    Expr farOn = m.definition("far on", far.on());
    m.reactions(near.to(farOn));
    m.coincident(coincident).scans(out.to(any(all(a.on(), b.on()), nearOn)));
    return settled();
  }

  @Test
  void noTimePassesWhileAnImmediateScanIsDue() {
    Run run = immediate(1).pass(7).does("a on");
    assertEquals(0, run.mayPass());
    var thrown = assertThrows(IllegalArgumentException.class, () -> run.copy().pass(1));
    assertEquals("a scan is due, and it comes at once", thrown.getMessage());
    assertEquals(Long.MAX_VALUE, run.scan().mayPass());
  }

  @Test
  void noMoreThanCoincidentChangesShareAScan() {
    assertFalse(immediate(1).does("a on").can("b on"));
    Run two = Run.of(m.coincident(2).build()).start().settle().does("a on");
    assertEquals(1, two.due());
    two.does("b on");
    assertEquals(2, two.due());
    assertEquals(
        "the controller scans first: no more than 2 changes share a scan", two.whyNot("a off"));
    assertEquals("on", two.scan().is("out"));
  }

  @Test
  void changesThatLeaveTheWatchedAsItIsAreNeverHeldBack() {
    Run run = immediate(1).does("a on");
    assertTrue(run.can("hidden starts"));
    assertEquals(1, run.does("hidden starts").due());
  }

  @Test
  void aChangeThatIsSeenThroughAReactionIsHeldBack() {
    assertFalse(immediate(1).does("a on").can("far starts"));
  }

  @Test
  void whatIsHeldBackIsDecidedByValue() {
    Var a = m.switched("a");
    Var b = m.bit("b", Role.INSTRUMENT);
    Var out = m.bit("out", Role.COMMAND);
    m.change("b follows a").does(b.to(a.read()));
    m.change("b drops").does(b.to(0));
    m.scans(out.to(all(a.on(), b.on())));
    Run run = settled().does("a on");
    assertFalse(run.can("b follows a"), "b would make");
    assertTrue(run.can("b drops"), "it has dropped");
  }

  // Power

  private Run powered(long reaction) {
    Var power = m.bit("power", Role.POWER).starts(1);
    Var a = m.switched("a");
    Var out = m.bit("out", Role.COMMAND);
    m.change("power fails").by(Cause.POWER).when(power.on()).does(power.to(0), out.to(0), a.to(0));
    m.change("power returns").by(Cause.POWER).when(power.off()).does(power.to(1));
    m.powered(power.on()).reactsWithin(reaction).scans(out.to(a.read()));
    return settled();
  }

  @Test
  void withoutPowerNothingIsDueAndNoScanHappens() {
    Run run = powered(0).does("a on").settle();
    assertEquals("on", run.is("out"));
    run.does("power fails");
    assertEquals("off", run.is("out"));
    assertEquals(0, run.due());
    run.does("a on").does("a off");
    assertEquals(0, run.due());
    assertFalse(run.mayScan());
    assertEquals(Long.MAX_VALUE, run.mayPass());
  }

  @Test
  void powerFailureDropsAScanThatWasDue() {
    Run run = powered(4).does("a on").does("power fails");
    assertEquals(0, run.due());
    assertEquals(State.NOT_RUNNING, run.state().dueTicks());
  }

  @Test
  void powerFailureIsNeverHeldBack() {
    Run run = powered(0).does("a on");
    assertFalse(run.can("a off"));
    assertTrue(run.can("power fails"), "though a drops too");
  }

  @Test
  void whenPowerReturnsAScanIsDueAndSeesEverythingAsItStands() {
    Run run = powered(4).does("power fails").does("a on").pass(100).does("power returns");
    assertEquals(1, run.due());
    assertEquals(4, run.mayPass());
    assertEquals("on", run.scan().is("out"));
  }

  @Test
  void aPlantWithoutLogicNeverScans() {
    Var power = m.bit("power", Role.POWER);
    m.change("power returns").by(Cause.POWER).when(power.off()).does(power.to(1));
    m.powered(power.on());
    Run run = Run.of(m.build()).start();
    assertEquals(0, run.does("power returns").due());
    assertFalse(run.mayScan());
    m.powered(Expr.TRUE);
    assertEquals(0, Run.of(m.build()).start().due());
  }
}
