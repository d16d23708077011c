package stoplog.checker.certificate;

import static stoplog.checker.testkit.ModelBuilder.choose;
import static stoplog.checker.testkit.ModelBuilder.same;
import static stoplog.checker.testkit.ModelBuilder.shift;
import static stoplog.checker.testkit.ModelBuilder.value;
import static stoplog.model.Expr.all;
import static stoplog.model.Expr.any;
import static stoplog.model.Expr.not;

import java.util.Arrays;
import java.util.List;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.ValueSource;
import stoplog.checker.testkit.ModelBuilder.Var;
import stoplog.model.Claim;
import stoplog.model.Expr;
import stoplog.model.FieldChange.Cause;
import stoplog.model.Model;
import stoplog.model.Role;

/**
 * For each thing that the checker asks of starts, steps and values a certificate that nothing but
 * this refuses. (Time: {@link ForgedTimesTest}; scans:
 * {@link ForgedScansTest}; cases: {@link ForgedCasesTest}.)
 */
class ForgedStepsTest extends Forgery {
  // What it is made for

  @Test
  void whatWasMadeForAnotherPlantIsRefused() {
    Var a = m.bit("a", Role.PROCESS);
    m.hazard("H-1", a.on());
    Model model = m.build();
    assertStands(model, of(model, List.of("a"), state(0)));
    assertRefused(
        "it was made for another plant, or for another version of this one",
        model,
        of(model, List.of("a"), state(0)).madeFor("0"));
  }

  @Test
  void whatCanAlwaysBeHasNoSuchProof() {
    m.claim("H-1", Claim.Kind.ALWAYS_CAN, m.switched("a").on());
    Model model = m.build();
    assertRefused(
        "it speaks of what can be reached, and H-1 of what always can",
        model,
        of(model, List.of("a"), state(0), state(1)));
  }

  @Test
  void statesThatFitNothingAreRefused() {
    Var a = m.switched("a");
    m.hazard("H-1", all(a.on(), a.off()));
    Model model = m.build();
    String wrongWidth = "a state gives too few or too many values";
    assertRefused(wrongWidth, model, of(model, List.of("a"), state(0, 0)));
    assertRefused(wrongWidth, model, of(model, List.of("a"), state()));
    String wrongValue = "a state gives a a value it cannot have";
    assertRefused(wrongValue, model, of(model, List.of("a"), state(2)));
    assertRefused(wrongValue, model, of(model, List.of("a"), state(-1)));
    assertRefused("a is kept twice", model, of(model, List.of("a", "a"), state(0, 0)));
  }

  @Test
  void stateThatBreaksTheClaimIsRefused() {
    Var a = m.switched("a");
    m.hazard("H-1", a.on());
    Model model = m.build();
    Certificate c = of(model, List.of("a"), state(0), state(1));
    assertRefused("it holds a state that breaks the claim", model, c);
  }

  // Starts

  @Test
  void everyStartIsLookedAt() {
    Var a = m.bit("a", Role.PROCESS).startsAnywhere();
    m.hazard("H-1", a.on());
    Model model = m.build();
    assertLeadsOut("a start", model, of(model, List.of("a"), state(0)));
  }

  @Test
  void startAssignmentsAreCarriedOut() {
    Var a = m.bit("a", Role.PROCESS);
    m.start(a.to(1));
    m.hazard("H-1", a.on());
    Model model = m.build();
    assertLeadsOut("a start", model, of(model, List.of("a"), state(0)));
  }

  @Test
  void fieldAnswersToTheStart() {
    Var valve = m.bit("valve", Role.EQUIPMENT);
    m.reactions(valve.to(1));
    m.hazard("H-1", valve.on());
    Model model = m.build();
    assertLeadsOut("a start", model, of(model, List.of("valve"), state(0)));
  }

  // Steps

  @Test
  void whatTheClaimRemembersMovesWithEveryStep() {
    Var a = m.comesAndGoes("a");
    Var was = m.monitor("was");
    m.hazard("H-1", was.on()).remembering(was.to(any(was.on(), a.on())));
    Model model = m.build();
    assertLeadsOut(
        "a starts", model, of(model, List.of("a", "was"), state(0, 0), state(1, 0)));
    assertRefused(
        "it does not keep what the claim remembers",
        model,
        of(model, List.of("a"), state(0), state(1)));
  }

