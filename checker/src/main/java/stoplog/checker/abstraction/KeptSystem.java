package stoplog.checker.abstraction;

import java.util.ArrayList;
import java.util.BitSet;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import org.jspecify.annotations.Nullable;
import stoplog.checker.certificate.Certificate;
import stoplog.checker.explore.TimedSystem;
import stoplog.checker.pack.Packing;
import stoplog.model.Assignment;
import stoplog.model.Bound;
import stoplog.model.Claim;
import stoplog.model.Controller;
import stoplog.model.Expr;
import stoplog.model.FieldChange;
import stoplog.model.Model;

/**
 * A model as one search sees it: the kept variables, the clocks whose conditions read kept variables
 * (and constants) only, and every step that can touch them; all else is free.
 *
 * <p><b>Why a proof here is a proof.</b> Every run of the model, with the hidden variables struck
 * out, is a run here. A step of the model that assigns a kept variable is the same step here, each
 * hidden read giving (among others) the value it had in the run. Other field changes touch kept
 * variables only through the reactions and monitors that follow every step: the step {@link
 * #elsewhere} stands for those, and may come at any time. (It matters even where they read nothing
 * hidden: a monitor that remembers the step before moves on with every step.) A scan that the model
 * takes because of a hidden change comes here unasked: scans may come at any time as long as
 * anything at all is hidden. (Even one that reads only kept variables may undo what a reaction or a
 * change did to an output since the last.) Clocks here run on kept variables only, so their starts,
 * windows and deadlines are those of the run; clocks and deadlines not kept only take restrictions
 * away. {@code due} here is at most what it is in the run, its clock started no earlier, and it
 * holds back fewer changes.
 *
 * <p>Steps are numbered: field changes by their index in the model, then the scan, then elsewhere.
 */
final class KeptSystem implements TimedSystem {
  private final Model model;
  private final Reads reads;
  private final Kept kept;
  private final @Nullable Claim claim;
  private final Controller controller;
  private final int scanStep;
  private final int elsewhereStep;
  private final int faultBudget;
  private final BitSet constants;

  /** The kept variables and the constants. */
  private final BitSet known;

  private final int[] stored;
  private final Packing packing;
  private final int dueField;
  private final int faultField;
  private final int maxDue;
  private final BitSet watchedByChange;
  private final BitSet watchedByScan;

  private final int[] changeIds;
  private final StepProgram[] changePrograms;
  private final StepProgram scanProgram;
  private final StepProgram unaskedScanProgram;
  private final StepProgram elsewhereProgram;
  private final StepProgram startProgram;
  private final StepProgram[] clockConditions;
  private final StepProgram poweredProgram;
  private final boolean scanMayComeUnasked;

  private final List<@Nullable Bound> limits = new ArrayList<>();
  private final FieldChange.@Nullable Timing[] timings;
  private final int dueClock;
  private final int goalClock;
  private final Map<Integer, Integer> clockIndex = new HashMap<>();

  private final int[] values;
  private int due;
  private int faults;
  private final long[] packed;
  private final BitSet quietExcept;
  private final boolean quiet;
  private boolean othersHappen;

  /** The whole step relation on the kept variables. The claim may be absent: then there is no goal. */
  KeptSystem(Reads reads, @Nullable Claim claim, Kept kept) {
    this(reads, claim, kept, null);
  }

