package stoplog.checker.abstraction;

import static java.lang.constant.ConstantDescs.CD_boolean;
import static java.lang.constant.ConstantDescs.CD_int;
import static java.lang.constant.ConstantDescs.CD_void;

import java.lang.classfile.ClassBuilder;
import java.lang.classfile.ClassFile;
import java.lang.classfile.CodeBuilder;
import java.lang.classfile.Label;
import java.lang.classfile.TypeKind;
import java.lang.constant.ClassDesc;
import java.lang.constant.ConstantDescs;
import java.lang.constant.MethodTypeDesc;
import java.util.ArrayList;
import java.util.BitSet;
import java.util.List;
import java.util.function.Consumer;
import java.util.function.Function;
import stoplog.checker.abstraction.CompilableSystem.Unit;
import stoplog.checker.explore.TimedSystem;

/**
 * Writes the class file of a {@link StepCode}.
 *
 * <p>Each step is a method. A short one has its words in local variables from beginning to end. A long
 * one checks its guard, copies the state, and has the rest in pieces that work on the copy; neither
 * comes near the size at which the machine refuses to compile a method (8,000 bytes) or to load it
 * (65,535). Methods are named by counting: equal systems give equal class files.
 */
final class StepCodeWriter {
  private static final ClassDesc SELF = ClassDesc.of(StepCodeWriter.class.getPackageName(), "Steps");
  private static final ClassDesc SINK = ClassDesc.of(TimedSystem.class.getName()).nested("Sink");
  private static final ClassDesc CODE = ClassDesc.of(StepCode.class.getName());
  private static final ClassDesc WORDS = PlainCode.WORDS;
  private static final MethodTypeDesc STEP = MethodTypeDesc.of(CD_void, WORDS, WORDS, WORDS, SINK);
  private static final MethodTypeDesc RUNNING =
      MethodTypeDesc.of(CD_int, WORDS, WORDS, CD_int.arrayType());
  private static final MethodTypeDesc CLOCKS =
      MethodTypeDesc.of(CD_int, WORDS, WORDS, CD_int.arrayType(), CD_int);
  private static final MethodTypeDesc ASKS = MethodTypeDesc.of(CD_boolean, WORDS, WORDS);
  private static final MethodTypeDesc EDGE = MethodTypeDesc.of(CD_void, CD_int, WORDS);

  private static final int MOST_CALLS = 200;
  private static final int MOST_WORDS_IN_LINE = 8;

  // Parameters of a static method for a step.
  private static final int STATE = 0;
  private static final int OUT = 1;
  private static final int SCRATCH = 2;
  private static final int RECEIVER = 3;

  private final CompilableSystem system;
  private final int methodBytes;
  private final PlainCode.Places places;
  private final List<Consumer<ClassBuilder>> methods = new ArrayList<>();
  private final boolean alwaysPowered;
  private int names;
  private boolean asksPower;
  private String differs = "";

  /**
   * @param methodBytes about how many bytes of code a method may have
   */
  StepCodeWriter(CompilableSystem system, int methodBytes) {
    this.system = system;
    this.methodBytes = methodBytes;
    this.places = PlainCode.Places.of(system);
    this.alwaysPowered = system.powered().always();
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
    String steps = callInTurn(stepNames);
    String clocks = withClocks ? clocks() : "";
    if (asksPower) {
      ask("powered", system.powered());
    }
    return ClassFile.of()
        .build(
            SELF,
            c -> {
              c.withFlags(ClassFile.ACC_FINAL | ClassFile.ACC_SYNTHETIC);
              c.withInterfaceSymbols(CODE);
              constructor(c);
              c.withMethodBody(
                  "steps",
                  STEP,
                  ClassFile.ACC_PUBLIC,
                  code ->
                      code.aload(1).aload(2).aload(3).aload(4)
                          .invokestatic(SELF, steps, STEP)
                          .return_());
              c.withMethodBody(
                  "running", RUNNING, ClassFile.ACC_PUBLIC, code -> running(code, clocks));
              methods.forEach(m -> m.accept(c));
            });
  }

  private static void constructor(ClassBuilder c) {
    c.withMethodBody(
        ConstantDescs.INIT_NAME,
        ConstantDescs.MTD_void,
        0,
        code ->
            code.aload(0)
                .invokespecial(
                    ConstantDescs.CD_Object, ConstantDescs.INIT_NAME, ConstantDescs.MTD_void)
                .return_());
  }

  private static void running(CodeBuilder code, String clocks) {
    if (clocks.isEmpty()) {
      code.iconst_0().ireturn();
    } else {
      code.aload(1).aload(2).aload(3).iconst_0();
      code.invokestatic(SELF, clocks, CLOCKS).ireturn();
    }
  }

