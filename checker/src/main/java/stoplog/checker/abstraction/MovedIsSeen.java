package stoplog.checker.abstraction;

import java.util.ArrayList;
import java.util.BitSet;
import stoplog.model.Assignment;
import stoplog.model.Expr;
import stoplog.model.FieldChange;
import stoplog.model.Model;

/**
 * Whether a scan is due once something other than a scan has moved what the logic assigns: whether that
 * is watched, all of it. What a loss of power moves need not be, for when power returns a scan is due.
 */
final class MovedIsSeen {
  private MovedIsSeen() {}

  static boolean holds(Reads reads) {
    Model model = reads.model();
    BitSet elsewhere = new BitSet();
    BitSet watched = (BitSet) reads.visible().clone();
    watched.or(reads.of(model.controller().powered()));
    model.clocks().forEach(c -> watched.or(reads.ofClock(c.id())));
    var others = new ArrayList<>(model.reactions());
    others.addAll(model.start());
    for (FieldChange c : model.changes()) {
      watched.or(reads.of(c.guard()));
      if (takesPower(model, c)) {
        c.effects().forEach(a -> watched.or(reads.of(a.value())));
      } else {
        others.addAll(c.effects());
      }
    }
    for (Assignment a : others) {
      elsewhere.set(a.variable());
      watched.or(reads.of(a.value()));
    }
    elsewhere.and(reads.programmed());
    elsewhere.andNot(watched);
    return elsewhere.isEmpty();
  }

  /** Whether the controller certainly has no power after this change. */
  private static boolean takesPower(Model model, FieldChange change) {
    if (!(model.controller().powered() instanceof Expr.In(Expr.Read(int power), long on))) {
      return false;
    }
    boolean takes = false;
    for (Assignment a : change.effects()) {
      if (a.variable() == power) {
        takes = a.value() instanceof Expr.Constant(int value) && (on >>> value & 1) == 0;
      }
    }
    return takes && model.reactions().stream().noneMatch(r -> r.variable() == power);
  }
}
