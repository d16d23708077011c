package stoplog.checker.reference;

import java.util.ArrayList;
import java.util.List;
import org.jspecify.annotations.Nullable;
import stoplog.model.Bound;
import stoplog.model.Claim;
import stoplog.model.Clock;
import stoplog.model.FieldChange;
import stoplog.model.Model;
import stoplog.model.Trace;

/**
 * Finds the times of a run of which only the start and the order of its steps are known.
 *
 * <p>Such a run visits the same discrete states whatever its times are, so it is known at which step
 * each clock started, and all that the rules demand of the times is that certain two of them lie at
 * least, or at most, so many ticks apart. The smallest solution of such demands gives every step its
 * earliest time at once; it is found by raising times until nothing has to be raised any more.
 *
 * <p><b>How fine the ticks must be.</b> Whether a solution exists depends only on the whole parts of
 * the times and the order of their fractional parts. A run of n steps has n + 2 instants, the first
 * one at 0, so ticks of a (n + 2)-th quantum can tell n + 1 fractional parts apart from each other and
 * from 0: enough. If all bounds are closed, whole quanta are enough (see {@link TickJudge}).
 */
public final class EarliestTimes {
  private final Model model;
  private final Claim claim;
  private final Interpreter interpreter;
  private final int ticksPerQuantum;
  private final List<Demand> demands = new ArrayList<>();

  /** The later instant comes at least this many ticks after the earlier, which may be negative. */
  private record Demand(int earlier, int later, long ticks) {}

  private EarliestTimes(Model model, Claim claim, int ticksPerQuantum) {
    this.model = model;
    this.claim = claim;
    this.ticksPerQuantum = ticksPerQuantum;
    this.interpreter = new Interpreter(model, claim, ticksPerQuantum);
  }

  /**
   * The run with these steps in which everything comes as early as it can, in ticks just fine enough.
   * Whether the steps' conditions hold is not asked: {@link Replay} does.
   *
   * @param steps indices of field changes, {@link Trace.Step#SCAN} for a scan
   * @return {@code null} if no times satisfy the rules
   * @throws IllegalArgumentException if the start is none
   */
  public static @Nullable Trace of(
      Model model, Claim claim, List<Integer> start, List<Integer> steps) {
    int ticks = TickJudge.allBoundsClosed(model) ? 1 : steps.size() + 2;
    return of(model, claim, start, steps, ticks);
  }

  /** The same in given ticks; times between them are not tried. O(steps² · clocks). */
  public static @Nullable Trace of(
      Model model, Claim claim, List<Integer> start, List<Integer> steps, int ticksPerQuantum) {
    var times = new EarliestTimes(model, claim, ticksPerQuantum);
    times.demandAll(start, steps);
    long[] at = times.least(steps.size() + 2);
    if (at == null) {
      return null;
    }
    var timed = new ArrayList<Trace.Step>();
    for (int i = 0; i < steps.size(); i++) {
      timed.add(new Trace.Step(at[i + 1], steps.get(i)));
    }
    return new Trace(ticksPerQuantum, start, timed, at[steps.size() + 1]);
  }

  /**
   * Walks through the run with exactly one tick between its instants. That breaks the rules of time
   * but makes every clock tell how many instants ago it started. Instant 0 is the start, instant i
   * the i-th step, the last instant the end.
   */
  private void demandAll(List<Integer> start, List<Integer> steps) {
    State state = interpreter.start(start);
    for (int instant = 0; instant <= steps.size(); instant++) {
      int next = instant + 1;
      atLeast(instant, next, 0);
      for (Clock c : model.clocks()) {
        Bound limit = c.limit();
        if (limit != null && state.isRunning(c.id())) {
          long most = Math.max(0, interpreter.latestTick(limit));
          atMost(instant - (int) state.clockTicks(c.id()), next, most);
        }
      }
      if (state.due() > 0) {
        long most = model.controller().reactionQuanta() * ticksPerQuantum;
        atMost(instant - (int) state.dueTicks(), next, most);
      }
      if (instant == steps.size()) {
        demandEnd(state, instant);
      } else {
        state = demandStep(state, instant, steps.get(instant));
      }
    }
  }

  private State demandStep(State state, int instant, int step) {
    State before = interpreter.advanced(state, 1);
    if (step == Trace.Step.SCAN) {
      return interpreter.scanned(before);
    }
    FieldChange change = model.changes().get(step);
    FieldChange.Timing timing = change.timing();
    if (timing != null && state.isRunning(timing.clock())) {
      int started = instant - (int) state.clockTicks(timing.clock());
      atLeast(started, instant + 1, interpreter.earliestTick(timing.earliest()));
      Bound latest = timing.latest();
      if (latest != null) {
        atMost(started, instant + 1, interpreter.latestTick(latest));
      }
    }
    return interpreter.changed(before, change);
  }

  private void demandEnd(State state, int instant) {
    boolean asked = claim.kind() != Claim.Kind.ALWAYS_CAN;
    if (asked && state.conditionTicks() != State.NOT_RUNNING) {
      int started = instant - (int) state.conditionTicks();
      atLeast(started, instant + 1, claim.forQuanta() * ticksPerQuantum + 1);
    }
  }

  private void atLeast(int earlier, int later, long ticks) {
    demands.add(new Demand(earlier, later, ticks));
  }

  private void atMost(int earlier, int later, long ticks) {
    demands.add(new Demand(later, earlier, -ticks));
  }

  /** The smallest times from 0 on that meet all demands, or {@code null} if there are none. */
  private long @Nullable [] least(int instants) {
    long[] at = new long[instants];
    // A round that raises nothing is the solution; the start stays at 0, since every other solution
    // can be moved there. If the last of as many rounds as there are
    // instants still raises something, demands go round in a circle and no times meet them.
    for (int round = 0; round < instants; round++) {
      boolean raised = false;
      for (Demand d : demands) {
        long least = at[d.earlier()] + d.ticks();
        if (at[d.later()] < least) {
          at[d.later()] = least;
          raised = true;
        }
      }
      if (!raised) {
        return at;
      }
    }
    return null;
  }
}
