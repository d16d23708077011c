package stoplog.checker.abstraction;

/**
 * An expression made ready for one step of one search: reads of kept variables and of hidden ones are
 * told apart.
 *
 * <p>Its value is the <em>set</em> of values it may have, as bits. A hidden read contributes all
 * values of its variable until one is chosen for it.
 */
sealed interface Node {
  record Fixed(long values) implements Node {}

  record KeptRead(int variable) implements Node {}

  /** A read of a hidden variable, at a point of the step named by the slot. */
  record HiddenRead(int slot, int variable, long domain) implements Node {}

  /**
   * A definition that is put together, so that it is evaluated once however often it is used.
   *
   * @param number counts those of one step
   */
  record Defined(int number, Node value) implements Node {}

  record Not(Node operand) implements Node {}

  record All(Node[] operands) implements Node {}

  record Any(Node[] operands) implements Node {}

  record In(Node operand, long values) implements Node {}

  record Same(Node left, Node right) implements Node {}

  record Choose(Node condition, Node then, Node otherwise) implements Node {}

  record Shift(Node operand, int by) implements Node {}
}
