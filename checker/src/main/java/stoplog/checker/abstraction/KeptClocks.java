package stoplog.checker.abstraction;

import java.util.ArrayList;
import java.util.BitSet;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import org.jspecify.annotations.Nullable;
import stoplog.checker.certificate.Certificate;
import stoplog.model.Bound;
import stoplog.model.Claim;
import stoplog.model.Controller;
import stoplog.model.FieldChange;
import stoplog.model.Model;

/**
 * The clocks of a {@link KeptSystem}: those of the model whose conditions read kept variables and
 * constants only, or what a kept group tells, then that of the due scan, then the goal's. Never changed
 * once made, and so shared between threads.
 */
final class KeptClocks {
  private final Model model;
  private final Reads reads;
  private final List<@Nullable Bound> limits = new ArrayList<>();
  private final FieldChange.@Nullable Timing[] timings;
  private final StepProgram[] conditions;
  private final int dueClock;
  private final int goalClock;
  private final Map<Integer, Integer> index = new HashMap<>();

  KeptClocks(Reads reads, @Nullable Claim claim, Kept kept, KeptSteps steps) {
    this.reads = reads;
    this.model = reads.model();
    var programs = new ArrayList<StepProgram>();
    this.timings = new FieldChange.Timing[steps.elsewhereStep() + 1];
    keepClocks(kept, steps, programs);
    Controller controller = model.controller();
    this.dueClock = kept.due() && controller.reactionQuanta() > 0 ? limits.size() : -1;
    if (dueClock >= 0) {
      limits.add(Bound.at(controller.reactionQuanta()));
    }
    this.goalClock = claim == null ? -1 : limits.size();
    if (claim != null) {
      limits.add(null);
      programs.add(steps.condition(claim.condition()));
    }
    this.conditions = programs.toArray(StepProgram[]::new);
  }

  private void keepClocks(Kept kept, KeptSteps steps, List<StepProgram> programs) {
    BitSet wanted = (BitSet) reads.clocksReadingNothing().clone();
    kept.followed().stream().forEach(v -> reads.clocksReading(v).forEach(wanted::set));
    wanted.stream()
        .filter(c -> keeps(reads, c, kept, steps.constants()))
        .forEach(
            c -> {
              index.put(c, limits.size());
              limits.add(attained(model.clocks().get(c).limit()));
              programs.add(steps.condition(model.clocks().get(c).running()));
            });
    for (int id : steps.changeIds()) {
      FieldChange.Timing t = model.changes().get(id).timing();
      if (t != null && index.containsKey(t.clock())) {
        timings[id] = new FieldChange.Timing(index.get(t.clock()), t.earliest(), t.latest());
      }
    }
  }

  /**
   * A clock starts at 0, and one with the open limit 0 is there already: no time passes, but steps
   * happen. That is what the closed limit 0 says.
   */
  private static @Nullable Bound attained(@Nullable Bound limit) {
    return limit != null && limit.quanta() == 0 ? Bound.at(0) : limit;
  }

  /** Whether a clock's condition is known from what is kept, and depends on it. */
  static boolean keeps(Reads reads, int clock, Kept kept, BitSet constants) {
    if (kept.groups().isEmpty()) {
      return keeps(reads, clock, kept.variables(), constants);
    }
    Model model = reads.model();
    BitSet beside =
        new Groups(model).readsBeside(model.clocks().get(clock).running(), kept.groups());
    beside.andNot(constants);
    BitSet read = reads.ofClock(clock);
    return KeptSystem.isWithin(beside, kept.variables())
        && (read.isEmpty() || !KeptSystem.isWithin(read, constants));
  }

  /** Whether a clock's condition is known from these variables, and depends on them. */
  static boolean keeps(Reads reads, int clock, BitSet variables, BitSet constants) {
    BitSet read = reads.ofClock(clock);
    boolean depends = read.isEmpty() || read.intersects(variables);
    read.andNot(constants);
    return depends && KeptSystem.isWithin(read, variables);
  }

  int count() {
    return limits.size();
  }

  @Nullable Bound limit(int clock) {
    return limits.get(clock);
  }

  FieldChange.@Nullable Timing timing(int step) {
    return timings[step];
  }

  /** The clock of the due scan, or -1. */
  int due() {
    return dueClock;
  }

  /** The clock of the claim's condition, or -1. */
  int goal() {
    return goalClock;
  }

  /** Whether a clock other than that of the due scan runs: if the program has a result. */
  StepProgram condition(int clock) {
    return conditions[Math.min(clock, index.size())];
  }

  /** What a clock is called in a certificate. */
  String name(int clock) {
    if (clock == dueClock) {
      return Certificate.Bound.DUE;
    }
    if (clock == goalClock) {
      return Certificate.Bound.CONDITION;
    }
    return model.clocks().get(modelClock(clock)).name();
  }

  private int modelClock(int clock) {
    for (Map.Entry<Integer, Integer> e : index.entrySet()) {
      if (e.getValue() == clock) {
        return e.getKey();
      }
    }
    throw new IllegalArgumentException("no clock " + clock);
  }

  /** The clock here that is the given one of another system of the same model. */
  int like(KeptClocks other, int clock) {
    if (clock == other.dueClock) {
      return dueClock;
    }
    if (clock == other.goalClock) {
      return goalClock;
    }
    return index.getOrDefault(other.modelClock(clock), -1);
  }

  /** What the clocks read that would hold back changes here if they were kept. A fresh set. */
  BitSet readByMissing(int[] changes) {
    BitSet read = new BitSet();
    for (int id : changes) {
      FieldChange.Timing t = model.changes().get(id).timing();
      if (t != null && timings[id] == null) {
        read.or(reads.ofClock(t.clock()));
      }
    }
    return read;
  }
}
