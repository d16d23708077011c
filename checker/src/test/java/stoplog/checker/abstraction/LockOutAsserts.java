package stoplog.checker.abstraction;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertInstanceOf;

import java.time.Duration;
import java.util.List;
import stoplog.checker.explore.Budget;
import stoplog.checker.explore.Progress;
import stoplog.checker.reference.LockOutJudge;
import stoplog.checker.reference.Replay;
import stoplog.checker.reference.Replayed;
import stoplog.model.Claim;
import stoplog.model.Model;
import stoplog.model.Trace;
import stoplog.model.Verdict;

/** What the search for lock-outs must say of a model with the claim R-1, and the judge with it. */
final class LockOutAsserts {
  static final Budget BUDGET = new Budget(100_000, 1L << 28, Duration.ofSeconds(20));

  private LockOutAsserts() {}

  /** What the search of the whole plant finds; the localised one must find a lock-out too. */
  static Verdict.Reached assertLocksOut(Model model) {
    Claim claim = model.claim("R-1");
    assertInstanceOf(LockOutJudge.LockOut.class, LockOutJudge.judge(model, claim, 100_000));
    assertEnds(model, claim, Decider.decide(model, claim, BUDGET, Progress.NONE));
    return assertEnds(model, claim, Decider.decideWhole(model, claim, BUDGET, Progress.NONE));
  }

  private static Verdict.Reached assertEnds(Model model, Claim claim, Verdict verdict) {
    Verdict.Reached reached = assertInstanceOf(Verdict.Reached.class, verdict);
    Trace trace = reached.trace();
    Replayed.Valid valid =
        assertInstanceOf(Replayed.Valid.class, Replay.run(model, claim, trace));
    assertEquals(
        Boolean.TRUE,
        LockOutJudge.isLockOut(model, claim, valid.end(), trace.ticksPerQuantum(), 100_000));
    return reached;
  }

  /** The variables that the localised proof keeps; the whole plant must be proved too. */
  static List<String> assertAlwaysCan(Model model) {
    Claim claim = model.claim("R-1");
    assertInstanceOf(LockOutJudge.Always.class, LockOutJudge.judge(model, claim, 100_000));
    assertInstanceOf(
        Verdict.Proved.class, Decider.decideWhole(model, claim, BUDGET, Progress.NONE));
    Verdict verdict = Decider.decide(model, claim, BUDGET, Progress.NONE);
    return assertInstanceOf(Verdict.Proved.class, verdict).kept();
  }

  static List<String> told(Model model, Trace trace) {
    return trace.steps().stream()
        .map(s -> s.tick() + " " + (s.isScan() ? "scan" : model.changes().get(s.change()).text()))
        .toList();
  }
}
