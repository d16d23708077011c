package stoplog.checker.abstraction;

import java.util.ArrayList;
import java.util.Arrays;
import org.jspecify.annotations.Nullable;
import stoplog.checker.evidence.TraceTimes;
import stoplog.checker.explore.Search;
import stoplog.checker.reference.Replay;
import stoplog.checker.reference.Replayed;
import stoplog.model.Claim;
import stoplog.model.Trace;

/** Makes a path of the whole model a trace with times, and has the reference interpreter replay it. */
final class Completion {
  /** What became of the path. */
  sealed interface Result permits Valid, Refused {}

  record Valid(Trace trace) implements Result {}

  /** The interpreter refused it, or no times fit: an error of ours, never a finding. */
  record Refused(String reason) implements Result {}

  private Completion() {}

  /** The system keeps everything. */
  static Result check(Reads reads, Claim claim, KeptSystem system, Search.Path path) {
    return check(reads, claim, system, path, TraceTimes.of(system, path));
  }

  /** The same with times found already; null if there are none. */
  static Result check(
      Reads reads,
      Claim claim,
      KeptSystem system,
      Search.Path path,
      @Nullable TraceTimes times) {
    if (times == null) {
      return new Refused("internal error: the trace found has no consistent times");
    }
    long[] first = Arrays.copyOf(path.states().getFirst(), system.words());
    int[] initial = system.initialValuesOf(first);
    if (initial == null) {
      return new Refused("internal error: the trace found starts nowhere");
    }
    return check(reads, claim, system, path, times, initial);
  }

  /** The same with the values known that the variables have before the start assignments. */
  static Result check(
      Reads reads,
      Claim claim,
      KeptSystem system,
      Search.Path path,
      @Nullable TraceTimes times,
      int[] initial) {
    if (times == null) {
      return new Refused("internal error: the trace found has no consistent times");
    }
    var steps = new ArrayList<Trace.Step>();
    for (int i = 0; i < path.steps().length; i++) {
      int step = path.steps()[i];
      if (step != system.elsewhereStep()) {
        int change = step == system.scanStep() ? Trace.Step.SCAN : step;
        steps.add(new Trace.Step(times.ticks()[i], change));
      }
    }
    var trace =
        new Trace(
            times.ticksPerQuantum(),
            Arrays.stream(initial).limit(reads.model().variables().size()).boxed().toList(),
            steps,
            times.endTick());
    return switch (Replay.run(reads.model(), claim, trace)) {
      case Replayed.Valid v ->
          new Valid(SteadySettings.of(reads.model(), claim, trace, v));
      case Replayed.Invalid i ->
          new Refused(
              "internal error: the trace found does not replay at step "
                  + i.step()
                  + ": "
                  + i.reason());
    };
  }
}
