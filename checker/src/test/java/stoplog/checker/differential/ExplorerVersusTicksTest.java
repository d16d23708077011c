package stoplog.checker.differential;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertNotNull;
import static org.junit.jupiter.api.Assertions.assertNull;
import static org.junit.jupiter.api.Assertions.assertTrue;
import static org.junit.jupiter.api.Assertions.fail;

import java.time.Duration;
import org.junit.jupiter.api.Test;
import stoplog.checker.abstraction.Decider;
import stoplog.checker.abstraction.Reads;
import stoplog.checker.abstraction.Settling;
import stoplog.checker.certificate.Certificate;
import stoplog.checker.certificate.CertificateChecker;
import stoplog.checker.explore.Budget;
import stoplog.checker.explore.Progress;
import stoplog.checker.reference.TickJudge;
import stoplog.model.Claim;
import stoplog.model.Model;
import stoplog.model.Verdict;

/**
 * Random models on which three ways to decide must agree: every tick of every run, one search of the
 * whole model, and localised searches. {@code -Dseeds=N} tries N models, {@code -Dseed=S} starts at S.
 */
class ExplorerVersusTicksTest {
  private static final Budget BUDGET =
      new Budget(200_000, 1L << 30, Duration.ofSeconds(10));

  @Test
  void allWaysToDecideAgree() {
    long first = Long.getLong("seed", 1);
    long count = Long.getLong("seeds", 3000);
    int reachable = 0;
    int unreachable = 0;
    int undecided = 0;
    int restless = 0;
    for (long seed = first; seed < first + count; seed++) {
      Model model = RandomModel.of(seed);
      Claim claim = model.claims().getFirst();
      TickJudge.Answer judged = TickJudge.reachable(model, claim, 20_000);
      if (judged instanceof TickJudge.TooBig) {
        continue;
      }
      var reads = new Reads(model);
      Verdict whole =
          checked(seed, model, Decider.decideWholeCertified(reads, claim, BUDGET, Progress.NONE));
      Verdict localised =
          checked(seed, model, Decider.decideCertified(reads, claim, BUDGET, Progress.NONE));
      Verdict grouped = Decider.decide(reads, claim, BUDGET, Progress.NONE);
      switch (judged) {
        case TickJudge.Yes yes -> {
          reachable++;
          if (!(whole instanceof Verdict.Reached r)) {
            fail("seed " + seed + ": reachable, but the whole search says " + whole);
            return;
          }
          assertEquals(yes.trace().steps().size(), r.events(), "steps of seed " + seed);
          assertFalse(grouped instanceof Verdict.Proved, "seed " + seed + ": reachable: " + grouped);
          if (localised instanceof Verdict.Proved) {
            fail("seed " + seed + ": reachable, but proved by keeping " + localised.kept());
          }
          if (localised instanceof Verdict.Reached l) {
            assertTrue(l.fewest() <= l.events(), "bounds of seed " + seed);
            assertTrue(l.fewest() <= r.events(), "fewest of seed " + seed);
          }
        }
        case TickJudge.No no -> {
          unreachable++;
          boolean settles =
              model.controller().reactionQuanta() > 0 || Settling.restless(model).isEmpty();
          if (!settles) {
            restless++;
            assertTrue(whole instanceof Verdict.Undecided, "seed " + seed + ": " + whole);
            assertFalse(localised instanceof Verdict.Proved, "seed " + seed + ": " + localised);
            continue;
          }
          assertTrue(whole instanceof Verdict.Proved, "seed " + seed + ": " + whole);
          assertFalse(grouped instanceof Verdict.Reached, "seed " + seed + ": run: " + grouped);
          if (localised instanceof Verdict.Reached) {
            fail("seed " + seed + ": unreachable, but localised search shows a run");
          }
        }
        case TickJudge.TooBig big -> {}
      }
      if (localised instanceof Verdict.Undecided u) {
        undecided++;
        System.out.println("seed " + seed + " undecided: " + u.reason());
      }
    }
    System.out.printf(
        "%d reachable, %d unreachable, %d with logic that may not settle, %d left undecided%n",
        reachable, unreachable, restless, undecided);
    assertTrue(reachable > count / 10 && unreachable > count / 10, "too one-sided to mean much");
    assertTrue(undecided <= count / 50, "too many undecided");
  }

  /** A proof must convince the certificate checker too. */
  private static Verdict checked(long seed, Model model, Decider.Decision decision) {
    if (decision.verdict() instanceof Verdict.Proved) {
      Certificate certificate = decision.certificate();
      assertNotNull(certificate, "a proof without a certificate");
      String refusal = CertificateChecker.refusal(model, certificate);
      assertNull(refusal, () -> "certificate of seed " + seed + " refused: " + refusal);
    }
    return decision.verdict();
  }
}
