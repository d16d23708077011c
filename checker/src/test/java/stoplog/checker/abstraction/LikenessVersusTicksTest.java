package stoplog.checker.abstraction;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.time.Duration;
import java.util.ArrayList;
import java.util.List;
import java.util.Random;
import org.junit.jupiter.api.Test;
import stoplog.checker.differential.RandomModel;
import stoplog.checker.explore.Budget;
import stoplog.checker.explore.Progress;
import stoplog.checker.reference.Replay;
import stoplog.checker.reference.Replayed;
import stoplog.checker.reference.TickJudge;
import stoplog.model.Claim;
import stoplog.model.Model;
import stoplog.model.Verdict;

/**
 * Models with some parts there twice, mostly edited so that the parts are no longer quite alike. What is
 * found for the claim about one part is carried over to the other or not; where a proof is, no tick of
 * any run breaks the other claim, and a search finds nothing. {@code -Dseeds=N} tries N models, {@code
 * -Dseed=S} starts at S.
 */
class LikenessVersusTicksTest {
  private static final Budget BUDGET = new Budget(20_000, 1L << 28, Duration.ofSeconds(10));
  private static final int EDITS = 8;

  private int proofs;
  private int runs;
  private int dropped;
  private final List<String> wrong = new ArrayList<>();

  @Test
  void carriedOverVerdictsAreThoseOfTheOtherClaim() {
    long first = Long.getLong("seed", 1);
    long count = Long.getLong("seeds", 75);
    for (long seed = first; seed < first + count; seed++) {
      var random = new Random(seed);
      Model small =
          switch ((int) (seed % 3)) {
            case 0 -> RandomModel.withGroups(seed);
            case 1 -> RandomModel.of(seed);
            default -> RandomModel.withoutClocks(seed);
          };
      Model twins = Twins.of(small, random);
      compare("seed " + seed, twins, true);
      for (int e = 0; e < EDITS; e++) {
        var edit = new Edit(twins, random);
        edit.any();
        compare("seed " + seed + " edit " + e + " (" + edit.done + ")", edit.model(), e % 4 == 0);
      }
    }
    System.out.printf("%d proofs, %d runs carried over, %d not, wrong: %s%n", proofs, runs, dropped, wrong);
    assertEquals(List.of(), wrong);
    assertTrue(proofs > count / 3 && runs > count / 3 && dropped > count / 3, "too few to mean much");
  }

  private void compare(String what, Model model, boolean tick) {
    var reads = new Reads(model);
    Claim one = model.claims().get(0);
    Claim other = model.claims().get(1);
    Decider.Decision decision = Decider.decideRecorded(reads, one, false, BUDGET, Progress.NONE);
    Precedent found = Precedent.of(reads, decision);
    Verdict verdict = found == null ? null : found.carriedOver(reads, other, one);
    switch (verdict) {
      case null -> dropped++;
      case Verdict.Undecided _ -> wrong.add(what + ": undecided");
      case Verdict.Reached r -> {
        runs++;
        if (!(Replay.run(model, other, r.trace()) instanceof Replayed.Valid)) {
          wrong.add(what + ": does not replay");
        }
      }
      case Verdict.Proved _ -> {
        proofs++;
        if (Decider.decide(reads, other, BUDGET, Progress.NONE) instanceof Verdict.Reached) {
          wrong.add(what + ": can be reached");
        }
        if (tick && TickJudge.reachable(model, other, 20_000) instanceof TickJudge.Yes) {
          wrong.add(what + ": a tick gets there");
        }
      }
    }
  }
}
