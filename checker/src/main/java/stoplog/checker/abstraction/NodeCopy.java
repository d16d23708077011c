package stoplog.checker.abstraction;

import java.util.Map;
import java.util.function.Function;
import org.jspecify.annotations.Nullable;

/** Copies expressions of a step with something else in the place of some. */
final class NodeCopy {
  private NodeCopy() {}

  /**
   * The same expression with some within it, or itself, replaced.
   *
   * @param defined the definitions copied so far, by number; gets more
   * @param instead what stands for an expression; null where it is copied
   */
  static Node of(
      Node node, Map<Integer, Node> defined, Function<Node, @Nullable Node> instead) {
    Node other = instead.apply(node);
    if (other != null) {
      return other;
    }
    return switch (node) {
      case Node.Fixed _, Node.KeptRead _, Node.HiddenRead _ -> node;
      case Node.Defined d -> {
        Node known = defined.get(d.number());
        if (known == null) {
          known = new Node.Defined(d.number(), of(d.value(), defined, instead));
          defined.put(d.number(), known);
        }
        yield known;
      }
      case Node.Not n -> new Node.Not(of(n.operand(), defined, instead));
      case Node.All a -> new Node.All(of(a.operands(), defined, instead));
      case Node.Any a -> new Node.Any(of(a.operands(), defined, instead));
      case Node.In i -> new Node.In(of(i.operand(), defined, instead), i.values());
      case Node.Same s ->
          new Node.Same(of(s.left(), defined, instead), of(s.right(), defined, instead));
      case Node.Choose c ->
          new Node.Choose(
              of(c.condition(), defined, instead),
              of(c.then(), defined, instead),
              of(c.otherwise(), defined, instead));
      case Node.Shift s -> new Node.Shift(of(s.operand(), defined, instead), s.by());
    };
  }

  private static Node[] of(
      Node[] nodes, Map<Integer, Node> defined, Function<Node, @Nullable Node> instead) {
    Node[] copied = new Node[nodes.length];
    for (int i = 0; i < nodes.length; i++) {
      copied[i] = of(nodes[i], defined, instead);
    }
    return copied;
  }
}
