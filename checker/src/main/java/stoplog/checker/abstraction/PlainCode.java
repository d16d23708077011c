package stoplog.checker.abstraction;

import static java.lang.constant.ConstantDescs.CD_int;
import static java.lang.constant.ConstantDescs.CD_long;

import java.lang.classfile.CodeBuilder;
import java.lang.classfile.Label;
import java.lang.classfile.TypeKind;
import java.lang.constant.ClassDesc;
import java.lang.constant.MethodTypeDesc;
import java.util.BitSet;
import java.util.HashMap;
import java.util.IdentityHashMap;
import java.util.Map;
import org.jspecify.annotations.Nullable;

/**
 * Writes plain expressions and assignments into one method, over packed words.
 *
 * <p>A word is taken from its array once and then lives in a local variable. INVARIANT (dominance):
 * words and definitions come into locals only between statements ({@link #load}, {@link #define}),
 * never within an expression, whose later parts may be jumped over.
 */
final class PlainCode {
  static final ClassDesc WORDS = CD_long.arrayType();

  /** A part of an expression in a method of its own. */
  static final MethodTypeDesc PART = MethodTypeDesc.of(CD_int, WORDS, WORDS);

  /** Where the variables of a system lie. */
  record Places(CompilableSystem system, PlainNodes plain, Map<Integer, Integer> fields) {
    static Places of(CompilableSystem system) {
      var fields = new HashMap<Integer, Integer>();
      for (int i = 0; i < system.stored().length; i++) {
        fields.put(system.stored()[i], i);
      }
      return new Places(system, new PlainNodes(system.domains()), fields);
    }

    /** The field of a stored variable, or -1. */
    int field(int variable) {
      return fields.getOrDefault(variable, -1);
    }

    int word(int variable) {
      int field = field(variable);
      return field < 0 ? -1 : system.packing().word(field);
    }

    /** The word of the scratch array for a definition that several methods share. */
    int scratchOf(Node.Defined d) {
      return system.domains().length + d.number();
    }
  }

  private final CodeBuilder code;
  private final ClassDesc self;
  private final Places places;
  private final Statements statements;
  private final int array;
  private final int scratch;
  private final boolean spills;
  private @Nullable Node inside;

  private final Map<Integer, Integer> wordLocals = new HashMap<>();
  private final BitSet changed = new BitSet();
  private final Map<Integer, Integer> variableLocals = new HashMap<>();
  private final Map<Node.Defined, Integer> definitionLocals = new IdentityHashMap<>();

  /**
   * @param array the parameter that holds the packed words
   * @param scratch the parameter that holds the scratch array
   * @param spills whether what is not stored lies in the scratch array, for other methods to see
   */
  PlainCode(
      CodeBuilder code,
      ClassDesc self,
      Places places,
      Statements statements,
      int array,
      int scratch,
      boolean spills) {
    this.code = code;
    this.self = self;
    this.places = places;
    this.statements = statements;
    this.array = array;
    this.scratch = scratch;
    this.spills = spills;
  }

  /** The words that have been assigned to. */
  BitSet changed() {
    return changed;
  }

  /** Writes a statement; jumps to {@code drop} if the step ends there. */
  void statement(Statements.Statement s, Label drop) {
    statements.wordsOf(s).stream().forEach(this::load);
    switch (s) {
      case Statements.Check c -> jump(c.condition(), false, drop);
      case Statements.Define d -> define(d.definition());
      case Statements.Assign a -> assign(a.operation(), drop);
    }
  }

  private int load(int word) {
    return wordLocals.computeIfAbsent(
        word,
        w -> {
          int local = code.allocateLocal(TypeKind.LONG);
          code.aload(array).loadConstant(w).laload().lstore(local);
          return local;
        });
  }

  /** Writes the changed words, or with another array all that is loaded, into an array. */
  void store(int into, BitSet words) {
    words.stream()
        .forEach(
            w -> {
              code.aload(into).loadConstant(w);
              Integer local = wordLocals.get(w);
              if (local == null) {
                code.aload(array).loadConstant(w).laload();
              } else {
                code.lload(local);
              }
              code.lastore();
            });
  }

