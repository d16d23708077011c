package stoplog.plants.random;

import java.time.Duration;
import org.jspecify.annotations.Nullable;
import stoplog.checker.abstraction.Decider;
import stoplog.checker.abstraction.Reads;
import stoplog.checker.explore.Budget;
import stoplog.checker.explore.Progress;
import stoplog.checker.reference.LockOutJudge;
import stoplog.checker.reference.Replay;
import stoplog.checker.reference.Replayed;
import stoplog.model.Claim;
import stoplog.model.Model;
import stoplog.model.Verdict;

/**
 * What is said of a claim about what can always be: by the judge that knows every tick, by one search
 * of the whole model, and by the searches of a part.
 *
 * @param problem where they disagree; {@code null} if they do not
 */
record LockOutComparison(
    LockOutJudge.Answer judged, @Nullable String problem, boolean undecided, String verdicts) {
  private static final Budget BUDGET = new Budget(50_000, 1L << 30, Duration.ofSeconds(20));

  static LockOutComparison of(Model model, Claim claim, long mostStates) {
    LockOutJudge.Answer judged = LockOutJudge.judge(model, claim, mostStates);
    if (judged instanceof LockOutJudge.TooBig) {
      return new LockOutComparison(judged, null, false, "");
    }
    Verdict whole = Decider.decideWhole(model, claim, BUDGET, Progress.NONE);
    Verdict localised = Decider.decide(model, claim, BUDGET, Progress.NONE);
    boolean always = judged instanceof LockOutJudge.Always;
    String problem = problem("whole", model, claim, whole, always);
    problem = problem == null ? problem("localised", model, claim, localised, always) : problem;
    if (problem == null && !always && Decider.hasWayBack(new Reads(model), claim, BUDGET, Progress.NONE)) {
      problem = "a way back from everywhere where there is a lock-out";
    }
    boolean undecided = localised instanceof Verdict.Undecided;
    String told = "  judge " + judged + "\n  whole " + whole + "\n  localised " + localised + "\n";
    return new LockOutComparison(judged, problem, undecided, told);
  }

  private static @Nullable String problem(
      String who, Model model, Claim claim, Verdict verdict, boolean always) {
    return switch (verdict) {
      case Verdict.Proved p -> always ? null : who + ": a proof where there is a lock-out";
      case Verdict.Reached r ->
          always
              ? who + ": a lock-out where there is none"
              : Replay.run(model, claim, r.trace()) instanceof Replayed.Invalid invalid
                  ? who + ": a run that is none: " + invalid.reason()
                  : null;
      case Verdict.Undecided u -> null;
    };
  }
}
