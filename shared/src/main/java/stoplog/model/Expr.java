package stoplog.model;

import java.util.ArrayDeque;
import java.util.BitSet;
import java.util.List;

/**
 * An expression over variables, whose value is a small integer. Truth is 1, falsehood is 0.
 *
 * <p>Every expression has a value in every state: there is no division, no overflow and no undefined
 * operand. Expressions are trees over shared {@link Definition definitions}, so that a long chain of
 * derived conditions stays linear in size.
 */
public sealed interface Expr {
  Expr FALSE = new Constant(0);
  Expr TRUE = new Constant(1);

  /** A fixed value. */
  record Constant(int value) implements Expr {}

  /** The value of the variable with this index. */
  record Read(int variable) implements Expr {}

  /** The value of the definition with this index, as its expression stands at the point of use. */
  record Use(int definition) implements Expr {}

  /** 1 if the operand is 0, else 0. The operand is a truth value. */
  record Not(Expr operand) implements Expr {}

  /** 1 if all operands are 1; 1 if there are none. The operands are truth values. */
  record All(List<Expr> operands) implements Expr {
    public All {
      operands = List.copyOf(operands);
    }
  }

  /** 1 if at least one operand is 1; 0 if there are none. The operands are truth values. */
  record Any(List<Expr> operands) implements Expr {
    public Any {
      operands = List.copyOf(operands);
    }
  }

  /**
   * 1 if the operand's value is one of a set.
   *
   * @param values bit v stands for value v
   */
  record In(Expr operand, long values) implements Expr {}

  /** 1 if both operands have the same value. */
  record Same(Expr left, Expr right) implements Expr {}

  /** The value of {@code then} if the condition is 1, else that of {@code otherwise}. */
  record Choose(Expr condition, Expr then, Expr otherwise) implements Expr {}

  /** The operand's value plus a fixed, possibly negative, amount. The result is never below 0 or above 63. */
  record Shift(Expr operand, int by) implements Expr {}

  static Expr is(int variable, int value) {
    return new In(new Read(variable), 1L << value);
  }

  static Expr not(Expr operand) {
    return switch (operand) {
      case Constant c -> c.value() == 0 ? TRUE : FALSE;
      case Not n -> n.operand();
      default -> new Not(operand);
    };
  }

  /** Conjunction, flattened, with constants folded. */
  static Expr all(List<Expr> operands) {
    var kept = new java.util.ArrayList<Expr>();
    for (Expr e : operands) {
      if (e.equals(FALSE)) {
        return FALSE;
      } else if (e instanceof All(List<Expr> inner)) {
        kept.addAll(inner);
      } else if (!e.equals(TRUE)) {
        kept.add(e);
      }
    }
    return kept.isEmpty() ? TRUE : kept.size() == 1 ? kept.getFirst() : new All(kept);
  }

  static Expr all(Expr... operands) {
    return all(List.of(operands));
  }

  /** Disjunction, flattened, with constants folded. */
  static Expr any(List<Expr> operands) {
    var kept = new java.util.ArrayList<Expr>();
    for (Expr e : operands) {
      if (e.equals(TRUE)) {
        return TRUE;
      } else if (e instanceof Any(List<Expr> inner)) {
        kept.addAll(inner);
      } else if (!e.equals(FALSE)) {
        kept.add(e);
      }
    }
    return kept.isEmpty() ? FALSE : kept.size() == 1 ? kept.getFirst() : new Any(kept);
  }

  static Expr any(Expr... operands) {
    return any(List.of(operands));
  }

  /**
   * The variables that an expression reads, through definitions too; a fresh set. A definition is gone
   * through once, however often it is used: linear in all that is reached.
   *
   * @param definitions those of the model, by index
   */
  static BitSet variables(Expr expression, List<Definition> definitions) {
    var variables = new BitSet();
    var used = new BitSet();
    var open = new ArrayDeque<Expr>(List.of(expression));
    while (!open.isEmpty()) {
      switch (open.pop()) {
        case Constant c -> {}
        case Read r -> variables.set(r.variable());
        case Use u -> {
          if (!used.get(u.definition())) {
            used.set(u.definition());
            open.push(definitions.get(u.definition()).value());
          }
        }
        case Not n -> open.push(n.operand());
        case All a -> a.operands().forEach(open::push);
        case Any a -> a.operands().forEach(open::push);
        case In i -> open.push(i.operand());
        case Same s -> {
          open.push(s.left());
          open.push(s.right());
        }
        case Choose c -> {
          open.push(c.condition());
          open.push(c.then());
          open.push(c.otherwise());
        }
        case Shift s -> open.push(s.operand());
      }
    }
    return variables;
  }
}
