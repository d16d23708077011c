package stoplog.checker.differential;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertInstanceOf;
import static org.junit.jupiter.api.Assertions.assertTrue;
import static org.junit.jupiter.api.Assertions.fail;

import java.time.Duration;
import java.util.List;
import java.util.function.LongFunction;
import org.junit.jupiter.api.Test;
import stoplog.checker.abstraction.Decider;
import stoplog.checker.abstraction.Reads;
import stoplog.checker.abstraction.Settling;
import stoplog.checker.explore.Budget;
import stoplog.checker.explore.Progress;
import stoplog.checker.reference.LockOutJudge;
import stoplog.checker.reference.Replay;
import stoplog.checker.reference.Replayed;
import stoplog.model.Claim;
import stoplog.model.Model;
import stoplog.model.Trace;
import stoplog.model.Verdict;

/**
 * Random models on which three ways to decide whether something can always be must agree: the whole
 * graph of ticks, zones backwards on the whole model, and on the cone. {@code -Dseeds=N} tries N
 * models, {@code -Dseed=S} starts at S.
 */
class LockOutVersusTicksTest {
  private static final Budget BUDGET = new Budget(200_000, 1L << 30, Duration.ofSeconds(20));
  private static final long MOST_STATES = 20_000;

  private int lockOuts;
  private int always;
  private int restless;
  private int tooBig;
  private int inCone;
  private int undecided;

  @Test
  void allWaysToDecideAgree() {
    compare(600, RandomModel::askingWhatCanAlwaysBe);
  }

  @Test
  void allWaysToDecideAgreeWithoutClocks() {
    compare(
        150, seed -> RandomModel.askingWhatCanAlwaysBe(RandomModel.withoutClocks(seed), seed));
  }

  @Test
  void allWaysToDecideAgreeWithManyLatches() {
    compare(100, seed -> RandomModel.askingWhatCanAlwaysBe(RandomModel.withGroups(seed), seed));
  }

  private void compare(long usual, LongFunction<Model> models) {
    long first = Long.getLong("seed", 1);
    long count = Long.getLong("seeds", usual);
    for (long seed = first; seed < first + count; seed++) {
      Model model = models.apply(seed);
      check("seed " + seed, model, model.claims().getFirst());
    }
    System.out.printf(
        "%d locked out, %d always can, %d with logic that may not settle, %d too big to judge,"
            + " %d decided in the cone, %d left undecided%n",
        lockOuts, always, restless, tooBig, inCone, undecided);
    if (count >= 100) {
      assertTrue(lockOuts > count / 10 && always > count / 10, "too one-sided to mean much");
      assertTrue(inCone > count / 20, "the cone is hardly tried");
      assertTrue(undecided <= count / 50, "too many undecided");
    }
  }

  private void check(String seed, Model model, Claim claim) {
    LockOutJudge.Answer judged = LockOutJudge.judge(model, claim, MOST_STATES);
    if (judged instanceof LockOutJudge.TooBig) {
      tooBig++;
      return;
    }
    var reads = new Reads(model);
    Verdict whole = Decider.decideWhole(model, claim, BUDGET, Progress.NONE);
    Verdict localised = Decider.decide(reads, claim, BUDGET, Progress.NONE);
    boolean cut = localised.kept().size() < whole.kept().size();
    inCone += cut && !(localised instanceof Verdict.Undecided) ? 1 : 0;
    if (whole instanceof Verdict.Reached r) {
      assertLockedOut(seed, model, claim, r);
    }
    if (localised instanceof Verdict.Reached r) {
      assertLockedOut(seed + " in the cone", model, claim, r);
    }
    switch (judged) {
      case LockOutJudge.LockOut(_, _, List<Integer> steps) -> {
        lockOuts++;
        Verdict.Reached found = assertInstanceOf(Verdict.Reached.class, whole, seed);
        assertEquals(steps.size(), found.events(), "steps of " + seed);
        if (localised instanceof Verdict.Proved) {
          fail(seed + ": locked out, but proved by keeping " + localised.kept());
        }
        if (localised instanceof Verdict.Reached l) {
          assertTrue(l.fewest() <= steps.size(), "fewest of " + seed);
        }
      }
      case LockOutJudge.Always _ -> {
        boolean settles =
            model.controller().reactionQuanta() > 0 || Settling.restless(model).isEmpty();
        if (settles) {
          always++;
          assertInstanceOf(Verdict.Proved.class, whole, seed);
        } else {
          restless++;
          assertInstanceOf(Verdict.Undecided.class, whole, seed);
          assertInstanceOf(Verdict.Undecided.class, localised, seed);
          return;
        }
        if (localised instanceof Verdict.Reached) {
          fail(seed + ": never locked out, but the cone shows a run");
        }
      }
      case LockOutJudge.TooBig _ -> {}
    }
    if (localised instanceof Verdict.Undecided u) {
      undecided++;
      System.out.println(seed + " undecided: " + u.reason());
    }
  }

  /** A run that is found must be one, and end in a state that the judge calls a lock-out too. */
  private static void assertLockedOut(
      String seed, Model model, Claim claim, Verdict.Reached reached) {
    Trace trace = reached.trace();
    Replayed replayed = Replay.run(model, claim, trace);
    Replayed.Valid valid = assertInstanceOf(Replayed.Valid.class, replayed, seed);
    assertEquals(
        Boolean.TRUE,
        LockOutJudge.isLockOut(
            model, claim, valid.end(), trace.ticksPerQuantum(), MOST_STATES),
        seed + ": the run does not end in a lock-out");
  }
}
