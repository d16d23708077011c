package stoplog.checker.certificate;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertNotEquals;

import java.util.List;
import org.junit.jupiter.api.Test;
import stoplog.checker.testkit.ModelBuilder;
import stoplog.checker.testkit.ModelBuilder.Var;
import stoplog.model.Claim;
import stoplog.model.FieldChange.Cause;
import stoplog.model.Model;
import stoplog.model.Role;
import stoplog.source.Span;

/** What a fingerprint tells apart of claims, and what not. */
class FingerprintTest {
  private static String of(List<Integer> faultsOf, Claim.Basis basis) {
    var m = new ModelBuilder("two instruments");
    Var one = m.bit("PT-1.fault", Role.FAULT);
    Var other = m.bit("PT-2.fault", Role.FAULT);
    m.change("PT-1 fails").by(Cause.FAULT).does(one.to(1));
    m.change("PT-2 fails").by(Cause.FAULT).does(other.to(1));
    m.hazard("H-01", one.on()).tolerating(1);
    Model p = m.build();
    Claim c = p.claims().getFirst();
    var claim =
        new Claim(
            c.id(), c.text(), c.kind(), c.condition(), c.forQuanta(), c.monitors(), c.onlyWhile(),
            c.faultBudget(), faultsOf, basis, Span.NONE);
    return Fingerprint.of(
        new Model(
            p.name(), p.quantumMicros(), p.variables(), p.definitions(), p.clocks(), p.changes(),
            p.controller(), p.start(), p.reactions(), List.of(claim), p.inhibits(),
            p.indications()));
  }

  @Test
  void whoseFaultsAreToleratedIsToldApart() {
    String first = of(List.of(0), Claim.Basis.NONE);
    assertNotEquals(first, of(List.of(1), Claim.Basis.NONE));
    assertNotEquals(first, of(List.of(), Claim.Basis.NONE));
    assertEquals(first, of(List.of(0), Claim.Basis.NONE));
  }

  /** What a claim is made for has no part in its proof, and may change. */
  @Test
  void whatAClaimIsMadeForIsNot() {
    var basis = new Claim.Basis("major", "hazard study, item 12", List.of("looked at twice"));
    assertEquals(of(List.of(0), Claim.Basis.NONE), of(List.of(0), basis));
  }
}
