package stoplog.checker.reference;

import java.util.BitSet;
import stoplog.model.Assignment;
import stoplog.model.Expr;
import stoplog.model.FieldChange;
import stoplog.model.Model;

/**
 * What the controller can see, as far as the text of the model alone decides it: see {@link
 * stoplog.model.Controller}.
 */
final class Visibility {
  private final Model model;
  private final BitSet visible = new BitSet();
  private final BitSet visibleOrAssigned = new BitSet();
  private final BitSet possiblyVisibleChanges = new BitSet();

  Visibility(Model model) {
    this.model = model;
    var assigned = new BitSet();
    for (Assignment a : model.controller().program()) {
      BitSet read = reads(a.value());
      read.andNot(assigned);
      visible.or(read);
      assigned.set(a.variable());
    }
    visibleOrAssigned.or(visible);
    visibleOrAssigned.or(assigned);
    for (FieldChange c : model.changes()) {
      possiblyVisibleChanges.set(c.id(), touched(c).intersects(visibleOrAssigned));
    }
  }

  /** Whether a variable that the program may read before it assigns it differs. */
  boolean seesDifference(int[] before, int[] after) {
    return differs(visible, before, after);
  }

  /** Whether a variable that the program may read before it assigns it, or assigns, differs. */
  boolean isConcernedBy(int[] before, int[] after) {
    return differs(visibleOrAssigned, before, after);
  }

  /** Whether the change assigns, itself or through a reaction, anything visible or assigned. */
  boolean isPossiblyVisible(FieldChange change) {
    return possiblyVisibleChanges.get(change.id());
  }

  private static boolean differs(BitSet among, int[] before, int[] after) {
    for (int v = among.nextSetBit(0); v >= 0; v = among.nextSetBit(v + 1)) {
      if (before[v] != after[v]) {
        return true;
      }
    }
    return false;
  }

  /** What a change assigns, and what the reactions that read something so assigned assign in turn. */
  private BitSet touched(FieldChange change) {
    var touched = new BitSet();
    for (Assignment a : change.effects()) {
      touched.set(a.variable());
    }
    for (Assignment a : model.reactions()) {
      if (reads(a.value()).intersects(touched)) {
        touched.set(a.variable());
      }
    }
    return touched;
  }

  private BitSet reads(Expr e) {
    var read = new BitSet();
    collectReads(e, read, new BitSet());
    return read;
  }

  private void collectReads(Expr e, BitSet read, BitSet usesDone) {
    switch (e) {
      case Expr.Constant c -> {}
      case Expr.Read r -> read.set(r.variable());
      case Expr.Use u -> {
        if (!usesDone.get(u.definition())) {
          usesDone.set(u.definition());
          collectReads(model.definitions().get(u.definition()).value(), read, usesDone);
        }
      }
      case Expr.Not n -> collectReads(n.operand(), read, usesDone);
      case Expr.All a -> a.operands().forEach(o -> collectReads(o, read, usesDone));
      case Expr.Any a -> a.operands().forEach(o -> collectReads(o, read, usesDone));
      case Expr.In i -> collectReads(i.operand(), read, usesDone);
      case Expr.Same s -> {
        collectReads(s.left(), read, usesDone);
        collectReads(s.right(), read, usesDone);
      }
      case Expr.Choose c -> {
        collectReads(c.condition(), read, usesDone);
        collectReads(c.then(), read, usesDone);
        collectReads(c.otherwise(), read, usesDone);
      }
      case Expr.Shift s -> collectReads(s.operand(), read, usesDone);
    }
  }
}
