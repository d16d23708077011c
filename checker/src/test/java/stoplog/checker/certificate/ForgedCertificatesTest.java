package stoplog.checker.certificate;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertNull;
import static stoplog.model.Expr.all;

import java.util.List;
import org.junit.jupiter.api.Test;
import stoplog.checker.testkit.ModelBuilder;
import stoplog.checker.testkit.ModelBuilder.Var;
import stoplog.model.Bound;
import stoplog.model.Model;
import stoplog.model.Role;

/** Certificates that leave out something the plant can do. */
final class ForgedCertificatesTest {
  private static Certificate certificate(
      Model model, List<String> keeps, List<String> follows, boolean due, Certificate.State... states) {
    return new Certificate(
        model.name(), Fingerprint.of(model), "H-1", keeps, follows, List.of(), due,
        List.of(states));
  }

  private static Certificate.State state(int due, Integer... values) {
    return new Certificate.State(List.of(values), List.of(), due, 0, List.of());
  }

  /**
   * A lamp that follows an input; the hazard needs it on, off and on again, which takes scans that only
   * the input asks for.
   */
  private static Model blinking() {
    var m = new ModelBuilder("plant");
    Var input = m.switched("input");
    Var lamp = m.bit("lamp", Role.COMMAND);
    Var seen = m.number("seen", Role.PROCESS, 3);
    m.change("seen on").when(all(lamp.on(), seen.is(0))).does(seen.to(1));
    m.change("seen off").when(all(lamp.off(), seen.is(1))).does(seen.to(2));
    m.scans(lamp.to(input.on()));
    m.hazard("H-1", all(lamp.on(), seen.is(2)));
    return m.build();
  }

  /** An input that is said to be known within a step is not known between steps. */
  @Test
  void inputThatIsNotKeptAsksForScansAtAnyTime() {
    Model model = blinking();
    assertEquals(
        "it is not closed: a scan leads out of it",
        CertificateChecker.refusal(
            model,
            certificate(
                model, List.of("lamp", "seen"), List.of("input"), true, state(1, 0, 0),
                state(0, 0, 0), state(0, 1, 0), state(0, 1, 1))));
  }

  @Test
  void memberOfAGroupThatIsNotKeptAsksForScansAtAnyTime() {
    Model model = blinking();
    // Says nothing: the input is off or on.
    var group = new Certificate.Group(1, List.of(new Certificate.Member("input", 3)));
    var states =
        List.of(grouped(1, 0, 0), grouped(0, 0, 0), grouped(0, 1, 0), grouped(0, 1, 1));
    assertEquals(
        "it is not closed: a scan leads out of it",
        CertificateChecker.refusal(
            model,
            new Certificate(
                model.name(), Fingerprint.of(model), "H-1", List.of("lamp", "seen"), List.of(),
                List.of(group), true, states)));
  }

  private static Certificate.State grouped(int due, Integer... values) {
    return new Certificate.State(List.of(values), List.of(true), due, 0, List.of());
  }

  /** No time passes below an open limit of 0, but what happens at that instant does. */
  @Test
  void openLimitOfNoTimeHidesNothing() {
    var m = new ModelBuilder("plant");
    Var valve = m.equipment("valve", "shut", "moving", "open").starts("moving");
    var moving = m.clock("moving", valve.is("moving")).limit(new Bound(0, false));
    m.change("valve opens").from(moving, 0).does(valve.to("open"));
    m.hazard("H-1", valve.is("open"));
    Model model = m.build();
    assertEquals(
        "it is not closed: a start leads out of it",
        CertificateChecker.refusal(model, certificate(model, List.of("valve"), List.of(), false)));
    assertEquals(
        "it is not closed: valve opens leads out of it",
        CertificateChecker.refusal(
            model, certificate(model, List.of("valve"), List.of(), false, state(0, 1))));
  }

