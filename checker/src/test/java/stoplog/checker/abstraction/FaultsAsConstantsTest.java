package stoplog.checker.abstraction;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertInstanceOf;
import static org.junit.jupiter.api.Assertions.assertNotNull;
import static org.junit.jupiter.api.Assertions.assertNull;

import java.util.ArrayList;
import java.util.List;
import org.junit.jupiter.api.Test;
import stoplog.checker.certificate.CertificateChecker;
import stoplog.checker.explore.Budget;
import stoplog.checker.explore.Progress;
import stoplog.model.Assignment;
import stoplog.model.Bound;
import stoplog.model.Claim;
import stoplog.model.Clock;
import stoplog.model.Controller;
import stoplog.model.Expr;
import stoplog.model.FieldChange;
import stoplog.model.FieldChange.Cause;
import stoplog.model.Model;
import stoplog.model.Role;
import stoplog.model.Untouched;
import stoplog.model.Variable;
import stoplog.model.Verdict;
import stoplog.source.Span;

/**
 * A heater goes off within 10 quanta of being too hot, unless its contact has stuck or its fuse has
 * welded; being off, it is not hot. Twenty more faults have nothing to do with it.
 */
class FaultsAsConstantsTest {
  private static final int HOT = 0;
  private static final int STUCK = 1;
  private static final int WELDED = 2;

  private static Variable variable(int id, String name, Role role) {
    return new Variable(id, name, role, List.of("no", "yes"), 1, "", Span.NONE);
  }

  private static FieldChange fault(int id, int variable) {
    return new FieldChange(
        id, "fault " + variable, Cause.FAULT, Expr.is(variable, 0), null,
        List.of(new Assignment(variable, Expr.TRUE)), Span.NONE);
  }

  private static Model heater(Claim... claims) {
    var variables = new ArrayList<Variable>();
    variables.add(variable(HOT, "hot", Role.PROCESS));
    for (int v = 1; v <= 22; v++) {
      variables.add(variable(v, "fault" + v, Role.FAULT));
    }
    Expr protectedNow = Expr.any(Expr.is(STUCK, 0), Expr.is(WELDED, 0));
    var clock =
        new Clock(0, "protection", Expr.all(Expr.is(HOT, 1), protectedNow), Bound.at(10), Span.NONE);
    var changes = new ArrayList<FieldChange>();
    changes.add(
        new FieldChange(
            0, "gets hot", Cause.PROCESS, Expr.is(HOT, 0), null,
            List.of(new Assignment(HOT, Expr.TRUE)), Span.NONE));
    changes.add(
        new FieldChange(
            1, "goes off", Cause.EQUIPMENT, Expr.TRUE,
            new FieldChange.Timing(0, Bound.at(0), Bound.at(10)),
            List.of(new Assignment(HOT, Expr.FALSE)), Span.NONE));
    for (int v = 1; v <= 22; v++) {
      changes.add(fault(changes.size(), v));
    }
    return new Model(
        "heater", 1, variables, List.of(), List.of(clock), changes, Controller.none(), List.of(),
        List.of(), List.of(claims), List.of(), List.of());
  }

  private static Claim hotFor10(int faults, Integer... of) {
    return new Claim(
        "H", "", Claim.Kind.HAZARD, Expr.is(HOT, 1), 10, List.of(), faults, List.of(of),
        Claim.Basis.NONE, Span.NONE);
  }

  private static Verdict decided(Claim claim) {
    Model model = heater(claim);
    Verdict found = Decider.decide(model, claim, Budget.standard(), Progress.NONE);
    if (found instanceof Verdict.Proved) {
      var certified =
          Decider.decideCertified(new Reads(model), claim, Budget.standard(), Progress.NONE);
      var certificate = certified.certificate();
      assertNotNull(certificate);
      assertNull(CertificateChecker.refusal(model, certificate));
    }
    return found;
  }

  @Test
  void aClaimThatToleratesNothingLeansOnNoFaultAndStoresNone() {
    var proved = (Verdict.Proved) decided(hotFor10(0));

    assertEquals(List.of("hot"), proved.kept());
    assertEquals(10, proved.longestQuanta());
    assertEquals(2, proved.effort().states());
    assertEquals(1, proved.effort().searches());
  }

  @Test
  void oneFaultIsTolerated() {
    assertInstanceOf(Verdict.Proved.class, decided(hotFor10(1)));
  }

  @Test
  void twoFaultsAreNot() {
    assertInstanceOf(Verdict.Reached.class, decided(hotFor10(2)));
  }

  @Test
  void faultsOfOthersThanTheNamedDoNotStrike() {
    var proved = (Verdict.Proved) decided(hotFor10(2, STUCK, 7));

    assertFalse(proved.kept().contains("fault2"), "only named faults: " + proved.kept());
    assertInstanceOf(Verdict.Reached.class, decided(hotFor10(2, STUCK, WELDED)));
  }

  @Test
  void aVariableThatSomethingElseAssignsIsNoConstant() {
    Claim claim = hotFor10(0);
    Model model = heater(claim);
    var changes = new ArrayList<>(model.changes());
    changes.add(
        new FieldChange(
            changes.size(), "wears out", Cause.PROCESS, Expr.TRUE, null,
            List.of(new Assignment(STUCK, Expr.TRUE), new Assignment(WELDED, Expr.TRUE)),
            Span.NONE));
    var worn =
        new Model(
            "worn", 1, model.variables(), List.of(), model.clocks(), changes, Controller.none(),
            List.of(), List.of(), List.of(claim), List.of(), List.of());

    assertFalse(Untouched.by(worn, claim).get(STUCK));
    Verdict found = Decider.decide(worn, claim, Budget.standard(), Progress.NONE);
    assertInstanceOf(Verdict.Reached.class, found);
  }
}
