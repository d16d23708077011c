package stoplog.checker.certificate;

import static stoplog.checker.testkit.ModelBuilder.choose;
import static stoplog.checker.testkit.ModelBuilder.shift;
import static stoplog.checker.testkit.ModelBuilder.value;
import static stoplog.model.Expr.all;
import static stoplog.model.Expr.any;
import static stoplog.model.Expr.not;

import java.util.ArrayList;
import java.util.List;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.EnumSource;
import org.junit.jupiter.params.provider.ValueSource;
import stoplog.checker.testkit.ModelBuilder.Var;
import stoplog.model.Expr;
import stoplog.model.FieldChange.Cause;
import stoplog.model.Model;
import stoplog.model.Role;

/** As {@link ForgedStepsTest}, of scans: when they come, what they hold back, and power. */
class ForgedScansTest extends Forgery {
  private static final String DUE = Certificate.Bound.DUE;
  private static final String CONDITION = Certificate.Bound.CONDITION;

  /** Who may read an output, beside the program. */
  enum Reader { START, REACTION, GUARD, EFFECT, CLOCK, CONDITION, MONITOR, PROGRAM }

  /** The field upsets, in its time, an output that somebody reads: a scan is due. */
  @ParameterizedTest
  @EnumSource
  void outputThatSomebodyReadsIsWatched(Reader reader) {
    Var upset = m.bit("upset", Role.PROCESS);
    Var output = m.bit("output", Role.MEMORY);
    Var other = m.bit("other", reader == Reader.MONITOR ? Role.MONITOR : Role.PROCESS);
    var calm = m.clock("calm", upset.off());
    m.change("upsets").from(calm, 1).does(upset.to(1), output.to(1));
    boolean read = reader == Reader.PROGRAM;
    m.scans(output.to(read ? all(output.on(), output.off()) : value(0)));
    Expr never = all(upset.on(), upset.off());
    var hazard = m.hazard("H-1", reader == Reader.CONDITION ? all(output.on(), never) : never);
    switch (reader) {
      case START -> m.start(other.to(output.read()));
      case REACTION -> m.reactions(other.to(output.read()));
      case GUARD -> m.change("other").when(output.on()).does(other.to(1));
      case EFFECT -> m.change("other").does(other.to(output.read()));
      case CLOCK -> m.clock("other", output.on());
      case MONITOR -> hazard.remembering(other.to(output.read()));
      case CONDITION, PROGRAM -> {}
    }
    Model model = m.build();
    boolean three = reader == Reader.MONITOR;
    List<String> keeps = three ? List.of("upset", "output", "other") : List.of("upset", "output");
    var states = new ArrayList<Certificate.State>();
    states.add(within(three ? due(1, 0, 0, 0) : due(1, 0, 0), upTo("calm", 0)));
    states.add(three ? due(0, 0, 0, 0) : due(0, 0, 0));
    states.add(three ? due(0, 1, 1, 1) : due(0, 1, 1));
    Certificate.State[] given = states.toArray(Certificate.State[]::new);
    assertLeadsOut("upsets", model, tellingDue(model, keeps, given));
  }

  /** An output that is not read before it is assigned asks for no second scan. */
  @Test
  void whatTheLogicDoesNotSeeAsksForNoScanAfterAScan() {
    Var output = m.bit("output", Role.MEMORY);
    m.scans(output.to(1));
    m.hazard("H-1", all(output.on(), output.off()));
    Model model = m.build();
    assertStands(model, tellingDue(model, List.of("output"), due(1, 0), due(0, 1)));
  }

  // When a scan is due

  @Test
  void scanIsDueAtTheStart() {
    Var lamp = m.bit("lamp", Role.COMMAND);
    m.scans(lamp.to(1));
    m.hazard("H-1", lamp.on());
    Model model = m.build();
    assertLeadsOut("a start", model, tellingDue(model, List.of("lamp"), due(0, 0)));
    assertLeadsOut("a scan", model, tellingDue(model, List.of("lamp"), due(1, 0)));
  }

  @Test
  void scanComesAtAnyTimeIfItIsNotToldWhetherItIsDue() {
    Var lamp = m.bit("lamp", Role.COMMAND);
    m.scans(lamp.to(1));
    m.hazard("H-1", lamp.on());
    Model model = m.build();
    assertLeadsOut("a scan", model, of(model, List.of("lamp"), state(0)));
  }

