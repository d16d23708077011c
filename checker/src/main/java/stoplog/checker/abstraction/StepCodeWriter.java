package stoplog.checker.abstraction;

import static java.lang.constant.ConstantDescs.CD_int;
import static java.lang.constant.ConstantDescs.CD_void;
import static stoplog.checker.abstraction.StepClass.ASLEEP;
import static stoplog.checker.abstraction.StepClass.CLOCKS;
import static stoplog.checker.abstraction.StepClass.MOST_CALLS;
import static stoplog.checker.abstraction.StepClass.OUT;
import static stoplog.checker.abstraction.StepClass.RECEIVER;
import static stoplog.checker.abstraction.StepClass.SCRATCH;
import static stoplog.checker.abstraction.StepClass.SELF;
import static stoplog.checker.abstraction.StepClass.STATE;
import static stoplog.checker.abstraction.StepClass.STEP;

import java.lang.classfile.CodeBuilder;
import java.lang.classfile.Label;
import java.lang.constant.ClassDesc;
import java.lang.constant.ConstantDescs;
import java.lang.constant.MethodTypeDesc;
import java.util.ArrayList;
import java.util.BitSet;
import java.util.List;
import stoplog.checker.abstraction.CompilableSystem.Unit;

/**
 * Writes the class file of a {@link StepCode}.
 *
 * <p>Each step is a method. A short one has its words in local variables from beginning to end. A long
 * one checks its guard, copies the state, and has the rest in pieces that work on the copy ({@link
 * PieceCode}); neither comes near the size at which the machine refuses to compile a method (8,000
 * bytes) or to load it (65,535).
 */
final class StepCodeWriter {
  private static final MethodTypeDesc EDGE = MethodTypeDesc.of(CD_void, CD_int, PlainCode.WORDS);

  private final CompilableSystem system;
  private final Commuting commuting;
  private final PlainCode.Places places;
  private final StepClass into = new StepClass();
  private final PieceCode pieces;
  private final CountCode counts;

  /**
   * @param commuting tells the bits of steps that may sleep
   * @param methodBytes about how many bytes of code a method may have
   */
  StepCodeWriter(CompilableSystem system, Commuting commuting, int methodBytes) {
    this.system = system;
    this.commuting = commuting;
    this.places = PlainCode.Places.of(system);
    this.pieces = new PieceCode(into, places, methodBytes);
    this.counts = new CountCode(system, new WatchedCode(into, system, places));
  }

  /**
   * The class file for some units, which must be plain.
   *
   * @param withClocks whether it also tells which clocks run; else it says that none does
   */
  byte[] write(List<Unit> units, boolean withClocks) {
    var stepNames = new ArrayList<String>();
    for (Unit u : units) {
      stepNames.add(unit(u));
    }
    String steps = into.callInTurn(stepNames);
    String clocks = withClocks ? clocks() : "";
    counts.writePower(pieces);
    return into.written(steps, clocks);
  }

  // ---- steps

  private String unit(Unit unit) {
    return switch (unit) {
      case Unit.Change c -> step(c, c.program(), c.step());
      case Unit.Elsewhere e -> step(e, e.program(), e.step());
      case Unit.Scan s -> scan(s);
    };
  }

  private String scan(Unit.Scan s) {
    String asked = system.tracksDue() ? step(s, s.program(), s.step()) : "";
    StepProgram program = s.unasked();
    String unasked =
        program == null ? "" : step(new Unit.Scan(s.step(), program, program), program, s.step());
    String name = into.fresh("scan");
    counts.willAskPower();
    into.method(
        name,
        STEP,
        code -> {
          Label end = code.newLabel();
          Label notDue = code.newLabel();
          counts.ifUnpowered(code, end);
          if (!asked.isEmpty()) {
            counts.due(code, STATE);
            code.ifeq(notDue);
            StepClass.call(code, asked);
            code.goto_(end);
          }
          code.labelBinding(notDue);
          if (!unasked.isEmpty()) {
            StepClass.call(code, unasked);
          }
          code.labelBinding(end).return_();
        });
    return name;
  }

