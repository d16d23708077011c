package stoplog.checker.abstraction;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertNotNull;
import static org.junit.jupiter.api.Assertions.assertNull;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.time.Duration;
import java.util.ArrayList;
import java.util.List;
import java.util.function.LongFunction;
import org.junit.jupiter.api.Test;
import stoplog.checker.certificate.CertificateChecker;
import stoplog.checker.differential.RandomModel;
import stoplog.checker.explore.Budget;
import stoplog.checker.explore.Progress;
import stoplog.checker.reference.TickJudge;
import stoplog.model.Claim;
import stoplog.model.Model;
import stoplog.model.Verdict;

/**
 * Questions that are begun anew as where they prove hard, against every tick of every run of random models,
 * and their proofs against the independent checker. {@code -Dseeds=N} tries N models of each kind, {@code
 * -Dseed=S} starts at S.
 */
class BegunAnewVersusTicksTest {
  private static final Budget BUDGET = new Budget(50_000, 1L << 28, Duration.ofSeconds(10));

  private final List<String> wrong = new ArrayList<>();
  private int proofs;
  private int runs;
  private int groups;

  @Test
  void noProofThatIsBegunAnewHidesARun() {
    compare(RandomModel::of);
    compare(RandomModel::withGroups);
    System.out.printf("%d proofs, %d with groups, %d runs: %s%n", proofs, groups, runs, wrong);
    assertEquals(List.of(), wrong);
    assertTrue(groups > 0, "no proof kept a group");
    assertTrue(runs > 0, "no run was found");
  }

  private void compare(LongFunction<Model> models) {
    long first = Long.getLong("seed", 1);
    long count = Long.getLong("seeds", 300);
    for (long seed = first; seed < first + count; seed++) {
      Model model = models.apply(seed);
      Claim claim = model.claims().getFirst();
      TickJudge.Answer judged = TickJudge.reachable(model, claim, 10_000);
      if (judged instanceof TickJudge.TooBig) {
        continue;
      }
      boolean reachable = judged instanceof TickJudge.Yes;
      Decider.Decision decision =
          Decider.decideAnew(new Reads(model), claim, BUDGET, Progress.NONE);
      switch (decision.verdict()) {
        case Verdict.Proved p -> {
          proofs++;
          if (reachable) {
            wrong.add("seed " + seed + " proved keeping " + p.kept());
          }
          var certificate = decision.certificate();
          assertNotNull(certificate, "seed " + seed);
          assertNull(CertificateChecker.refusal(model, certificate), "seed " + seed);
          groups += certificate.cases().stream().anyMatch(c -> !c.groups().isEmpty()) ? 1 : 0;
        }
        case Verdict.Reached r -> {
          runs++;
          if (!reachable) {
            wrong.add("seed " + seed + " a run where there is none");
          }
        }
        case Verdict.Undecided u -> {}
      }
    }
  }
}
