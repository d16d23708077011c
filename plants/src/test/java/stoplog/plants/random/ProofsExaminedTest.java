package stoplog.plants.random;

import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.time.Duration;
import java.util.ArrayList;
import java.util.List;
import java.util.Random;
import net.jqwik.api.Example;
import stoplog.checker.abstraction.Decider;
import stoplog.checker.abstraction.Reads;
import stoplog.checker.certificate.Certificate;
import stoplog.checker.certificate.CertificateChecker;
import stoplog.checker.explore.Budget;
import stoplog.checker.explore.Progress;
import stoplog.plants.judges.SolverJudge;

/**
 * Proofs of random plants as {@code export --proof} writes them: an SMT library's solver finds no step
 * that leads out of the set of states they give. Sets that lack a state or have another bound it
 * confirms wherever the project's own checker of certificates does. It refuses nearly all others too: not
 * all, since it sees where two zones hold together what neither does alone. {@code -Dstoplog.plants=N} takes N plants.
 */
class ProofsExaminedTest {
  private static final int STEPS = 5_000_000;
  private static final Budget BUDGET = new Budget(100_000, 1L << 28, Duration.ofSeconds(20));

  /** Larger sets take long, and tell no more of the text. */
  private static final int MOST_STATES = 150;

  private int proofs;
  private int byCases;
  private int withGroups;
  private int forged;
  private int refused;
  private int failing;

  @Example
  void theSolverConfirmsProofsAndRefusesOthers() {
    int wanted = Integer.getInteger("stoplog.plants", 150);
    JudgedPlant.each(
        wanted,
        p -> {
          var reads = new Reads(p.model());
          var localised = Decider.decideCertified(reads, p.claim(), BUDGET, Progress.NONE);
          examine(p, localised.certificate());
          examine(p, Decider.decideWholeCertified(reads, p.claim(), BUDGET, Progress.NONE).certificate());
        });
    System.out.println(
        wanted + " plants, " + proofs + " proofs confirmed, " + byCases + " of them by cases, "
            + withGroups + " with groups; " + forged + " forged, " + refused
            + " of them refused, " + failing + " of them by the solver too");
    assertTrue(proofs > wanted / 3, proofs + " proofs");
    assertTrue(failing > forged / 2, failing + " refused by the solver");
    assertTrue(failing > refused * 97 / 100, failing + " refused by the solver, of " + refused);
    assertTrue(forged - refused > 0, "none of the forged sets stands");
  }

  private void examine(JudgedPlant p, Certificate certificate) {
    if (certificate == null || certificate.size() > MOST_STATES) {
      return;
    }
    var examined = SolverJudge.examine(p.model(), certificate, STEPS);
    assertTrue(examined.confirmed(), () -> examined + ", " + p.told());
    assertFalse(p.reachable(), p.told());
    proofs++;
    byCases += certificate.cases().isEmpty() ? 0 : 1;
    withGroups += certificate.groups().isEmpty() ? 0 : 1;
    for (int i = 0; i < 2; i++) {
      forge(p, certificate);
    }
  }

  private void forge(JudgedPlant p, Certificate certificate) {
    Certificate changed = changed(certificate, p.random());
    var examined = SolverJudge.examine(p.model(), changed, STEPS);
    boolean stands = CertificateChecker.refusal(p.model(), changed) == null;
    forged++;
    refused += stands ? 0 : 1;
    failing += examined.failing() > 0 ? 1 : 0;
    assertTrue(!stands || examined.confirmed(), () -> examined + ", " + changed + ", " + p.told());
  }

  /** Without one state, or with one bound less or more than it was. */
  private static Certificate changed(Certificate c, Random random) {
    if (!c.cases().isEmpty()) {
      var cases = new ArrayList<>(c.cases());
      int at = random.nextInt(cases.size());
      cases.set(at, changed(cases.get(at), random));
      return Certificate.of(cases);
    }
    var states = new ArrayList<>(c.states());
    if (states.isEmpty()) {
      return c;
    }
    int at = random.nextInt(states.size());
    Certificate.State state = states.remove(at);
    if (!state.bounds().isEmpty() && random.nextInt(3) > 0) {
      int by = random.nextBoolean() ? 1 : -1;
      List<Certificate.Bound> bounds = new ArrayList<>(state.bounds());
      int b = random.nextInt(bounds.size());
      Certificate.Bound bound = bounds.get(b);
      bounds.set(
          b, new Certificate.Bound(bound.upper(), bound.lower(), bound.quanta() + by, bound.attained()));
      states.add(
          at, new Certificate.State(state.values(), state.groups(), state.due(), state.faults(), bounds));
    }
    return new Certificate(
        c.plant(), c.fingerprint(), c.claim(), c.keeps(), c.follows(), c.groups(), c.due(), states);
  }
}