  private String step(Unit unit, StepProgram program, int number) {
    String name = into.fresh("step");
    Statements statements = pieces.statements(program, name);
    var assigned = new BitSet();
    for (StepProgram.Operation op : program.operations()) {
      if (op.target() >= 0) {
        assigned.set(op.target());
      }
    }
    boolean whole = statements.isShort();
    var parts = whole ? List.<String>of() : pieces.pieces(statements, name);
    int guards = whole ? 0 : pieces.guardPieces(statements);
    String check = into.askInTurn(parts.subList(0, guards));
    String rest = into.askInTurn(parts.subList(guards, parts.size()));
    counts.prepare(unit, assigned);
    into.method(
        name,
        STEP,
        code -> {
          Label drop = code.newLabel();
          long bit = commuting.bit(number);
          if (bit != 0) {
            code.lload(ASLEEP).loadConstant(bit).land().lconst_0().lcmp().ifne(drop);
          }
          counts.before(code, unit, drop);
          if (whole) {
            var plain = new PlainCode(code, SELF, places, statements, STATE, SCRATCH, false);
            statements.list().forEach(s -> plain.statement(s, drop));
            copy(code, plain);
          } else {
            StepClass.ask(code, check, STATE, SCRATCH, drop);
            copyState(code);
            StepClass.ask(code, rest, OUT, SCRATCH, drop);
          }
          counts.after(code, unit, assigned, drop);
          handOut(code, number);
          code.labelBinding(drop).return_();
        });
    return name;
  }

  private static void handOut(CodeBuilder code, int step) {
    code.aload(RECEIVER).loadConstant(step).aload(OUT);
    code.invokeinterface(StepClass.SINK, "edge", EDGE);
  }

  private void copyState(CodeBuilder code) {
    code.aload(STATE).iconst_0().aload(OUT).iconst_0().loadConstant(system.packing().words());
    code.invokestatic(
        ClassDesc.of("java.lang.System"),
        "arraycopy",
        MethodTypeDesc.of(
            CD_void,
            ConstantDescs.CD_Object,
            CD_int,
            ConstantDescs.CD_Object,
            CD_int,
            CD_int));
  }

  /** The state after a step that had its words in local variables. */
  private void copy(CodeBuilder code, PlainCode plain) {
    int words = system.packing().words();
    if (words <= 4) {
      var all = new BitSet();
      all.set(0, words);
      plain.store(OUT, all);
    } else {
      copyState(code);
      plain.store(OUT, plain.changed());
    }
  }

  // ---- clocks

  private String clocks() {
    var groups = new ArrayList<String>();
    int clocks = system.conditions().size();
    for (int from = 0; from == 0 || from < clocks; from += MOST_CALLS) {
      groups.add(clocks(from, Math.min(clocks, from + MOST_CALLS)));
    }
    String name = into.fresh("clocks");
    into.method(
        name,
        CLOCKS,
        code -> {
          for (String g : groups) {
            code.aload(0).aload(1).aload(2).iload(3).invokestatic(SELF, g, CLOCKS).istore(3);
          }
          code.iload(3).ireturn();
        });
    return name;
  }

  private String clocks(int from, int to) {
    String[] asks = new String[to];
    for (int c = from; c < to; c++) {
      StepProgram condition = system.conditions().get(c);
      if (condition != null) {
        asks[c] = into.fresh("clock");
        pieces.condition(asks[c], condition);
      }
    }
    String name = into.fresh("clocks");
    into.method(
        name,
        CLOCKS,
        code -> {
          for (int c = from; c < to; c++) {
            Label not = code.newLabel();
            if (asks[c] == null) {
              counts.due(code, 0);
              code.ifeq(not);
            } else {
              StepClass.ask(code, asks[c], 0, 1, not);
            }
            code.aload(2).iload(3).loadConstant(c).iastore().iinc(3, 1);
            code.labelBinding(not);
          }
          code.iload(3).ireturn();
        });
    return name;
  }
}