  /**
   * As above, but nothing of its own accord happens to variables other than the given ones: untimed
   * changes must assign one of them, and all other variables start with the first of their values. A
   * run here is still a run of the model; not finding one proves nothing.
   */
  KeptSystem(Reads reads, @Nullable Claim claim, Kept kept, @Nullable BitSet quietExcept) {
    this.reads = reads;
    this.model = reads.model();
    this.claim = claim;
    this.kept = kept;
    this.controller = model.controller();
    this.quiet = quietExcept != null;
    this.quietExcept = quietExcept == null ? new BitSet() : quietExcept;
    this.faultBudget = claim == null ? 0 : claim.faultBudget();
    this.constants = claim == null ? new BitSet() : constants(reads, claim);
    this.known = (BitSet) kept.variables().clone();
    known.or(constants);
    this.scanStep = model.changes().size();
    this.elsewhereStep = scanStep + 1;
    this.maxDue = controller.reactionQuanta() == 0 ? controller.coincident() : 1;
    this.values = new int[model.variables().size()];

    BitSet relevant = relevantChanges();
    this.changeIds =
        relevant.stream().filter(id -> !quiet || stirs(model.changes().get(id))).toArray();
    this.changePrograms = new StepProgram[changeIds.length];
    for (int i = 0; i < changeIds.length; i++) {
      FieldChange c = model.changes().get(changeIds[i]);
      changePrograms[i] = step(compiler().guard(c.guard()).assign(reads.effects(c)));
    }
    this.scanProgram = step(compiler().assign(reads.program()));
    this.unaskedScanProgram = anyStep(compiler().assign(reads.program()));
    this.elsewhereProgram = anyStep(compiler());
    this.startProgram = step(compiler().assign(reads.start()));
    this.poweredProgram = compiler().guard(controller.powered()).done();
    this.scanMayComeUnasked = !kept.due() || kept.size() < model.variables().size();

    BitSet live = liveBetweenSteps(relevant);
    live.and(kept.variables());
    this.stored = live.stream().toArray();
    int[] sizes = new int[stored.length + 2];
    for (int i = 0; i < stored.length; i++) {
      sizes[i] = model.variable(stored[i]).size();
    }
    this.dueField = stored.length;
    this.faultField = stored.length + 1;
    sizes[dueField] = kept.due() ? maxDue + 1 : 1;
    sizes[faultField] = faultBudget + 1;
    this.packing = new Packing(sizes);
    this.packed = new long[packing.words()];
    this.watchedByScan = (BitSet) reads.visible().clone();
    watchedByScan.and(live);
    this.watchedByChange = (BitSet) reads.visible().clone();
    watchedByChange.or(reads.programmed());
    watchedByChange.and(live);

    var conditions = new ArrayList<StepProgram>();
    this.timings = new FieldChange.Timing[elsewhereStep + 1];
    keepClocks(conditions);
    this.dueClock = kept.due() && controller.reactionQuanta() > 0 ? limits.size() : -1;
    if (dueClock >= 0) {
      limits.add(Bound.at(controller.reactionQuanta()));
    }
    this.goalClock = claim == null ? -1 : limits.size();
    if (claim != null) {
      limits.add(null);
      conditions.add(compiler().guard(claim.condition()).done());
    }
    this.clockConditions = conditions.toArray(StepProgram[]::new);
  }

  private static BitSet constants(Reads reads, Claim claim) {
    BitSet constants = (BitSet) reads.admitted(claim).constants().clone();
    claim.monitors().forEach(m -> constants.clear(m.variable()));
    return constants;
  }

  private StepCompiler compiler() {
    return new StepCompiler(model, kept, constants);
  }

  /** Adds what follows in every step, and whether the claim follows a run there. */
  private StepProgram step(StepCompiler compiler) {
    then(compiler);
    if (claim != null && !claim.onlyWhile().equals(Expr.TRUE)) {
      compiler.guard(claim.onlyWhile());
    }
    return compiler.done();
  }

  /**
   * The same for steps that stand for what happens outside: also where the claim does not follow them,
   * so that it shows that they touch what is kept.
   */
  private StepProgram anyStep(StepCompiler compiler) {
    then(compiler);
    return compiler.done();
  }

  private void then(StepCompiler compiler) {
    compiler.assign(reads.reactions());
    if (claim != null) {
      compiler.assign(claim.monitors());
    }
  }

  private BitSet relevantChanges() {
    BitSet ids = new BitSet();
    kept.variables().stream().forEach(v -> reads.changesOf(v).forEach(c -> ids.set(c.id())));
    reads.changesWithoutEffects().forEach(c -> ids.set(c.id()));
    if (claim != null) {
      for (int id = ids.nextSetBit(0); id >= 0; id = ids.nextSetBit(id + 1)) {
        ids.set(id, claim.admits(model.changes().get(id)));
      }
    }
    int possible = claim == null ? model.changes().size() : reads.admitted(claim).changes();
    othersHappen = ids.cardinality() < possible;
    return ids;
  }

