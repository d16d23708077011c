package stoplog.checker.abstraction;

import java.util.ArrayList;
import java.util.BitSet;
import java.util.List;
import org.jspecify.annotations.Nullable;
import stoplog.checker.pack.Packing;
import stoplog.model.FieldChange;
import stoplog.model.Model;
import stoplog.model.Variable;

/**
 * All that the code of a system's steps is written from.
 *
 * @param packing of the stored variables, then {@code due}, then the faults so far
 * @param stored the variable in each field, ascending
 * @param domains of all variables of the model
 * @param tracksDue whether scans can be due at all
 * @param mostDue how far {@code due} counts
 * @param immediate whether the controller reacts at once
 * @param watchedByChange variables whose change makes a scan due
 * @param watchedByScan variables whose change by a scan makes the next one due
 * @param powered the condition that the controller has power
 * @param units in the order in which their results are handed out
 * @param conditions of the clocks, by clock; {@code null} for the one of due scans
 */
record CompilableSystem(
    Packing packing,
    int[] stored,
    long[] domains,
    boolean tracksDue,
    int mostDue,
    boolean immediate,
    int faultBudget,
    BitSet watchedByChange,
    BitSet watchedByScan,
    StepProgram powered,
    List<Unit> units,
    List<@Nullable StepProgram> conditions) {

  /** A step of the system. */
  sealed interface Unit {
    int step();

    /** A field change. */
    record Change(int step, boolean fault, StepProgram program) implements Unit {}

    /**
     * A scan.
     *
     * @param unasked what it does when none is due; {@code null} if it does not come then
     */
    record Scan(int step, StepProgram program, @Nullable StepProgram unasked) implements Unit {}

    /** What happens elsewhere. */
    record Elsewhere(int step, StepProgram program) implements Unit {}
  }

  static CompilableSystem of(
      Model model, Kept kept, KeptSteps steps, KeptState state, KeptClocks clocks) {
    var units = new ArrayList<Unit>();
    int[] changes = steps.changeIds();
    for (int i = 0; i < changes.length; i++) {
      boolean fault = model.changes().get(changes[i]).cause() == FieldChange.Cause.FAULT;
      units.add(new Unit.Change(changes[i], fault, steps.change(i)));
    }
    boolean unasked = steps.scanMayComeUnasked() && !steps.unaskedScan().assignsNothing();
    units.add(
        new Unit.Scan(steps.scanStep(), steps.scan(), unasked ? steps.unaskedScan() : null));
    if (steps.elsewhereMatters()) {
      units.add(new Unit.Elsewhere(steps.elsewhereStep(), steps.elsewhere()));
    }
    var conditions = new ArrayList<@Nullable StepProgram>();
    for (int c = 0; c < clocks.count(); c++) {
      conditions.add(c == clocks.due() ? null : clocks.condition(c));
    }
    return new CompilableSystem(
        state.packing(),
        state.stored(),
        model.variables().stream().mapToLong(Variable::domain).toArray(),
        kept.due() && !model.controller().program().isEmpty(),
        state.maxDue(),
        model.controller().reactionQuanta() == 0,
        state.faultBudget(),
        state.watchedByChange(),
        state.watchedByScan(),
        steps.powered(),
        units,
        conditions);
  }

  int dueField() {
    return stored.length;
  }

  int faultField() {
    return stored.length + 1;
  }
}
