package stoplog.checker.export;

import java.util.BitSet;
import stoplog.model.Assignment;
import stoplog.model.Claim;
import stoplog.model.Expr;
import stoplog.model.FieldChange;
import stoplog.model.Model;

/** What the controller sees, as {@link stoplog.model.Controller} says, from the model alone. */
final class Sight {
  private final Model model;
  private final BitSet visible = new BitSet();
  private final BitSet watched = new BitSet();

  /**
   * @param claim what it remembers is read outside the program too
   * @param watching the claim of the plant of which that is one case, or the same
   */
  Sight(Model model, Claim claim, Claim watching) {
    this.model = model;
    var assigned = new BitSet();
    for (Assignment a : model.controller().program()) {
      BitSet read = reads(a.value());
      read.andNot(assigned);
      visible.or(read);
      assigned.set(a.variable());
    }
    var outside = new BitSet();
    model.start().forEach(a -> outside.or(reads(a.value())));
    model.reactions().forEach(a -> outside.or(reads(a.value())));
    for (FieldChange c : model.changes()) {
      outside.or(reads(c.guard()));
      c.effects().forEach(a -> outside.or(reads(a.value())));
    }
    model.clocks().forEach(c -> outside.or(reads(c.running())));
    outside.or(reads(model.controller().powered()));
    outside.or(reads(watching.condition()));
    claim.monitors().forEach(a -> outside.or(reads(a.value())));
    outside.and(assigned);
    watched.or(visible);
    watched.or(outside);
  }

  private BitSet reads(Expr e) {
    return Expr.variables(e, model.definitions());
  }

  /** Those whose old value the program may read. Not to be changed. */
  BitSet visible() {
    return visible;
  }

  /** Those a change of which calls for a scan. Not to be changed. */
  BitSet watched() {
    return watched;
  }
}