  /** What the claim remembers is told by what a scan has made and how the field has answered. */
  @ParameterizedTest
  @ValueSource(booleans = {true, false})
  void claimLooksAfterTheScanAndAfterTheReactions(boolean scan) {
    Var lamp = m.bit("lamp", scan ? Role.COMMAND : Role.EQUIPMENT);
    Var was = m.monitor("was");
    if (scan) {
      m.scans(lamp.to(1));
    } else {
      m.reactions(lamp.to(1));
    }
    m.hazard("H-1", was.on()).remembering(was.to(lamp.read()));
    Model model = m.build();
    List<String> keeps = List.of("lamp", "was");
    Certificate unseen = tellingDue(model, keeps, due(scan ? 1 : 0, 0, 0), state(1, 0));
    assertLeadsOut(scan ? "a scan" : "a start", model, unseen);
  }

  /** A change that does nothing is a step that the claim looks at, where it can happen. */
  @ParameterizedTest
  @ValueSource(booleans = {true, false})
  void changeThatAssignsNothingIsAStep(boolean happens) {
    m.change("nothing").when(happens ? Expr.TRUE : Expr.FALSE);
    Var steps = m.number("steps", Role.MONITOR, 3);
    m.hazard("H-1", steps.is(2))
        .remembering(steps.to(choose(steps.is(2), value(2), shift(steps.read(), 1))));
    Model model = m.build();
    Certificate c = of(model, List.of("steps"), state(1));
    if (happens) {
      assertLeadsOut("nothing", model, c);
    } else {
      assertStands(model, c);
    }
  }

  @Test
  void changeDoesAllThatItDoes() {
    Var a = m.bit("a", Role.PROCESS);
    Var b = m.bit("b", Role.PROCESS);
    m.change("both").does(a.to(1), b.to(1));
    m.hazard("H-1", b.on());
    Model model = m.build();
    assertLeadsOut("both", model, of(model, List.of("a", "b"), state(0, 0), state(1, 0)));
  }

  /** Two zones of one state: from the second alone it goes on. */
  @Test
  void everyZoneOfAStateIsLookedAt() {
    Var valve = m.equipment("valve", "moving", "open");
    var moving = m.clock("moving", valve.is("moving")).limit(8);
    m.change("opens").from(moving, 4).does(valve.to("open"));
    m.hazard("H-1", valve.is("open"));
    Model model = m.build();
    assertLeadsOut(
        "opens",
        model,
        of(
            model, List.of("valve"), within(state(0), upTo("moving", 3)),
            within(state(0), upTo("moving", 8))));
  }

  // Faults

  @ParameterizedTest
  @ValueSource(ints = {1, 2})
  void faultsWithinTheBudgetHappenAndNoMore(int budget) {
    Var broken = m.number("broken", Role.FAULT, 4);
    for (int i = 0; i < 3; i++) {
      m.change("fault " + i).by(Cause.FAULT).when(broken.is(i)).does(broken.to(i + 1));
    }
    m.hazard("H-1", broken.is(3)).tolerating(budget);
    Model model = m.build();
    Certificate.State[] whole = {faulty(0, 0), faulty(1, 1), faulty(2, 2)};
    Certificate.State[] enough = Arrays.copyOf(whole, budget + 1);
    Certificate.State[] less = Arrays.copyOf(whole, budget);
    assertStands(model, of(model, List.of("broken"), enough));
    assertLeadsOut("fault " + (budget - 1), model, of(model, List.of("broken"), less));
  }

  /** A state in which the budget is used up does not stand for one in which it is not. */
  @Test
  void faultsThatDidNotStrikeAreNotCounted() {
    Var broken = m.bit("broken", Role.FAULT);
    m.change("breaks").by(Cause.FAULT).does(broken.to(1));
    m.hazard("H-1", broken.on()).tolerating(1);
    Model model = m.build();
    assertLeadsOut("a start", model, of(model, List.of("broken"), faulty(1, 0)));
  }