  private void define(Node.Defined d) {
    if (spills) {
      code.aload(scratch).loadConstant(places.scratchOf(d));
      number(d.value());
      code.i2l().lastore();
    } else {
      number(d.value());
      int local = code.allocateLocal(TypeKind.INT);
      code.istore(local);
      definitionLocals.put(d, local);
    }
  }

  private void assign(StepProgram.Operation op, Label drop) {
    if (op.value() instanceof Node.Fixed f && (f.values() & op.domain()) != 0) {
      int constant = Long.numberOfTrailingZeros(f.values());
      put(op.target(), () -> code.loadConstant(constant), (long) constant);
      return;
    }
    number(op.value());
    int local = code.allocateLocal(TypeKind.INT);
    code.istore(local);
    if (places.plain().mayLeave(op.value())) {
      code.iload(local).loadConstant(~63).iand().ifne(drop);
    }
    if ((places.plain().range(op.value()) & ~op.domain()) != 0) {
      code.loadConstant(op.domain()).iload(local).lushr().l2i();
      code.loadConstant(1).iand().ifeq(drop);
    }
    put(op.target(), () -> code.iload(local), -1);
  }

  private void put(int variable, Runnable number, long constant) {
    int field = places.field(variable);
    if (field < 0) {
      putUnstored(variable, number);
      return;
    }
    var packing = places.system().packing();
    int word = packing.word(field);
    int local = load(word);
    code.lload(local).loadConstant(~(packing.mask(field) << packing.shift(field))).land();
    if (constant != 0) {
      if (constant > 0) {
        code.loadConstant(constant << packing.shift(field));
      } else {
        number.run();
        code.i2l().loadConstant(packing.shift(field)).lshl();
      }
      code.lor();
    }
    code.lstore(local);
    changed.set(word);
  }

  private void putUnstored(int variable, Runnable number) {
    if (spills) {
      code.aload(scratch).loadConstant(variable);
      number.run();
      code.i2l().lastore();
    } else {
      number.run();
      code.istore(
          variableLocals.computeIfAbsent(variable, v -> code.allocateLocal(TypeKind.INT)));
    }
  }

  private void read(int variable) {
    int field = places.field(variable);
    if (field < 0) {
      if (spills) {
        code.aload(scratch).loadConstant(variable).laload().l2i();
      } else {
        Integer local = variableLocals.get(variable);
        if (local == null) {
          throw new IllegalStateException("variable " + variable + " is read and not stored");
        }
        code.iload(local);
      }
      return;
    }
    var packing = places.system().packing();
    code.lload(wordLocals.get(packing.word(field)));
    if (packing.shift(field) > 0) {
      code.loadConstant(packing.shift(field)).lushr();
    }
    code.loadConstant(packing.mask(field)).land().l2i();
  }

  /** Leaves the value of an expression that stands apart, from the method of its own. */
  void part(Node node) {
    inside = node;
    statements.wordsOfPart(node).stream().forEach(this::load);
    number(node);
  }

  private boolean isElsewhere(Node node) {
    return statements.isApart(node) && node != inside;
  }

  /** Leaves the value of an expression. */
  void number(Node node) {
    if (isElsewhere(node)) {
      call(node);
      return;
    }
    switch (node) {
      case Node.Fixed f -> code.loadConstant(Long.numberOfTrailingZeros(f.values()));
      case Node.KeptRead r -> read(r.variable());
      case Node.HiddenRead r -> throw new IllegalArgumentException("a hidden read is not plain");
      case Node.Defined d -> defined(d);
      case Node.Choose c -> {
        Label otherwise = code.newLabel();
        Label end = code.newLabel();
        jump(c.condition(), false, otherwise);
        number(c.then());
        code.goto_(end).labelBinding(otherwise);
        number(c.otherwise());
        code.labelBinding(end);
      }
      case Node.Shift s -> {
        number(s.operand());
        code.loadConstant(s.by()).iadd();
      }
      case Node.Not n -> truth(n);
      case Node.All a -> truth(a);
      case Node.Any a -> truth(a);
      case Node.In i -> truth(i);
      case Node.Same s -> truth(s);
    }
  }