  private String fresh(String what) {
    return what + names++;
  }

  private void method(String name, MethodTypeDesc type, Consumer<CodeBuilder> body) {
    methods.add(
        c -> c.withMethodBody(name, type, ClassFile.ACC_PRIVATE | ClassFile.ACC_STATIC, body));
  }

  /** Makes of each so many methods one, and names those. */
  private static List<String> parted(
      List<String> methods, Function<List<String>, String> together) {
    var parts = new ArrayList<String>();
    for (int i = 0; i < methods.size(); i += MOST_CALLS) {
      parts.add(together.apply(methods.subList(i, Math.min(methods.size(), i + MOST_CALLS))));
    }
    return parts;
  }

  /** A method that calls those named, in groups if there are many. */
  private String callInTurn(List<String> called) {
    if (called.size() > MOST_CALLS) {
      return callInTurn(parted(called, this::callInTurn));
    }
    String name = fresh("all");
    method(
        name,
        STEP,
        code -> {
          for (String each : called) {
            code.aload(STATE).aload(OUT).aload(SCRATCH).aload(RECEIVER);
            code.invokestatic(SELF, each, STEP);
          }
          code.return_();
        });
    return name;
  }

  /** A method that asks those named until one says no; empty if none is named. */
  private String askInTurn(List<String> asked) {
    if (asked.size() <= 1) {
      return asked.isEmpty() ? "" : asked.getFirst();
    }
    if (asked.size() > MOST_CALLS) {
      return askInTurn(parted(asked, this::askInTurn));
    }
    String name = fresh("every");
    method(
        name,
        ASKS,
        code -> {
          Label no = code.newLabel();
          asked.forEach(each -> ask(code, each, 0, 1, no));
          code.iconst_1().ireturn().labelBinding(no).iconst_0().ireturn();
        });
    return name;
  }

  /** Asks a method about the words in an array, unless none is named. */
  private static void ask(CodeBuilder code, String asked, int array, int scratch, Label no) {
    if (!asked.isEmpty()) {
      code.aload(array).aload(scratch).invokestatic(SELF, asked, ASKS).ifeq(no);
    }
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
    String name = fresh("scan");
    asksPower |= !alwaysPowered;
    method(
        name,
        STEP,
        code -> {
          Label end = code.newLabel();
          Label notDue = code.newLabel();
          if (!alwaysPowered) {
            code.aload(STATE).aload(SCRATCH).invokestatic(SELF, "powered", ASKS).ifeq(end);
          }
          if (!asked.isEmpty()) {
            field(code, STATE, system.dueField());
            code.ifeq(notDue);
            code.aload(STATE).aload(OUT).aload(SCRATCH).aload(RECEIVER);
            code.invokestatic(SELF, asked, STEP).goto_(end);
          }
          code.labelBinding(notDue);
          if (!unasked.isEmpty()) {
            code.aload(STATE).aload(OUT).aload(SCRATCH).aload(RECEIVER);
            code.invokestatic(SELF, unasked, STEP);
          }
          code.labelBinding(end).return_();
        });
    return name;
  }