  /** A scan that changes nothing makes it so that none is due; then time passes. */
  @Test
  void scanThatChangesNothingIsAStep() {
    Var lit = m.bit("lit", Role.PROCESS);
    Var lamp = m.bit("lamp", Role.COMMAND);
    var dark = m.clock("dark", lit.off());
    m.change("lights").from(dark, 3).does(lit.to(1));
    m.scans(lamp.to(0));
    m.hazard("H-1", lit.on());
    Model model = m.build();
    List<String> keeps = List.of("lit", "lamp");
    Certificate.State still = within(due(1, 0, 0), upTo("dark", 0));
    assertLeadsOut("a scan", model, tellingDue(model, keeps, still));
  }

  /** What may happen while none is due may not happen while one is: the states are two. */
  @Test
  void stateInWhichAScanIsDueStandsForNoOther() {
    Var input = m.comesAndGoes("input");
    Var lamp = m.bit("lamp", Role.COMMAND);
    m.scans(lamp.to(input.read()));
    m.hazard("H-1", input.on());
    Model model = m.build();
    List<String> keeps = List.of("input", "lamp");
    assertLeadsOut("a scan", model, tellingDue(model, keeps, due(1, 0, 0)));
    assertLeadsOut("input starts", model, tellingDue(model, keeps, due(1, 0, 0), due(0, 0, 0)));
  }

  /** A counter that each scan moves asks for the next. */
  private Model counting(long longerThan) {
    m.reactsWithin(2);
    Var count = m.number("count", Role.MEMORY, 3);
    m.scans(count.to(choose(count.is(2), value(2), shift(count.read(), 1))));
    m.hazard("H-1", not(count.is(2))).longerThan(longerThan);
    return m.build();
  }

  /** Each of two scans takes up to the reaction time. */
  @ParameterizedTest
  @CsvSource({"3, false", "4, true"})
  void eachScanHasTheReactionTimeAfresh(long longerThan, boolean stands) {
    Model model = counting(longerThan);
    Certificate c =
        tellingDue(
            model, List.of("count"),
            within(due(1, 0), upTo(DUE, 2), ahead(CONDITION, DUE, 0)),
            within(due(1, 1), upTo(DUE, 2), ahead(CONDITION, DUE, 2), upTo(CONDITION, longerThan)),
            due(1, 2), due(0, 2));
    if (stands) {
      assertStands(model, c);
    } else {
      assertLeadsOut("a scan", model, c);
    }
  }

  /** The scan may come at the very end of the reaction time, and time passes until then. */
  @ParameterizedTest
  @ValueSource(booleans = {true, false})
  void timePassesToTheEndOfTheReactionTime(boolean atOnce) {
    Model model = counting(9);
    Certificate.State first =
        within(due(1, 0), atOnce ? upTo(DUE, 0) : below(DUE, 2), ahead(CONDITION, DUE, 0));
    assertLeadsOut(
        "a start",
        model,
        tellingDue(
            model, List.of("count"), first, within(due(1, 1), upTo(CONDITION, 9)), due(1, 2),
            due(0, 2)));
  }

  // What a scan that is due holds back

  /** An input comes while the scan of the start is due, or else never. */
  private Model early(boolean seen) {
    Var input = m.bit("input", Role.PROCESS);
    Var lamp = m.bit("lamp", Role.COMMAND);
    m.change("comes").when(lamp.off()).does(input.to(1));
    m.scans(lamp.to(seen ? any(input.on(), input.off()) : value(1)));
    m.hazard("H-1", input.on());
    return m.build();
  }

  private static Certificate without(Model model) {
    return tellingDue(model, List.of("input", "lamp"), due(1, 0, 0), due(0, 0, 1));
  }

  @Test
  void changeThatTheScanHasNoRoomForWaits() {
    Model model = early(true);
    assertStands(model, without(model));
  }

  @Test
  void changeThatTheControllerDoesNotSeeDoesNotWait() {
    Model model = early(false);
    assertLeadsOut("comes", model, without(model));
  }

  @Test
  void changeThatSharesTheScanDoesNotWait() {
    m.coincident(2);
    Model model = early(true);
    assertLeadsOut("comes", model, without(model));
  }

  @Test
  void withAReactionTimeNothingWaits() {
    m.reactsWithin(2);
    Model model = early(true);
    assertLeadsOut("comes", model, without(model));
  }