  @Test
  void timeThatPassesIsNotLeftOut() {
    var m = new ModelBuilder("plant");
    Var valve = m.equipment("valve", "shut", "moving", "open").starts("moving");
    var moving = m.clock("moving", valve.is("moving")).limit(8);
    m.change("valve opens").from(moving, 4).does(valve.to("open"));
    m.hazard("H-1", valve.is("open"));
    Model model = m.build();
    var still =
        new Certificate.State(
            List.of(1), List.of(), 0, 0, List.of(new Certificate.Bound("moving", "0", 0, true)));
    assertEquals(
        "it is not closed: a start leads out of it",
        CertificateChecker.refusal(
            model, certificate(model, List.of("valve"), List.of(), false, still)));
  }

  /** One choice that two results share is the same for both, and no more is lost. */
  @Test
  void choiceThatTwoResultsShareIsTheSameForBoth() {
    var m = new ModelBuilder("plant");
    Var input = m.switched("input");
    Var a = m.bit("a", Role.COMMAND);
    Var b = m.bit("b", Role.COMMAND);
    m.scans(a.to(input.on()), b.to(input.on()));
    m.hazard("H-1", all(a.on(), b.off()));
    Model model = m.build();
    assertNull(
        CertificateChecker.refusal(
            model,
            certificate(
                model, List.of("a", "b"), List.of(), false, state(0, 0, 0), state(0, 1, 1))));
    assertEquals(
        "it is not closed: a scan leads out of it",
        CertificateChecker.refusal(
            model, certificate(model, List.of("a", "b"), List.of(), false, state(0, 0, 0))));
  }

  /** What is not kept may happen at any time, and what follows of it with it. */
  @Test
  void reactionsToWhatIsNotKeptAreNotLeftOut() {
    var m = new ModelBuilder("plant");
    Var input = m.switched("input");
    Var valve = m.bit("valve", Role.EQUIPMENT);
    m.reactions(valve.to(input.on()));
    m.hazard("H-1", valve.on());
    Model model = m.build();
    assertEquals(
        "it is not closed: something that it does not keep leads out of it",
        CertificateChecker.refusal(
            model, certificate(model, List.of("valve"), List.of(), false, state(0, 0))));
  }

  /** A clock is known where its condition is; elsewhere it holds nothing back. */
  @Test
  void clockOfWhatIsNotKeptHoldsNothingBack() {
    var m = new ModelBuilder("plant");
    Var input = m.switched("input");
    Var valve = m.bit("valve", Role.EQUIPMENT);
    var asked = m.clock("asked", all(input.on(), valve.off()));
    m.change("valve opens").from(asked, 10).does(valve.to(1));
    m.hazard("H-1", valve.on());
    Model model = m.build();
    assertEquals(
        "it is not closed: valve opens leads out of it",
        CertificateChecker.refusal(
            model, certificate(model, List.of("valve"), List.of(), false, state(0, 0))));
    assertEquals(
        "a state bounds asked, which does not run there",
        CertificateChecker.refusal(
            model,
            certificate(
                model, List.of("valve"), List.of("input"), false,
                new Certificate.State(
                    List.of(0), List.of(), 0, 0,
                    List.of(new Certificate.Bound("asked", "0", 9, true))))));
  }

  @Test
  void checkThatIsCutShortProvesNothing() {
    var m = new ModelBuilder("plant");
    Var input = m.switched("input");
    m.hazard("H-1", all(input.on(), input.off()));
    Model model = m.build();
    Certificate c = certificate(model, List.of("input"), List.of(), false, state(0, 0), state(0, 1));
    assertEquals(
        new CertificateChecker.Outcome.Stands(),
        CertificateChecker.check(model, c, Patience.ENDLESS));
    for (int calls = 0; calls < 3; calls++) {
      int[] left = {calls};
      assertEquals(
          new CertificateChecker.Outcome.NotChecked(),
          CertificateChecker.check(model, c, (_, _) -> left[0]-- > 0));
    }
  }
}
