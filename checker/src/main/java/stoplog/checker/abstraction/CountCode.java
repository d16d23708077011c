package stoplog.checker.abstraction;

import static java.lang.constant.ConstantDescs.CD_boolean;
import static stoplog.checker.abstraction.StepClass.ASKS;
import static stoplog.checker.abstraction.StepClass.OUT;
import static stoplog.checker.abstraction.StepClass.SCRATCH;
import static stoplog.checker.abstraction.StepClass.SELF;
import static stoplog.checker.abstraction.StepClass.STATE;

import java.lang.classfile.CodeBuilder;
import java.lang.classfile.Label;
import java.lang.classfile.TypeKind;
import java.lang.constant.ClassDesc;
import java.lang.constant.MethodTypeDesc;
import java.util.BitSet;
import stoplog.checker.abstraction.CompilableSystem.Unit;

/**
 * Writes what a step makes of the counts in a packed state (how many changes wait for a scan, and the
 * faults so far), and what does not happen because of them.
 */
final class CountCode {
  private static final String POWERED = "powered";

  private final CompilableSystem system;
  private final WatchedCode watched;
  private final boolean alwaysPowered;
  private boolean asksPower;

  CountCode(CompilableSystem system, WatchedCode watched) {
    this.system = system;
    this.watched = watched;
    this.alwaysPowered = system.powered().always();
  }

  /** Adds what {@link #after} calls for this step. */
  void prepare(Unit unit, BitSet assigned) {
    watched.prepare(unit, assigned);
    asksPower |= system.tracksDue() && !alwaysPowered;
  }

  /** To be said before the class is written if a step is to call {@link #ifUnpowered}. */
  void willAskPower() {
    asksPower |= !alwaysPowered;
  }

  /** Adds the method that tells whether the controller has power, if anything asks. */
  void writePower(PieceCode pieces) {
    if (asksPower) {
      pieces.condition(POWERED, system.powered());
    }
  }

  /** Jumps if the controller has no power in the state before the step. */
  void ifUnpowered(CodeBuilder code, Label to) {
    if (!alwaysPowered) {
      powered(code, STATE);
      code.ifeq(to);
    }
  }

  private static void powered(CodeBuilder code, int array) {
    code.aload(array).aload(SCRATCH).invokestatic(SELF, POWERED, ASKS);
  }

  /** Leaves how many changes wait for a scan. */
  void due(CodeBuilder code, int array) {
    field(code, array, system.dueField());
  }

  private void field(CodeBuilder code, int array, int field) {
    var packing = system.packing();
    code.aload(array).loadConstant(packing.word(field)).laload();
    code.loadConstant(packing.shift(field)).lushr();
    code.loadConstant(packing.mask(field)).land().l2i();
  }

  /** Before a step: a fault does not strike beyond the budget. */
  void before(CodeBuilder code, Unit unit, Label drop) {
    if (unit instanceof Unit.Change c && c.fault()) {
      field(code, STATE, system.faultField());
      code.loadConstant(system.faultBudget()).if_icmpeq(drop);
    }
  }

  /** After a step: counts what it did; drops one elsewhere or unasked that did nothing. */
  void after(CodeBuilder code, Unit unit, BitSet assigned, Label drop) {
    switch (unit) {
      case Unit.Change c -> {
        dueAfterChange(code, unit, assigned, true, drop);
        if (c.fault()) {
          var packing = system.packing();
          int word = packing.word(system.faultField());
          code.aload(OUT).loadConstant(word).aload(OUT).loadConstant(word).laload();
          code.loadConstant(1L << packing.shift(system.faultField())).ladd().lastore();
        }
      }
      case Unit.Elsewhere e -> {
        dueAfterChange(code, unit, assigned, false, drop);
        dropUnchanged(code, drop);
      }
      case Unit.Scan s -> {
        dueAfterScan(code, unit, assigned);
        if (s.program() == s.unasked()) {
          dropUnchanged(code, drop);
        }
      }
    }
  }

  private void dueAfterScan(CodeBuilder code, Unit unit, BitSet assigned) {
    if (!system.tracksDue()) {
      return;
    }
    int due = code.allocateLocal(TypeKind.INT);
    Label set = code.newLabel();
    code.iconst_0().istore(due);
    watched.differs(code, unit, assigned);
    code.ifeq(set);
    if (!alwaysPowered) {
      powered(code, OUT);
      code.ifeq(set);
    }
    code.iconst_1().istore(due).labelBinding(set);
    putDue(code, due);
  }

  private void dueAfterChange(
      CodeBuilder code, Unit unit, BitSet assigned, boolean heldBack, Label drop) {
    if (!system.tracksDue()) {
      return;
    }
    int seen = code.allocateLocal(TypeKind.INT);
    int due = code.allocateLocal(TypeKind.INT);
    Label set = code.newLabel();
    Label powered = code.newLabel();
    watched.differs(code, unit, assigned);
    code.istore(seen);
    due(code, STATE);
    code.istore(due);
    if (!alwaysPowered) {
      powered(code, OUT);
      code.ifne(powered);
      code.iconst_0().istore(due).goto_(set).labelBinding(powered);
    }
    if (heldBack && system.immediate()) {
      Label free = code.newLabel();
      code.iload(seen).ifeq(free);
      code.iload(due).loadConstant(system.mostDue()).if_icmpeq(drop).labelBinding(free);
    }
    if (!alwaysPowered) {
      Label before = code.newLabel();
      powered(code, STATE);
      code.ifne(before);
      code.iconst_1().istore(due).goto_(set).labelBinding(before);
    }
    code.iload(seen).ifeq(set);
    code.iload(due).loadConstant(system.mostDue()).if_icmpge(set);
    code.iinc(due, 1).labelBinding(set);
    putDue(code, due);
  }

  private void putDue(CodeBuilder code, int due) {
    var packing = system.packing();
    int field = system.dueField();
    int word = packing.word(field);
    code.aload(OUT).loadConstant(word).aload(OUT).loadConstant(word).laload();
    code.loadConstant(~(packing.mask(field) << packing.shift(field))).land();
    code.iload(due).i2l().loadConstant(packing.shift(field)).lshl().lor().lastore();
  }

  private static void dropUnchanged(CodeBuilder code, Label drop) {
    code.aload(STATE).aload(OUT);
    code.invokestatic(
        ClassDesc.of("java.util.Arrays"),
        "equals",
        MethodTypeDesc.of(CD_boolean, PlainCode.WORDS, PlainCode.WORDS));
    code.ifne(drop);
  }
}