  /** What only faults could move stays as it starts for a claim that tolerates none. */
  @Test
  void whatOnlyFaultsMoveNeedNotBeKept() {
    Var broken = m.bit("broken", Role.FAULT);
    Var a = m.switched("a");
    m.change("breaks").by(Cause.FAULT).does(broken.to(1));
    m.hazard("H-1", all(a.on(), broken.on()));
    Model model = m.build();
    assertStands(model, of(model, List.of("a"), state(0), state(1)));
  }

  // Values of what is hidden

  /** Read, written and read again: what was read before says nothing of what is read after. */
  @ParameterizedTest
  @ValueSource(booleans = {true, false})
  void whatIsAssignedHasAnotherValueFromThenOn(boolean defined) {
    Var input = m.comesAndGoes("input");
    Var memory = m.bit("memory", Role.MEMORY);
    Var before = m.bit("before", Role.MEMORY);
    Var after = m.bit("after", Role.MEMORY);
    Expr read = defined ? m.definition("set", memory.on()) : memory.on();
    m.scans(before.to(read), memory.to(input.read()), after.to(read));
    m.hazard("H-1", not(same(before.read(), after.read())));
    Model model = m.build();
    List<String> keeps = List.of("before", "after");
    assertLeadsOut("a scan", model, of(model, keeps, state(0, 0), state(1, 1)));
  }

  /** Results of unknown reads may be this or that. */
  @ParameterizedTest
  @CsvSource({
    "0, 0", "0, 1", "1, 0", "1, 1", "2, 0", "2, 1", "3, 0", "3, 1", "4, 0", "4, 1", "5, 0", "5, 1",
    "6, 0", "6, 1"
  })
  void resultOfUnknownReadsMayBeAny(int which, int first) {
    Var x = m.switched("x");
    Var y = m.switched("y");
    Var lamp = m.bit("lamp", Role.COMMAND).starts(first);
    m.scans(
        lamp.to(
            switch (which) {
              case 0 -> any(x.on(), y.on());
              case 1 -> all(x.on(), y.on());
              case 2 -> not(x.on());
              case 3 -> same(x.read(), y.read());
              case 4 -> choose(x.on(), y.read(), value(0));
              case 5 -> choose(x.on(), value(0), value(1));
              default -> shift(choose(x.on(), value(1), value(2)), -1);
            }));
    m.hazard("H-1", all(lamp.on(), lamp.off()));
    Model model = m.build();
    assertStands(model, of(model, List.of("lamp"), state(0), state(1)));
    assertLeadsOut("a scan", model, of(model, List.of("lamp"), state(first)));
  }

  /** Whatever the input is, it is that at both places. */
  @Test
  void oneUnknownReadAtTwoPlacesOfAResultIsOne() {
    Expr on = m.definition("on", m.switched("x").on());
    Var lamp = m.bit("lamp", Role.COMMAND).starts(1);
    m.scans(lamp.to(any(on, not(on))));
    m.hazard("H-1", lamp.off());
    Model model = m.build();
    assertStands(model, of(model, List.of("lamp"), state(1)));
  }

  /** The values of the group's members are chosen before the guard, which does not ask for them. */
  @Test
  void guardOfWhatIsKnownForgetsNoChoice() {
    List<Var> latches = List.of(m.switched("a"), m.switched("b"));
    Var lamp = m.bit("lamp", Role.PROCESS);
    m.change("lights").when(lamp.off()).does(lamp.to(1), latches.getFirst().to(0));
    m.hazard("H-1", lamp.on());
    Model model = m.build();
    var group =
        new Certificate.Group(
            1, List.of(new Certificate.Member("a", 2), new Certificate.Member("b", 2)));
    Certificate.State[] dark =
        List.of(false, true).stream()
            .map(on -> new Certificate.State(List.of(0), List.of(on), 0, 0, List.of()))
            .toArray(Certificate.State[]::new);
    assertLeadsOut(
        "lights", model, certificate(model, List.of("lamp"), List.of(group), false, dark));
  }
}
