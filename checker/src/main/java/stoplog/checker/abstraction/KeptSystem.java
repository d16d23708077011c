package stoplog.checker.abstraction;

import java.util.Arrays;
import java.util.BitSet;
import java.util.function.BooleanSupplier;
import org.jspecify.annotations.Nullable;
import stoplog.checker.explore.SleepSets;
import stoplog.checker.explore.TimedSystem;
import stoplog.model.Bound;
import stoplog.model.Claim;
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
 * <p>A kept {@link Group} is so here when it is so in the run: a step that assigns one of its members is
 * a step here, it starts among others from the values that the members have in the run, and ends with
 * the values they have then. A clock whose condition a kept group tells runs when it runs in the run.
 *
 * <p>What is stored, the steps and the clocks are worked out once ({@link KeptState}, {@link
 * KeptSteps}, {@link KeptClocks}); the steps are carried out as they are ({@link InterpretedSteps}) or,
 * in a long search, as code. For one thread at a time.
 */
final class KeptSystem implements TimedSystem {
  private static final int[] NO_CLOCKS = {};

  private final Model model;
  private final Reads reads;
  private final Kept kept;
  private final @Nullable Claim claim;
  private final KeptSteps steps;
  private final KeptState stored;
  private final KeptClocks clocks;
  private final boolean immediate;
  private final InterpretedSteps interpreted;

  /** The steps as code, once they are worth it. */
  private final Compilation compilation;

