package stoplog.checker.evidence;

import java.util.ArrayList;
import java.util.HashSet;
import java.util.List;
import java.util.Set;
import org.jspecify.annotations.Nullable;
import stoplog.checker.reference.EarliestTimes;
import stoplog.checker.reference.Interpreter;
import stoplog.checker.reference.Replay;
import stoplog.checker.reference.Replayed;
import stoplog.checker.reference.State;
import stoplog.model.Claim;
import stoplog.model.FieldChange;
import stoplog.model.Model;
import stoplog.model.Trace;
import stoplog.model.Verdict;

/**
 * A run without what it can do without: a power failure, a press of a button or a turn of the process
 * that happens by the way.
 *
 * <p>Each of these is left out in turn, from the last to the first, and with it whatever then does not
 * happen any more; what is left counts only if the reference interpreter still replays it. This goes
 * on until none can be left out. O(steps²) steps of the interpreter a round, with a limit.
 */
public final class QuieterRun {
  /** Values worked out by the interpreter beyond which no more is tried: it is to take no time. */
  private static final long MOST_VALUES = 10_000_000;

  private final Model model;
  private final Claim claim;
  private long values;
  private int mostEdits;

  private QuieterRun(Model model, Claim claim) {
    this.model = model;
    this.claim = claim;
  }

  /**
   * The same finding, shown by a run that is shorter if one is found. A run into a lock-out is left as it
   * is: what makes its end one is not seen by replaying. So is one that shows what is wanted, of which
   * nobody is told a story.
   */
  public static Verdict.Reached of(Model model, Claim claim, Verdict.Reached reached) {
    return claim.kind().wanted() || claim.kind() == Claim.Kind.ALWAYS_CAN
        ? reached
        : new QuieterRun(model, claim).shown(reached);
  }

  private Verdict.Reached shown(Verdict.Reached reached) {
    mostEdits = edits(reached.trace());
    Trace trace = quieted(reached.trace());
    if (trace == reached.trace()) {
      return reached;
    }
    Set<Integer> kept = kept(reached);
    int spared = touching(reached.trace(), kept) - touching(trace, kept);
    int most = Math.min(reached.events(), trace.steps().size());
    int events = Math.clamp(reached.events() - spared, reached.fewest(), most);
    return new Verdict.Reached(
        trace, events, reached.fewest(), reached.kept(), reached.effort());
  }

  private Set<Integer> kept(Verdict.Reached reached) {
    var kept = new HashSet<Integer>();
    var index = model.indexByName();
    for (String name : reached.kept()) {
      Integer id = index.get(name);
      if (id != null) {
        kept.add(id);
      }
    }
    return kept;
  }

  /** Steps that change one of these variables. */
  private int touching(Trace trace, Set<Integer> variables) {
    int touching = 0;
    if (Replay.run(model, claim, trace) instanceof Replayed.Valid valid) {
      for (Replayed.Moment m : valid.moments()) {
        boolean touches =
            variables.stream().anyMatch(v -> m.before().value(v) != m.after().value(v));
        touching += touches ? 1 : 0;
      }
    }
    return touching;
  }

  private Trace quieted(Trace found) {
    Trace trace = found;
    boolean shorter = true;
    while (shorter) {
      shorter = false;
      for (int i = trace.steps().size() - 1; i >= 0; i--) {
        if (i < trace.steps().size() && comesFromOutside(trace.steps().get(i))) {
          Trace less = without(trace, i);
          if (less != null) {
            trace = less;
            shorter = true;
          }
        }
        if (values > MOST_VALUES) {
          return timed(found, trace);
        }
      }
    }
    return timed(found, trace);
  }

  private boolean comesFromOutside(Trace.Step step) {
    return !step.isScan()
        && switch (model.changes().get(step.change()).cause()) {
          case OPERATOR, PROCESS, FAULT, POWER -> true;
          case EQUIPMENT, INSTRUMENT, TIMER -> false;
        };
  }

  /** The run without this step and without those that are not possible then; null if it is none. */
  private @Nullable Trace without(Trace trace, int left) {
    var interpreter = new Interpreter(model, claim, trace.ticksPerQuantum());
    var steps = new ArrayList<Trace.Step>();
    State state = interpreter.start(trace.start());
    long now = 0;
    for (int i = 0; i < trace.steps().size(); i++) {
      Trace.Step step = trace.steps().get(i);
      if (i == left) {
        continue;
      }
      values += model.variables().size();
      if (interpreter.whyNotPass(state, step.tick() - now) != null) {
        return null;
      }
      state = interpreter.pass(state, step.tick() - now);
      now = step.tick();
      State next = after(interpreter, state, step);
      if (next != null) {
        state = next;
        steps.add(step);
      }
    }
    var less = new Trace(trace.ticksPerQuantum(), trace.start(), steps, trace.endTick());
    return replays(less) && edits(less) <= mostEdits ? less : null;
  }

  private @Nullable State after(Interpreter interpreter, State state, Trace.Step step) {
    if (step.isScan()) {
      return interpreter.whyNotScan(state) == null ? interpreter.scan(state) : null;
    }
    FieldChange change = model.changes().get(step.change());
    return interpreter.whyNotApply(state, change) == null ? interpreter.apply(state, change) : null;
  }

  private boolean replays(Trace trace) {
    values += (long) model.variables().size() * trace.steps().size();
    return Replay.run(model, claim, trace) instanceof Replayed.Valid;
  }

  /** What is left comes as early as it can. */
  private Trace timed(Trace found, Trace left) {
    if (left == found) {
      return found;
    }
    List<Integer> steps = left.steps().stream().map(Trace.Step::change).toList();
    Trace early =
        EarliestTimes.of(model, claim, left.start(), steps, left.ticksPerQuantum());
    return early != null && replays(early) && edits(early) <= mostEdits ? early : left;
  }

  /** Pairs of uses of one setpoint that no one value does for. */
  private int edits(Trace trace) {
    int edits = 0;
    if (Replay.run(model, claim, trace) instanceof Replayed.Valid valid) {
      for (List<SettingUses.Use> uses : SettingUses.of(model, trace, valid).values()) {
        for (SettingUses.Use one : uses) {
          edits +=
              (int) uses.stream().filter(u -> one.differs(u, trace.ticksPerQuantum())).count();
        }
      }
    }
    return edits;
  }
}
