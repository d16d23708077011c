package stoplog.checker.abstraction;

import static java.lang.constant.ConstantDescs.CD_boolean;
import static java.lang.constant.ConstantDescs.CD_int;
import static java.lang.constant.ConstantDescs.CD_long;
import static java.lang.constant.ConstantDescs.CD_void;

import java.lang.classfile.ClassBuilder;
import java.lang.classfile.ClassFile;
import java.lang.classfile.CodeBuilder;
import java.lang.classfile.Label;
import java.lang.constant.ClassDesc;
import java.lang.constant.ConstantDescs;
import java.lang.constant.MethodTypeDesc;
import java.util.ArrayList;
import java.util.List;
import java.util.function.Consumer;
import java.util.function.Function;
import stoplog.checker.explore.TimedSystem;

/**
 * The class file of a {@link StepCode} while it is written: its static methods, which call each other.
 * They are named by counting, so that equal systems give equal class files. A method with very many
 * calls is parted into several.
 */
final class StepClass {
  static final ClassDesc SELF = ClassDesc.of(StepClass.class.getPackageName(), "Steps");
  static final ClassDesc SINK = ClassDesc.of(TimedSystem.class.getName()).nested("Sink");
  private static final ClassDesc CODE = ClassDesc.of(StepCode.class.getName());
  private static final ClassDesc WORDS = PlainCode.WORDS;

  /**
   * A step: the state, the state after it, the scratch array, the receiver, the steps that sleep.
   */
  static final MethodTypeDesc STEP = MethodTypeDesc.of(CD_void, WORDS, WORDS, WORDS, SINK, CD_long);

  /** A question about two arrays of words, mostly a state and the scratch array. */
  static final MethodTypeDesc ASKS = MethodTypeDesc.of(CD_boolean, WORDS, WORDS);

  /** Adds the clocks that run to an array of which so much is taken, and tells how much is then. */
  static final MethodTypeDesc CLOCKS =
      MethodTypeDesc.of(CD_int, WORDS, WORDS, CD_int.arrayType(), CD_int);

  private static final MethodTypeDesc RUNNING =
      MethodTypeDesc.of(CD_int, WORDS, WORDS, CD_int.arrayType());

  /** How many calls a method may have. */
  static final int MOST_CALLS = 200;

  // Parameters of a static method for a step.
  static final int STATE = 0;
  static final int OUT = 1;
  static final int SCRATCH = 2;
  static final int RECEIVER = 3;
  static final int ASLEEP = 4;

  private final List<Consumer<ClassBuilder>> methods = new ArrayList<>();
  private int names;

  /** A name that no other method has. */
  String fresh(String what) {
    return what + names++;
  }

  /** Adds a method. Its body is written when the class file is. */
  void method(String name, MethodTypeDesc type, Consumer<CodeBuilder> body) {
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

  /** A step that takes those named one after the other, in groups if there are many. */
  String callInTurn(List<String> called) {
    if (called.size() > MOST_CALLS) {
      return callInTurn(parted(called, this::callInTurn));
    }
    String name = fresh("all");
    method(
        name,
        STEP,
        code -> {
          called.forEach(each -> call(code, each));
          code.return_();
        });
    return name;
  }

  /** Within a step, calls another with the same arguments. */
  static void call(CodeBuilder code, String step) {
    code.aload(STATE).aload(OUT).aload(SCRATCH).aload(RECEIVER).lload(ASLEEP);
    code.invokestatic(SELF, step, STEP);
  }

  /** A method that asks those named until one says no; empty if none is named. */
  String askInTurn(List<String> asked) {
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
          answer(code, no);
        });
    return name;
  }

  /** Asks a method about the words in an array, unless none is named. */
  static void ask(CodeBuilder code, String asked, int array, int scratch, Label no) {
    if (!asked.isEmpty()) {
      code.aload(array).aload(scratch).invokestatic(SELF, asked, ASKS).ifeq(no);
    }
  }

  /** Ends a method that asks: yes if it gets here, no where it has jumped to the label. */
  static void answer(CodeBuilder code, Label no) {
    code.iconst_1().ireturn().labelBinding(no).iconst_0().ireturn();
  }

  /**
   * The class file.
   *
   * @param steps the method that takes all steps
   * @param clocks the method that tells which clocks run; empty for a class that says that none does
   */
  byte[] written(String steps, String clocks) {
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
                      code.aload(1).aload(2).aload(3).aload(4).lload(5)
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
}