  private void call(Node node) {
    code.aload(array).aload(scratch).invokestatic(self, statements.nameOf(node), PART);
  }

  private void defined(Node.Defined d) {
    if (!statements.isShared(d)) {
      number(d.value());
    } else if (spills) {
      code.aload(scratch).loadConstant(places.scratchOf(d)).laload().l2i();
    } else {
      code.iload(definitionLocals.get(d));
    }
  }

  private void truth(Node node) {
    Label no = code.newLabel();
    Label end = code.newLabel();
    jump(node, false, no);
    code.iconst_1().goto_(end).labelBinding(no).iconst_0().labelBinding(end);
  }

  /** Jumps if the truth of an expression is {@code when}. */
  void jump(Node node, boolean when, Label to) {
    if (isElsewhere(node)) {
      call(node);
      jumpIfOne(when, to);
      return;
    }
    switch (node) {
      case Node.Fixed f -> {
        if ((f.values() == 2) == when) {
          code.goto_(to);
        }
      }
      case Node.Not n -> jump(n.operand(), !when, to);
      case Node.All a -> jumpByOperands(a.operands(), true, when, to);
      case Node.Any a -> jumpByOperands(a.operands(), false, when, to);
      case Node.In i -> jumpIfIn(i, when, to);
      case Node.Same s -> {
        number(s.left());
        number(s.right());
        if (when) {
          code.if_icmpeq(to);
        } else {
          code.if_icmpne(to);
        }
      }
      case Node.Choose c -> {
        Label otherwise = code.newLabel();
        Label end = code.newLabel();
        jump(c.condition(), false, otherwise);
        jump(c.then(), when, to);
        code.goto_(end).labelBinding(otherwise);
        jump(c.otherwise(), when, to);
        code.labelBinding(end);
      }
      case Node.Defined d -> {
        if (statements.isShared(d)) {
          defined(d);
          jumpIfOne(when, to);
        } else {
          jump(d.value(), when, to);
        }
      }
      case Node.KeptRead r -> jumpIfIn(new Node.In(r, 2), when, to);
      case Node.HiddenRead r -> throw new IllegalArgumentException("a hidden read is not plain");
      case Node.Shift s -> {
        number(s);
        jumpIfOne(when, to);
      }
    }
  }

  private void jumpIfOne(boolean when, Label to) {
    if (when) {
      code.ifne(to);
    } else {
      code.ifeq(to);
    }
  }

  /** A conjunction is decided by an operand that is false, a disjunction by one that is true. */
  private void jumpByOperands(Node[] operands, boolean all, boolean when, Label to) {
    if (all != when) {
      for (Node o : operands) {
        jump(o, when, to);
      }
      return;
    }
    Label decided = code.newLabel();
    for (Node o : operands) {
      jump(o, !when, decided);
    }
    code.goto_(to).labelBinding(decided);
  }

  private void jumpIfIn(Node.In in, boolean when, Label to) {
    long range = places.plain().range(in.operand());
    long values = in.values() & range;
    if (values == 0 || values == range) {
      if ((values != 0) == when) {
        code.goto_(to);
      }
      return;
    }
    int field = in.operand() instanceof Node.KeptRead(int v) ? places.field(v) : -1;
    boolean one = Long.bitCount(values) == 1;
    if (field >= 0 && (one || Long.bitCount(range & ~values) == 1)) {
      var packing = places.system().packing();
      int value = Long.numberOfTrailingZeros(one ? values : range & ~values);
      code.lload(wordLocals.get(packing.word(field)));
      code.loadConstant(packing.mask(field) << packing.shift(field)).land();
      code.loadConstant((long) value << packing.shift(field)).lcmp();
      if (one == when) {
        code.ifeq(to);
      } else {
        code.ifne(to);
      }
      return;
    }
    code.loadConstant(values);
    number(in.operand());
    code.lushr().l2i().loadConstant(1).iand();
    jumpIfOne(when, to);
  }
}
