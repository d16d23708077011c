package stoplog.plants.random;

import static org.junit.jupiter.api.Assertions.assertNotEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.time.Duration;
import java.util.ArrayList;
import java.util.EnumMap;
import java.util.List;
import java.util.Map;
import java.util.Random;
import net.jqwik.api.Example;
import stoplog.checker.abstraction.Decider;
import stoplog.checker.abstraction.Reads;
import stoplog.checker.explore.Budget;
import stoplog.checker.explore.Progress;
import stoplog.model.Claim;
import stoplog.model.Model;
import stoplog.model.Variable;
import stoplog.model.Verdict;
import stoplog.plants.judges.SolverJudge;

/**
 * Clauses over some of a plant's variables, as {@code export --keep} writes them, on random plants: what
 * they rule out, whatever variables they keep, the judge by ticks finds in no run, and over what a proof
 * leans on they rule out what is proved. {@code -Dstoplog.plants=N} asks about N plants.
 */
class LeaningSolverTest {
  private static final int STEPS = 2_000_000;
  private static final Budget BUDGET = new Budget(100_000, 1L << 28, Duration.ofSeconds(20));

  private final Map<SolverJudge.Answer, Integer> some = new EnumMap<>(SolverJudge.Answer.class);
  private final Map<SolverJudge.Answer, Integer> proofs = new EnumMap<>(SolverJudge.Answer.class);

  @Example
  void clausesOverSomeVariablesRuleOutNoRunAndKeepProofs() {
    int wanted = Integer.getInteger("stoplog.plants", 200);
    JudgedPlant.each(
        wanted,
        p -> {
          askAboutSome(p.model(), p.claim(), p.reachable(), p.random(), p.told());
          askAboutTheProof(p.model(), p.claim(), p.told());
        });
    System.out.println(
        wanted + " plants, some variables kept: " + some + ", what proofs lean on: " + proofs);
    assertTrue(some.getOrDefault(SolverJudge.Answer.UNREACHABLE, 0) > wanted / 20, some + "");
    assertTrue(proofs.getOrDefault(SolverJudge.Answer.UNREACHABLE, 0) > wanted / 5, proofs + "");
    assertTrue(proofs.getOrDefault(SolverJudge.Answer.UNKNOWN, 0) < wanted / 20, proofs + "");
  }

  /** Any variables: few of some plants, most of others. */
  private void askAboutSome(
      Model model, Claim claim, boolean reachable, Random random, String told) {
    int hiddenInTen = 1 + random.nextInt(9);
    var kept = new ArrayList<String>();
    for (Variable v : model.variables()) {
      if (random.nextInt(10) >= hiddenInTen) {
        kept.add(v.name());
      }
    }
    SolverJudge.Answer answer = ask(model, claim, kept);
    some.merge(answer, 1, Integer::sum);
    if (reachable) {
      assertNotEquals(SolverJudge.Answer.UNREACHABLE, answer, "kept " + kept + ", " + told);
    }
  }

  private void askAboutTheProof(Model model, Claim claim, String told) {
    Verdict verdict = Decider.decide(new Reads(model), claim, BUDGET, Progress.NONE);
    if (verdict instanceof Verdict.Proved p) {
      SolverJudge.Answer answer = ask(model, claim, p.kept());
      proofs.merge(answer, 1, Integer::sum);
      assertNotEquals(SolverJudge.Answer.REACHABLE, answer, "kept " + p.kept() + ", " + told);
    }
  }

  private static SolverJudge.Answer ask(Model model, Claim claim, List<String> kept) {
    return SolverJudge.decideKeeping(model, claim, kept, STEPS).answer();
  }
}