  private @Nullable CompiledSteps compiled;
  private int expanded;
  private final long[] packed;
  private long[] scratch = new long[0];
  private int[] clocksFound = new int[0];

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
    this.immediate = model.controller().reactionQuanta() == 0;
    this.steps = new KeptSteps(reads, claim, kept, quietExcept);
    this.stored = new KeptState(reads, claim, kept, steps);
    this.clocks = new KeptClocks(reads, claim, kept, steps);
    this.interpreted = new InterpretedSteps(model, kept, steps, stored, clocks, quietExcept);
    this.compilation = new Compilation(this::compilable);
    this.packed = new long[stored.packing().words()];
  }

  private KeptSystem(KeptSystem of) {
    this.reads = of.reads;
    this.model = of.model;
    this.claim = of.claim;
    this.kept = of.kept;
    this.immediate = of.immediate;
    this.steps = of.steps;
    this.stored = of.stored;
    this.clocks = of.clocks;
    this.interpreted = of.interpreted.forAnotherThread();
    this.compilation = of.compilation;
    this.packed = new long[of.packed.length];
  }

  @Override
  public KeptSystem forAnotherThread() {
    return new KeptSystem(this);
  }

  static boolean isWithin(BitSet inner, BitSet outer) {
    BitSet rest = (BitSet) inner.clone();
    rest.andNot(outer);
    return rest.isEmpty();
  }

  // ---- what it is made of

  CompilableSystem compilable() {
    return CompilableSystem.of(model, kept, steps, stored, clocks);
  }

  // ---- the system as the search sees it

  int scanStep() {
    return steps.scanStep();
  }

  int elsewhereStep() {
    return steps.elsewhereStep();
  }

  Kept kept() {
    return kept;
  }

  @Override
  public int words() {
    return packed.length;
  }

  @Override
  public int clocks() {
    return clocks.count();
  }

  @Override
  public int stepCount() {
    return steps.elsewhereStep() + 1;
  }

  @Override
  public @Nullable Bound limit(int clock) {
    return clocks.limit(clock);
  }

  @Override
  public FieldChange.@Nullable Timing timing(int step) {
    return clocks.timing(step);
  }

  @Override
  public int restarts(int step) {
    return step == steps.scanStep() ? clocks.due() : -1;
  }

  @Override
  public int goalClock() {
    return clocks.goal();
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
  public boolean goalCountsEverywhere() {
    return true;
  }

  @Override
  public void giveUpWhen(BooleanSupplier over) {
    interpreted.giveUpWhen(over);
  }

  /** How much may be done from here on for each step; the time is said by {@link #giveUpWhen}. */
  void keepTo(StepLimits limits) {
    interpreted.keepTo(limits);
  }

  @Override
  public void starts(Sink sink) {
    starts(null, sink);
  }

  /** As {@link #starts(Sink)}, telling which hidden variables each start leaned on. */
  void starts(@Nullable BitSet leaned, Sink sink) {
    interpreted.starts(leaned, sink);
  }

  /** As {@link #starts(Sink)}, from these values before the start assignments, indexed by variable. */
  void startsFrom(int[] initial, Sink sink) {
    interpreted.startsFrom(initial, sink);
  }

  /** The values before the start assignments that lead to this start state, all variables kept. */
  int @Nullable [] initialValuesOf(long[] state) {
    return interpreted.initialValuesOf(state);
  }

  @Override
  public void successors(long[] state, Sink sink) {
    successors(state, 0, sink);
  }

  @Override
  public @Nullable SleepSets sleepSets() {
    return compiled == null ? null : compiled.sleepSets();
  }

  @Override
  public void successors(long[] state, long asleep, Sink sink) {
    if (compiled == null && compilation.isWorthIt(++expanded)) {
      compile();
    }
    if (compiled != null) {
      compiled.successors(state, packed, scratch, asleep, sink, interpreted);
    } else {
      interpreted.all(state, sink);
    }
  }

  /**
   * From here on the steps are code; what they hand out stays the same. Where groups are kept they stay
   * as they are: those searches are small.
   */
  void compile() {
    if (kept.groups().isEmpty()) {
      use(compilation.steps());
    }
  }

  /** Takes steps that are compiled already; they must be those of this system. */
  void use(CompiledSteps code) {
    compiled = code;
    scratch = new long[code.scratchWords()];
    clocksFound = new int[clocks.count()];
  }

  /** The outcomes of one step, telling which hidden variables each leaned on. */
  void successors(long[] state, int step, @Nullable BitSet leaned, Sink sink) {
    interpreted.step(step, state, leaned, sink);
  }

  /** Whether a field change is a step here. */
  boolean has(int change) {
    return Arrays.binarySearch(steps.changeIds(), change) >= 0;
  }

  @Override
  public int[] running(long[] state) {
    if (compiled != null && compiled.knowsClocks()) {
      int found = compiled.running(state, scratch, clocksFound);
      return found == 0 ? NO_CLOCKS : Arrays.copyOf(clocksFound, found);
    }
    return interpreted.running(state);
  }

  @Override
  public boolean urgent(long[] state) {
    return kept.due() && immediate && stored.due(state) > 0;
  }

  /** The value a stored variable has in a packed state, or -1 if it is not stored. */
  int valueIn(long[] state, int variable) {
    return stored.value(state, variable);
  }

  /** The number by which a group that is kept here is stored, or -1 if it is not kept. */
  int numberOf(Group group) {
    int at = kept.groups().indexOf(group);
    return at < 0 ? -1 : model.variables().size() + at;
  }

  /** The group stored by this number, or null if it is that of a variable. */
  @Nullable Group group(int number) {
    int at = number - model.variables().size();
    return at < 0 ? null : kept.groups().get(at);
  }

  boolean stores(int variable) {
    return stored.stores(variable);
  }

  int dueIn(long[] state) {
    return stored.due(state);
  }

  int faultsIn(long[] state) {
    return stored.faults(state);
  }

  /** What a clock is called in a certificate. */
  String clockName(int clock) {
    return clocks.name(clock);
  }

  /** The clock of this system that is the given one of another system of the same model. */
  int clockLike(KeptSystem other, int clock) {
    return clocks.like(other.clocks, clock);
  }

  /** The stored variables, ascending, then the groups, numbered after all variables of the model. */
  int[] stored() {
    return stored.stored();
  }

  /**
   * The hidden variables whose clocks would bound how long a kept variable may wait: missing them
   * lets a kept variable stay as it is for ever.
   */
  BitSet hiddenDeadlines() {
    BitSet hidden = clocks.readByMissing(steps.changeIds());
    hidden.andNot(kept.variables());
    hidden.andNot(steps.constants());
    return hidden;
  }

  /** Whether any kept variable is assigned by scans, so that keeping track of due scans means something. */
  boolean scansMatter() {
    return !steps.scan().assignsNothing() && kept.variables().intersects(reads.programmed());
  }
}
