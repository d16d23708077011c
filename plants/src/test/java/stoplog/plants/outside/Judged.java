package stoplog.plants.outside;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertInstanceOf;
import static org.junit.jupiter.api.Assertions.assertNotNull;
import static org.junit.jupiter.api.Assertions.assertNull;

import stoplog.checker.abstraction.Decider;
import stoplog.checker.certificate.CertificateChecker;
import stoplog.checker.reference.Replay;
import stoplog.checker.reference.Replayed;
import stoplog.checker.reference.TickJudge;
import stoplog.model.Claim;
import stoplog.model.Model;
import stoplog.model.Verdict;

/**
 * Puts a verdict before a judge: every tick of every run where that comes to an end; else the reference
 * interpreter replays a run, and the certificate checker looks at a proof.
 */
final class Judged {
  private Judged() {}

  /**
   * Who else was asked, and agrees.
   *
   * @param mostStates with so many ticks are tried; 0 for none
   */
  static String by(Model model, Claim claim, Decider.Decision decision, long mostStates) {
    boolean reached = decision.verdict() instanceof Verdict.Reached;
    if (mostStates > 0) {
      switch (TickJudge.reachable(model, claim, mostStates)) {
        case TickJudge.Yes yes -> {
          assertEquals(true, reached, claim.id() + " by ticks");
          return "ticks";
        }
        case TickJudge.No no -> {
          assertEquals(false, reached, claim.id() + " by ticks");
          return "ticks";
        }
        case TickJudge.TooBig big -> {}
      }
    }
    if (decision.verdict() instanceof Verdict.Reached run) {
      assertInstanceOf(Replayed.Valid.class, Replay.run(model, claim, run.trace()), claim.id());
      return "replay";
    }
    assertNotNull(decision.certificate(), claim.id());
    assertNull(CertificateChecker.refusal(model, decision.certificate()), claim.id());
    return "certificate";
  }
}