  private boolean stirs(FieldChange c) {
    return c.timing() != null
        || c.effects().stream().anyMatch(e -> quietExcept.get(e.variable()));
  }

  private void keepClocks(List<StepProgram> conditions) {
    BitSet wanted = (BitSet) reads.clocksReadingNothing().clone();
    kept.variables().stream()
        .forEach(v -> reads.clocksReading(v).forEach(wanted::set));
    wanted.stream()
        .filter(c -> keepsClock(reads, c, kept.variables(), constants))
        .forEach(
            c -> {
              clockIndex.put(c, limits.size());
              limits.add(attained(model.clocks().get(c).limit()));
              conditions.add(compiler().guard(model.clocks().get(c).running()).done());
            });
    for (int id : changeIds) {
      FieldChange.Timing t = model.changes().get(id).timing();
      if (t != null && clockIndex.containsKey(t.clock())) {
        timings[id] =
            new FieldChange.Timing(clockIndex.get(t.clock()), t.earliest(), t.latest());
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

  /** Whether a clock's condition is known from these variables, and depends on them. */
  static boolean keepsClock(Reads reads, int clock, BitSet variables, BitSet constants) {
    BitSet read = reads.ofClock(clock);
    boolean depends = read.isEmpty() || read.intersects(variables);
    read.andNot(constants);
    return depends && isWithin(read, variables);
  }

  static boolean isWithin(BitSet inner, BitSet outer) {
    BitSet rest = (BitSet) inner.clone();
    rest.andNot(outer);
    return rest.isEmpty();
  }

  /** Variables whose value between steps anything reads: all but those a scan always assigns first. */
  private BitSet liveBetweenSteps(BitSet relevant) {
    BitSet live = (BitSet) reads.betweenSteps().clone();
    relevant.stream().forEach(id -> reads.ofChange(id, live));
    if (claim != null) {
      live.or(reads.of(claim.condition()));
      live.or(reads.of(claim.onlyWhile()));
      claim.monitors().forEach(a -> add(live, a));
    } else {
      live.or(kept.variables());
    }
    return live;
  }

  private void add(BitSet live, Assignment a) {
    live.or(reads.of(a.value()));
  }

  // ---- the system as the search sees it

  int scanStep() {
    return scanStep;
  }

  int elsewhereStep() {
    return elsewhereStep;
  }

  Kept kept() {
    return kept;
  }

  @Override
  public int words() {
    return packing.words();
  }

  @Override
  public int clocks() {
    return limits.size();
  }

  @Override
  public int stepCount() {
    return elsewhereStep + 1;
  }

  @Override
  public @Nullable Bound limit(int clock) {
    return limits.get(clock);
  }

  @Override
  public FieldChange.@Nullable Timing timing(int step) {
    return timings[step];
  }

  @Override
  public int restarts(int step) {
    return step == scanStep ? dueClock : -1;
  }

  @Override
  public int goalClock() {
    return goalClock;
  }

  @Override
  public long goalQuanta() {
    return claim == null ? 0 : claim.forQuanta();
  }

  @Override
  public boolean goal(long[] state) {
    return true;
  }

  @Override
  public void starts(Sink sink) {
    starts(null, sink);
  }

  /** As {@link #starts(Sink)}, telling which hidden variables each start leaned on. */
  void starts(@Nullable BitSet leaned, Sink sink) {
    start(kept.variables().nextSetBit(0), leaned, sink, new int[values.length]);
  }

  private void start(int variable, @Nullable BitSet leaned, Sink sink, int[] initial) {
    if (variable < 0) {
      System.arraycopy(initial, 0, values, 0, initial.length);
      startProgram.run(
          values,
          leaned,
          () -> {
            due = kept.due() && !controller.program().isEmpty() && powered() ? 1 : 0;
            faults = 0;
            emit(sink, -1);
          });
      return;
    }
    long from = model.variable(variable).initial();
    if (quiet && !quietExcept.get(variable)) {
      from = Long.lowestOneBit(from);
    }
    for (long rest = from; rest != 0; rest &= rest - 1) {
      initial[variable] = Long.numberOfTrailingZeros(rest);
      start(kept.variables().nextSetBit(variable + 1), leaned, sink, initial);
    }
  }

  /** The values before the start assignments that lead to this start state, all variables kept. */
  int @Nullable [] initialValuesOf(long[] state) {
    int[][] found = new int[1][];
    int[] initial = new int[values.length];
    start(
        kept.variables().nextSetBit(0),
        null,
        (step, s) -> {
          if (found[0] == null && java.util.Arrays.equals(s, state)) {
            found[0] = initial.clone();
          }
        },
        initial);
    return found[0];
  }

  @Override
  public void successors(long[] state, Sink sink) {
    for (int i = 0; i < changeIds.length; i++) {
      change(i, state, null, sink);
    }
    scan(state, null, sink);
    elsewhere(state, null, sink);
  }

  /** The outcomes of one step, telling which hidden variables each leaned on. */
  void successors(long[] state, int step, BitSet leaned, Sink sink) {
    if (step == scanStep) {
      scan(state, leaned, sink);
    } else if (step == elsewhereStep) {
      elsewhere(state, leaned, sink);
    } else {
      change(java.util.Arrays.binarySearch(changeIds, step), state, leaned, sink);
    }
  }

  private void change(int index, long[] state, @Nullable BitSet leaned, Sink sink) {
    unpack(state);
    FieldChange c = model.changes().get(changeIds[index]);
    boolean fault = c.cause() == FieldChange.Cause.FAULT;
    if (fault && faults == faultBudget) {
      return;
    }
    int dueBefore = due;
    int faultsBefore = faults;
    boolean poweredBefore = kept.due() && powered();
    changePrograms[index].run(
        values,
        leaned,
        () -> {
          boolean seen = differs(state, watchedByChange);
          if (kept.due()
              && seen
              && dueBefore == maxDue
              && controller.reactionQuanta() == 0
              && powered()) {
            return;
          }
          due = dueAfterChange(dueBefore, seen, poweredBefore);
          faults = faultsBefore + (fault ? 1 : 0);
          emit(sink, c.id());
        });
  }

  private int dueAfterChange(int before, boolean seen, boolean poweredBefore) {
    if (!kept.due() || controller.program().isEmpty() || !powered()) {
      return 0;
    }
    if (!poweredBefore) {
      return 1;
    }
    return seen ? Math.min(before + 1, maxDue) : before;
  }

  private void scan(long[] state, @Nullable BitSet leaned, Sink sink) {
    unpack(state);
    if (due == 0 && (!scanMayComeUnasked || unaskedScanProgram.assignsNothing()) || !powered()) {
      return;
    }
    boolean unasked = due == 0;
    int faultsBefore = faults;
    (unasked ? unaskedScanProgram : scanProgram).run(
        values,
        leaned,
        () -> {
          due = kept.due() && differs(state, watchedByScan) && powered() ? 1 : 0;
          faults = faultsBefore;
          if (!unasked || scanProgram.readsHidden() || !isAsIn(state)) {
            emit(sink, scanStep);
          }
        });
  }

  private void elsewhere(long[] state, @Nullable BitSet leaned, Sink sink) {
    if (!othersHappen || elsewhereProgram.assignsNothing()) {
      return;
    }
    unpack(state);
    int dueBefore = due;
    int faultsBefore = faults;
    boolean poweredBefore = kept.due() && powered();
    elsewhereProgram.run(
        values,
        leaned,
        () -> {
          boolean seen = differs(state, watchedByChange);
          due = dueAfterChange(dueBefore, seen, poweredBefore);
          faults = faultsBefore;
          if (elsewhereProgram.readsHidden() || !isAsIn(state)) {
            emit(sink, elsewhereStep);
          }
        });
  }

  /** Whether the controller has, or may have, power in the current values. */
  private boolean powered() {
    boolean[] may = new boolean[1];
    poweredProgram.run(values, null, () -> may[0] = true);
    return may[0];
  }

  private boolean differs(long[] state, BitSet watched) {
    for (int i = 0; i < stored.length; i++) {
      if (watched.get(stored[i]) && packing.get(state, i) != values[stored[i]]) {
        return true;
      }
    }
    return false;
  }

  /** Whether nothing stored has changed. A step that changes nothing needs no edge. */
  private boolean isAsIn(long[] state) {
    for (int i = 0; i < stored.length; i++) {
      if (packing.get(state, i) != values[stored[i]]) {
        return false;
      }
    }
    return packing.get(state, dueField) == due && packing.get(state, faultField) == faults;
  }

  @Override
  public int[] running(long[] state) {
    unpack(state);
    int[] result = new int[limits.size()];
    int count = 0;
    int[] at = new int[1];
    int modelClocks = clockIndex.size();
    for (int c = 0; c < limits.size(); c++) {
      if (c == dueClock) {
        if (due > 0) {
          result[count++] = c;
        }
        continue;
      }
      at[0] = 0;
      clockConditions[c < modelClocks ? c : modelClocks].run(values, null, () -> at[0] = 1);
      count += at[0];
      if (at[0] == 1) {
        result[count - 1] = c;
      }
    }
    return java.util.Arrays.copyOf(result, count);
  }

  @Override
  public boolean urgent(long[] state) {
    return kept.due()
        && controller.reactionQuanta() == 0
        && packing.get(state, dueField) > 0;
  }

  private void emit(Sink sink, int step) {
    java.util.Arrays.fill(packed, 0);
    for (int i = 0; i < stored.length; i++) {
      packing.put(packed, i, values[stored[i]]);
    }
    packing.put(packed, dueField, due);
    packing.put(packed, faultField, faults);
    sink.edge(step, packed);
  }

  private void unpack(long[] state) {
    for (int i = 0; i < stored.length; i++) {
      values[stored[i]] = packing.get(state, i);
    }
    due = packing.get(state, dueField);
    faults = packing.get(state, faultField);
  }

  /** The value a stored variable has in a packed state, or -1 if it is not stored. */
  int valueIn(long[] state, int variable) {
    int at = java.util.Arrays.binarySearch(stored, variable);
    return at < 0 ? -1 : packing.get(state, at);
  }

  boolean stores(int variable) {
    return java.util.Arrays.binarySearch(stored, variable) >= 0;
  }

  int dueIn(long[] state) {
    return packing.get(state, dueField);
  }

  int faultsIn(long[] state) {
    return packing.get(state, faultField);
  }

  /** What a clock is called in a certificate. */
  String clockName(int clock) {
    if (clock == dueClock) {
      return Certificate.Bound.DUE;
    }
    if (clock == goalClock) {
      return Certificate.Bound.CONDITION;
    }
    for (Map.Entry<Integer, Integer> e : clockIndex.entrySet()) {
      if (e.getValue() == clock) {
        return model.clocks().get(e.getKey()).name();
      }
    }
    throw new IllegalArgumentException("no clock " + clock);
  }

  /** The clock of this system that is the given one of another system of the same model. */
  int clockLike(KeptSystem other, int clock) {
    if (clock == other.dueClock) {
      return dueClock;
    }
    if (clock == other.goalClock) {
      return goalClock;
    }
    for (Map.Entry<Integer, Integer> e : other.clockIndex.entrySet()) {
      if (e.getValue() == clock) {
        return clockIndex.getOrDefault(e.getKey(), -1);
      }
    }
    throw new IllegalArgumentException("no clock " + clock);
  }

  /** The stored variables, ascending. */
  int[] stored() {
    return stored;
  }

  /**
   * The hidden variables whose clocks would bound how long a kept variable may wait: missing them
   * lets a kept variable stay as it is for ever.
   */
  BitSet hiddenDeadlines() {
    BitSet hidden = new BitSet();
    for (int id : changeIds) {
      FieldChange.Timing t = model.changes().get(id).timing();
      if (t != null && timings[id] == null) {
        hidden.or(reads.ofClock(t.clock()));
      }
    }
    hidden.andNot(known);
    return hidden;
  }

  /** Whether any kept variable is assigned by scans, so that keeping track of due scans means something. */
  boolean scansMatter() {
    return !scanProgram.assignsNothing() && kept.variables().intersects(reads.programmed());
  }
}
