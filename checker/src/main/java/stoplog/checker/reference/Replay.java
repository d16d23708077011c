package stoplog.checker.reference;

import java.util.ArrayList;
import org.jspecify.annotations.Nullable;
import stoplog.model.Claim;
import stoplog.model.FieldChange;
import stoplog.model.Model;
import stoplog.model.Trace;

/**
 * Follows a trace move by move and says whether the plant can do that. For {@link
 * Claim.Kind#ALWAYS_CAN} it follows the run to its end and does not ask whether that is a lock-out:
 * {@link LockOutJudge} does.
 */
public final class Replay {
  private Replay() {}

  /** Linear in the number of steps; each costs one evaluation of the whole model. */
  public static Replayed run(Model model, Claim claim, Trace trace) {
    if (trace.ticksPerQuantum() < 1) {
      return new Replayed.Invalid(-1, "there is less than one tick to the quantum");
    }
    var interpreter = new Interpreter(model, claim, trace.ticksPerQuantum());
    String notStarted = interpreter.whyNotStart(trace.start());
    if (notStarted != null) {
      return new Replayed.Invalid(-1, notStarted);
    }
    State start = interpreter.start(trace.start());
    if (!interpreter.isFollowed(start)) {
      return new Replayed.Invalid(-1, notGranted(claim));
    }
    State state = start;
    long now = 0;
    var moments = new ArrayList<Replayed.Moment>();
    for (int i = 0; i < trace.steps().size(); i++) {
      Trace.Step step = trace.steps().get(i);
      String notPassed = interpreter.whyNotPass(state, step.tick() - now);
      if (notPassed != null) {
        return new Replayed.Invalid(i, notPassed);
      }
      State before = interpreter.pass(state, step.tick() - now);
      String notDone = whyNotStep(model, interpreter, before, step);
      if (notDone != null) {
        return new Replayed.Invalid(i, notDone);
      }
      State after =
          step.isScan()
              ? interpreter.scan(before)
              : interpreter.apply(before, model.changes().get(step.change()));
      if (!interpreter.isFollowed(after)) {
        return new Replayed.Invalid(i, notGranted(claim));
      }
      moments.add(new Replayed.Moment(step, before, after));
      state = after;
      now = step.tick();
    }
    String notPassed = interpreter.whyNotPass(state, trace.endTick() - now);
    if (notPassed != null) {
      return new Replayed.Invalid(trace.steps().size(), notPassed);
    }
    State end = interpreter.pass(state, trace.endTick() - now);
    return claim.kind() == Claim.Kind.ALWAYS_CAN || interpreter.violated(end)
        ? new Replayed.Valid(start, moments, end)
        : new Replayed.Invalid(
            trace.steps().size(),
            "the condition of " + claim.id() + " has not held for long enough");
  }

  private static String notGranted(Claim claim) {
    return "what " + claim.id() + " takes for granted does not hold";
  }

  private static @Nullable String whyNotStep(
      Model model, Interpreter interpreter, State state, Trace.Step step) {
    if (step.isScan()) {
      String reason = interpreter.whyNotScan(state);
      return reason == null ? null : "scan: " + reason;
    }
    if (step.change() < 0 || step.change() >= model.changes().size()) {
      return "there is no field change " + step.change();
    }
    FieldChange change = model.changes().get(step.change());
    String reason = interpreter.whyNotApply(state, change);
    return reason == null ? null : change.text() + ": " + reason;
  }
}