  /** That a group turns over is seen if all its members are; else it may be one that is not. */
  @ParameterizedTest
  @ValueSource(booleans = {true, false})
  void groupThatTurnsOverIsSeenIfItsMembersAre(boolean both) {
    Var a = m.switched("a");
    Var b = m.switched("b");
    Var lamp = m.bit("lamp", Role.COMMAND);
    m.scans(lamp.to(both ? any(a.on(), b.on()) : all(a.on(), a.off())));
    m.hazard("H-1", both ? all(any(a.on(), b.on()), lamp.off()) : lamp.on());
    Model model = m.build();
    var group =
        new Certificate.Group(
            1, List.of(new Certificate.Member("a", 2), new Certificate.Member("b", 2)));
    Certificate.State[] states =
        both
            ? new Certificate.State[] {
              told(1, 0, false), told(0, 0, false), within(told(1, 0, true), upTo(CONDITION, 0)),
              told(0, 1, true), told(1, 1, false)
            }
            : new Certificate.State[] {
              told(1, 0, false), told(0, 0, false), told(0, 0, true), told(1, 0, true)
            };
    assertStands(model, certificate(model, List.of("lamp"), List.of(group), true, states));
    if (!both) {
      // Without the state that is reached though nothing was seen.
      assertLeadsOut(
          "a on",
          model,
          certificate(
              model, List.of("lamp"), List.of(group), true, states[0], states[1], states[3]));
    }
  }

  private static Certificate.State told(int due, int lamp, boolean group) {
    return new Certificate.State(List.of(lamp), List.of(group), due, 0, List.of());
  }

  // Power

  @Test
  void powerThatIsNotKnownTellsOfNoScan() {
    Var power = m.bit("power", Role.POWER).startsAnywhere();
    Var lamp = m.bit("lamp", Role.COMMAND);
    m.powered(power.on());
    m.scans(lamp.to(1));
    m.hazard("H-1", all(lamp.on(), lamp.off()));
    Model model = m.build();
    assertRefused(
        "it does not keep what tells whether the controller has power",
        model,
        tellingDue(model, List.of("lamp"), due(1, 0), due(0, 1), due(0, 0)));
  }

  @Test
  void powerFailureDoesNotWaitForAScan() {
    Var power = m.bit("power", Role.POWER).starts(1);
    Var lamp = m.bit("lamp", Role.COMMAND);
    m.powered(power.on());
    m.change("power fails").by(Cause.POWER).when(all(power.on(), lamp.off())).does(power.to(0));
    m.scans(lamp.to(any(power.on(), power.off())));
    m.hazard("H-1", power.off());
    Model model = m.build();
    assertLeadsOut(
        "power fails",
        model,
        tellingDue(model, List.of("power", "lamp"), due(1, 1, 0), due(0, 1, 1)));
  }

  @Test
  void withoutPowerNoScanIsDue() {
    Var power = m.bit("power", Role.POWER).starts(1);
    Var lamp = m.bit("lamp", Role.COMMAND);
    m.powered(power.on());
    m.change("power fails").by(Cause.POWER).when(power.on()).does(power.to(0));
    m.scans(lamp.to(power.read()));
    m.hazard("H-1", all(lamp.on(), lamp.off()));
    Model model = m.build();
    assertLeadsOut(
        "power fails",
        model,
        tellingDue(
            model, List.of("power", "lamp"), due(1, 1, 0), due(0, 1, 1), due(1, 0, 1),
            due(1, 0, 0)));
  }

  /** The field answers to the scan by taking the power away. */
  @Test
  void scanThatEndsThePowerAsksForNoOther() {
    Var power = m.bit("power", Role.POWER).starts(1);
    Var lamp = m.bit("lamp", Role.COMMAND);
    m.powered(power.on());
    m.scans(lamp.to(any(lamp.on(), lamp.off())));
    m.reactions(power.to(choose(lamp.on(), value(0), power.read())));
    m.hazard("H-1", all(lamp.on(), lamp.off()));
    Model model = m.build();
    assertLeadsOut(
        "a scan", model, tellingDue(model, List.of("power", "lamp"), due(1, 1, 0), due(1, 0, 1)));
  }

  /** When power returns a scan is due, though the controller has seen nothing. */
  @Test
  void scanIsDueWhenPowerReturns() {
    Var power = m.bit("power", Role.POWER);
    Var lamp = m.bit("lamp", Role.COMMAND);
    m.powered(power.on());
    m.change("power returns").by(Cause.POWER).when(power.off()).does(power.to(1));
    m.scans(lamp.to(1));
    m.hazard("H-1", lamp.on());
    Model model = m.build();
    assertLeadsOut(
        "power returns",
        model,
        tellingDue(model, List.of("power", "lamp"), due(0, 0, 0), due(0, 1, 0)));
  }
}
