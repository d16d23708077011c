package stoplog.checker.reference;

import java.util.BitSet;
import java.util.List;
import stoplog.model.Assignment;
import stoplog.model.Claim;
import stoplog.model.Expr;
import stoplog.model.Model;

/**
 * What the controller can see, as far as the text of the model alone decides it: see {@link
 * stoplog.model.Controller}.
 */
final class Visibility {
  private final Model model;
  private final BitSet visible = new BitSet();
  private final BitSet watched = new BitSet();

  Visibility(Model model, Claim claim) {
    this.model = model;
    var assigned = new BitSet();
    for (Assignment a : model.controller().program()) {
      BitSet read = reads(a.value());
      read.andNot(assigned);
      visible.or(read);
      assigned.set(a.variable());
    }
    watched.or(readOutsideProgram(claim));
    watched.and(assigned);
    watched.or(visible);
  }

  /** Whether a variable that the program may read before it assigns it differs. */
  boolean seesDifference(int[] before, int[] after) {
    return differs(visible, before, after);
  }

  /** Whether a watched variable differs. */
  boolean isConcernedBy(int[] before, int[] after) {
    return differs(watched, before, after);
  }

  private static boolean differs(BitSet among, int[] before, int[] after) {
    for (int v = among.nextSetBit(0); v >= 0; v = among.nextSetBit(v + 1)) {
      if (before[v] != after[v]) {
        return true;
      }
    }
    return false;
  }

  private BitSet readOutsideProgram(Claim claim) {
    var read = new BitSet();
    readAll(model.start(), read);
    readAll(model.reactions(), read);
    model.changes().forEach(c -> read.or(reads(c.guard())));
    model.changes().forEach(c -> readAll(c.effects(), read));
    model.clocks().forEach(c -> read.or(reads(c.running())));
    read.or(reads(model.controller().powered()));
    read.or(reads(claim.condition()));
    read.or(reads(claim.onlyWhile()));
    readAll(claim.monitors(), read);
    return read;
  }

  private void readAll(List<Assignment> assignments, BitSet read) {
    assignments.forEach(a -> read.or(reads(a.value())));
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
