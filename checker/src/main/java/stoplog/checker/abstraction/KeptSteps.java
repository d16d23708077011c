package stoplog.checker.abstraction;

import java.util.BitSet;
import org.jspecify.annotations.Nullable;
import stoplog.model.Assignment;
import stoplog.model.Claim;
import stoplog.model.Expr;
import stoplog.model.FieldChange;
import stoplog.model.Model;

/**
 * The steps of a model that bear on the kept variables, made ready to be carried out on those alone.
 * Never changed once made, and so shared between threads.
 *
 * <p>Steps are numbered: field changes by their index in the model, then the scan, then elsewhere.
 */
final class KeptSteps {
  private final Reads reads;
  private final Model model;
  private final Kept kept;
  private final @Nullable Claim claim;
  private final BitSet constants;
  private final int scanStep;
  private final BitSet relevant;
  private final boolean othersHappen;
  private final int[] changeIds;
  private final StepProgram[] changePrograms;
  private final StepProgram scanProgram;
  private final StepProgram unaskedScanProgram;
  private final StepProgram elsewhereProgram;
  private final StepProgram startProgram;
  private final StepProgram poweredProgram;
  private final boolean scanMayComeUnasked;

  KeptSteps(Reads reads, @Nullable Claim claim, Kept kept, @Nullable BitSet quietExcept) {
    this.reads = reads;
    this.model = reads.model();
    this.kept = kept;
    this.claim = claim;
    this.constants = claim == null ? new BitSet() : constants(reads, claim);
    this.scanStep = model.changes().size();
    this.relevant = bearingOn(reads, claim, kept);
    int possible = claim == null ? model.changes().size() : reads.admitted(claim).changes();
    this.othersHappen = relevant.cardinality() < possible;
    this.changeIds =
        relevant.stream()
            .filter(id -> quietExcept == null || stirs(model.changes().get(id), quietExcept))
            .toArray();
    this.changePrograms = new StepProgram[changeIds.length];
    for (int i = 0; i < changeIds.length; i++) {
      FieldChange c = model.changes().get(changeIds[i]);
      changePrograms[i] = step(compiler().guard(c.guard()).assign(reads.effects(c)));
    }
    this.scanProgram = step(scanCompiler().assign(reads.program()));
    this.unaskedScanProgram =
        followsEveryRun() ? scanProgram : anyStep(scanCompiler().assign(reads.program()));
    this.elsewhereProgram = anyStep(compiler());
    this.startProgram = step(compiler().atStart().assign(reads.start()));
    this.poweredProgram = compiler().guard(model.controller().powered()).done();
    this.scanMayComeUnasked =
        !kept.due() || kept.variables().cardinality() < model.variables().size();
  }

  /** Variables that always have their initial value in the runs of a claim. A fresh set. */
  static BitSet constants(Reads reads, Claim claim) {
    BitSet constants = (BitSet) reads.admitted(claim).constants().clone();
    claim.monitors().forEach(m -> constants.clear(m.variable()));
    return constants;
  }

  private StepCompiler compiler() {
    return new StepCompiler(model, kept, constants);
  }

  /**
   * For scans, which read what the last thing to hold may be among. The last monitor of a claim, if it is a
   * latch, has in every run the value that it would be given again before the scan: it reads what the
   * step before has left, and nothing has been assigned since. That says of what is hidden what the kept
   * monitor knows of it.
   */
  private StepCompiler scanCompiler() {
    StepCompiler compiler = compiler();
    if (claim == null || !LastToHold.isCase(reads, claim)) {
      return compiler;
    }
    Assignment last = claim.monitors().getLast();
    return kept.has(last.variable())
        ? compiler.known(new Expr.Same(new Expr.Read(last.variable()), last.value()))
        : compiler;
  }

  /** A condition on the kept variables: it may hold if the program has a result. */
  StepProgram condition(Expr condition) {
    return compiler().guard(condition).done();
  }

  private boolean followsEveryRun() {
    return claim == null || claim.onlyWhile().equals(Expr.TRUE);
  }

  /** Adds what follows in every step, and whether the claim follows a run there. */
  private StepProgram step(StepCompiler compiler) {
    then(compiler);
    if (claim != null && !followsEveryRun()) {
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

  /** The changes that bear on what is kept. A fresh set. */
  static BitSet bearingOn(Reads reads, @Nullable Claim claim, Kept kept) {
    BitSet ids = new BitSet();
    kept.followed().stream().forEach(v -> reads.changesOf(v).forEach(c -> ids.set(c.id())));
    reads.changesWithoutEffects().forEach(c -> ids.set(c.id()));
    if (claim != null) {
      for (int id = ids.nextSetBit(0); id >= 0; id = ids.nextSetBit(id + 1)) {
        ids.set(id, claim.admits(reads.model().changes().get(id)));
      }
    }
    return ids;
  }

  private static boolean stirs(FieldChange c, BitSet quietExcept) {
    return c.timing() != null
        || c.effects().stream().anyMatch(e -> quietExcept.get(e.variable()));
  }

  /** Variables that always have their initial value. Not to be changed. */
  BitSet constants() {
    return constants;
  }

  int scanStep() {
    return scanStep;
  }

  int elsewhereStep() {
    return scanStep + 1;
  }

  /** The changes that bear on what is kept, also those that do not happen of their own accord. */
  BitSet relevant() {
    return relevant;
  }

  /** The model's numbers of the changes that happen here, ascending. */
  int[] changeIds() {
    return changeIds;
  }

  /** The change with this index in {@link #changeIds}. */
  StepProgram change(int index) {
    return changePrograms[index];
  }

  StepProgram scan() {
    return scanProgram;
  }

  StepProgram unaskedScan() {
    return unaskedScanProgram;
  }

  StepProgram elsewhere() {
    return elsewhereProgram;
  }

  /** What follows the choice of the initial values. */
  StepProgram start() {
    return startProgram;
  }

  /** Whether the controller may have power. */
  StepProgram powered() {
    return poweredProgram;
  }

  /** Whether a scan may come for the sake of something hidden. */
  boolean scanMayComeUnasked() {
    return scanMayComeUnasked;
  }

  /** Whether a step elsewhere can change anything kept. */
  boolean elsewhereMatters() {
    return othersHappen && !elsewhereProgram.assignsNothing();
  }
}