  private String step(Unit unit, StepProgram program, int number) {
    String name = fresh("step");
    var statements = new Statements(program, places, name, methodBytes);
    var assigned = new BitSet();
    for (StepProgram.Operation op : program.operations()) {
      if (op.target() >= 0) {
        assigned.set(op.target());
      }
    }
    boolean whole = statements.isShort();
    var pieces = whole ? List.<String>of() : pieces(statements, name);
    int guards = whole ? 0 : guardPieces(statements);
    String check = askInTurn(pieces.subList(0, guards));
    String rest = askInTurn(pieces.subList(guards, pieces.size()));
    if (manyWatched(unit, assigned) && differs.isEmpty()) {
      differsEverywhere();
    }
    asksPower |= system.tracksDue() && !alwaysPowered;
    method(
        name,
        STEP,
        code -> {
          Label drop = code.newLabel();
          if (unit instanceof Unit.Change c && c.fault()) {
            field(code, STATE, system.faultField());
            code.loadConstant(system.faultBudget()).if_icmpeq(drop);
          }
          if (whole) {
            var plain = new PlainCode(code, SELF, places, statements, STATE, SCRATCH, false);
            statements.list().forEach(s -> plain.statement(s, drop));
            copy(code, plain);
          } else {
            ask(code, check, STATE, SCRATCH, drop);
            copyState(code);
            ask(code, rest, OUT, SCRATCH, drop);
          }
          finish(code, unit, assigned, number, drop);
          code.labelBinding(drop).return_();
        });
    return name;
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

  /** Cuts the statements into methods that tell whether the step goes on. */
  private List<String> pieces(Statements statements, String prefix) {
    statements
        .apart()
        .forEach(
            (node, name) ->
                method(
                    name,
                    PlainCode.PART,
                    code -> {
                      new PlainCode(code, SELF, places, statements, 0, 1, true).part(node);
                      code.ireturn();
                    }));
    var names = new ArrayList<String>();
    for (List<Statements.Statement> piece : cut(statements)) {
      String name = prefix + "piece" + names.size();
      names.add(name);
      method(
          name,
          ASKS,
          code -> {
            Label drop = code.newLabel();
            var plain = new PlainCode(code, SELF, places, statements, 0, 1, true);
            piece.forEach(s -> plain.statement(s, drop));
            plain.store(0, plain.changed());
            code.iconst_1().ireturn().labelBinding(drop).iconst_0().ireturn();
          });
    }
    return names;
  }

  /** How many pieces only check and define, and can do so on the state itself. */
  private int guardPieces(Statements statements) {
    int count = 0;
    for (List<Statements.Statement> piece : cut(statements)) {
      if (piece.stream().anyMatch(Statements.Assign.class::isInstance)) {
        break;
      }
      count++;
    }
    return count;
  }

  /**
   * Pieces of bounded size; the first assignment begins one, and so does a statement with parts apart
   * (they read the array, which a piece brings up to date at its end).
   */
  private List<List<Statements.Statement>> cut(Statements statements) {
    var pieces = new ArrayList<List<Statements.Statement>>();
    List<Statements.Statement> piece = new ArrayList<>();
    int bytes = 0;
    boolean assigned = false;
    for (Statements.Statement s : statements.list()) {
      boolean begins =
          bytes + statements.bytes(s) > methodBytes
              || s instanceof Statements.Assign && !assigned
              || assigned && statements.callsParts(s);
      if (begins && !piece.isEmpty()) {
        pieces.add(piece);
        piece = new ArrayList<>();
        bytes = 0;
      }
      assigned |= s instanceof Statements.Assign;
      piece.add(s);
      bytes += statements.bytes(s);
    }
    if (!piece.isEmpty()) {
      pieces.add(piece);
    }
    return pieces;
  }

  // ---- what is due after a step, and handing it out

  private void finish(CodeBuilder code, Unit unit, BitSet assigned, int number, Label drop) {
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
        if (system.tracksDue()) {
          int due = code.allocateLocal(TypeKind.INT);
          Label set = code.newLabel();
          code.iconst_0().istore(due);
          differs(code, unit, assigned);
          code.ifeq(set);
          if (!alwaysPowered) {
            code.aload(OUT).aload(SCRATCH).invokestatic(SELF, "powered", ASKS).ifeq(set);
          }
          code.iconst_1().istore(due).labelBinding(set);
          putDue(code, due);
        }
        if (s.program() == s.unasked()) {
          dropUnchanged(code, drop);
        }
      }
    }
    code.aload(RECEIVER).loadConstant(number).aload(OUT).invokeinterface(SINK, "edge", EDGE);
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
    differs(code, unit, assigned);
    code.istore(seen);
    field(code, STATE, system.dueField());
    code.istore(due);
    if (!alwaysPowered) {
      code.aload(OUT).aload(SCRATCH).invokestatic(SELF, "powered", ASKS).ifne(powered);
      code.iconst_0().istore(due).goto_(set).labelBinding(powered);
    }
    if (heldBack && system.immediate()) {
      Label free = code.newLabel();
      code.iload(seen).ifeq(free);
      code.iload(due).loadConstant(system.mostDue()).if_icmpeq(drop).labelBinding(free);
    }
    if (!alwaysPowered) {
      Label before = code.newLabel();
      code.aload(STATE).aload(SCRATCH).invokestatic(SELF, "powered", ASKS).ifne(before);
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

  private void dropUnchanged(CodeBuilder code, Label drop) {
    code.aload(STATE).aload(OUT);
    code.invokestatic(
        ClassDesc.of("java.util.Arrays"), "equals", MethodTypeDesc.of(CD_boolean, WORDS, WORDS));
    code.ifne(drop);
  }

  private BitSet watched(Unit unit) {
    return unit instanceof Unit.Scan ? system.watchedByScan() : system.watchedByChange();
  }

  private long[] masks(BitSet variables) {
    var packing = system.packing();
    long[] masks = new long[packing.words()];
    variables.stream()
        .map(places::field)
        .filter(f -> f >= 0)
        .forEach(f -> masks[packing.word(f)] |= packing.mask(f) << packing.shift(f));
    return masks;
  }

  private boolean manyWatched(Unit unit, BitSet assigned) {
    return system.tracksDue() && wordsIn(masksOf(unit, assigned)) > MOST_WORDS_IN_LINE;
  }

  private long[] masksOf(Unit unit, BitSet assigned) {
    BitSet both = (BitSet) assigned.clone();
    both.and(watched(unit));
    return masks(both);
  }

  private static int wordsIn(long[] masks) {
    int count = 0;
    for (long m : masks) {
      count += m != 0 ? 1 : 0;
    }
    return count;
  }

  /** Leaves 1 if a watched variable differs after the step, else 0. */
  private void differs(CodeBuilder code, Unit unit, BitSet assigned) {
    if (manyWatched(unit, assigned)) {
      String which = unit instanceof Unit.Scan ? "byScan" : "byChange";
      code.aload(STATE).aload(OUT).invokestatic(SELF, which, ASKS);
      return;
    }
    Label yes = code.newLabel();
    Label end = code.newLabel();
    compare(code, masksOf(unit, assigned), 0, system.packing().words(), yes);
    code.iconst_0().goto_(end).labelBinding(yes).iconst_1().labelBinding(end);
  }

  private static void compare(CodeBuilder code, long[] masks, int from, int to, Label yes) {
    for (int w = from; w < to; w++) {
      if (masks[w] != 0) {
        code.aload(0).loadConstant(w).laload().aload(1).loadConstant(w).laload().lxor();
        code.loadConstant(masks[w]).land().lconst_0().lcmp().ifne(yes);
      }
    }
  }

  private void differsEverywhere() {
    differs = "written";
    comparison("byScan", masks(system.watchedByScan()));
    comparison("byChange", masks(system.watchedByChange()));
  }

  private void comparison(String name, long[] masks) {
    var parts = new ArrayList<String>();
    for (int from = 0; from < masks.length; from += 100) {
      String part = name + "part" + parts.size();
      parts.add(part);
      int first = from;
      method(
          part,
          ASKS,
          code -> {
            Label yes = code.newLabel();
            compare(code, masks, first, Math.min(masks.length, first + 100), yes);
            code.iconst_0().ireturn().labelBinding(yes).iconst_1().ireturn();
          });
    }
    method(
        name,
        ASKS,
        code -> {
          Label yes = code.newLabel();
          for (String p : parts) {
            code.aload(0).aload(1).invokestatic(SELF, p, ASKS).ifne(yes);
          }
          code.iconst_0().ireturn().labelBinding(yes).iconst_1().ireturn();
        });
  }

  /** Leaves the number in a field. */
  private void field(CodeBuilder code, int array, int field) {
    var packing = system.packing();
    code.aload(array).loadConstant(packing.word(field)).laload();
    code.loadConstant(packing.shift(field)).lushr();
    code.loadConstant(packing.mask(field)).land().l2i();
  }

  // ---- conditions

  /** A method that tells whether a condition holds in a packed state. */
  private void ask(String name, StepProgram guard) {
    var statements = new Statements(guard, places, name, methodBytes);
    if (statements.isShort()) {
      method(
          name,
          ASKS,
          code -> {
            Label no = code.newLabel();
            var plain = new PlainCode(code, SELF, places, statements, 0, 1, false);
            statements.list().forEach(s -> plain.statement(s, no));
            code.iconst_1().ireturn().labelBinding(no).iconst_0().ireturn();
          });
      return;
    }
    String all = askInTurn(pieces(statements, name));
    method(
        name,
        ASKS,
        code -> {
          Label no = code.newLabel();
          ask(code, all, 0, 1, no);
          code.iconst_1().ireturn().labelBinding(no).iconst_0().ireturn();
        });
  }

  private String clocks() {
    var groups = new ArrayList<String>();
    int clocks = system.conditions().size();
    for (int from = 0; from == 0 || from < clocks; from += MOST_CALLS) {
      groups.add(clocks(from, Math.min(clocks, from + MOST_CALLS)));
    }
    String name = fresh("clocks");
    method(
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
        asks[c] = fresh("clock");
        ask(asks[c], condition);
      }
    }
    String name = fresh("clocks");
    method(
        name,
        CLOCKS,
        code -> {
          for (int c = from; c < to; c++) {
            Label not = code.newLabel();
            if (asks[c] == null) {
              field(code, 0, system.dueField());
            } else {
              code.aload(0).aload(1).invokestatic(SELF, asks[c], ASKS);
            }
            code.ifeq(not).aload(2).iload(3).loadConstant(c).iastore().iinc(3, 1);
            code.labelBinding(not);
          }
          code.iload(3).ireturn();
        });
    return name;
  }
}
