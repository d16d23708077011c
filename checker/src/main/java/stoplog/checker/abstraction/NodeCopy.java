package stoplog.checker.abstraction;

import java.util.Map;
import java.util.function.Function;

/** Copies expressions of a step with other reads of what is hidden. */
final class NodeCopy {
  private NodeCopy() {}

  /**
   * The same expression with each read of a slot replaced.
   *
   * @param defined the definitions copied so far, by number; gets more
   */
  static Node of(Node node, Map<Integer, Node> defined, Function<Node.HiddenRead, Node> reads) {
    return switch (node) {
      case Node.Fixed _, Node.KeptRead _ -> node;
      case Node.HiddenRead r -> reads.apply(r);
      case Node.Defined d -> {
        Node known = defined.get(d.number());
        if (known == null) {
          known = new Node.Defined(d.number(), of(d.value(), defined, reads));
          defined.put(d.number(), known);
        }
        yield known;
      }
      case Node.Not n -> new Node.Not(of(n.operand(), defined, reads));
      case Node.All a -> new Node.All(of(a.operands(), defined, reads));
      case Node.Any a -> new Node.Any(of(a.operands(), defined, reads));
      case Node.In i -> new Node.In(of(i.operand(), defined, reads), i.values());
      case Node.Same s ->
          new Node.Same(of(s.left(), defined, reads), of(s.right(), defined, reads));
      case Node.Choose c ->
          new Node.Choose(
              of(c.condition(), defined, reads),
              of(c.then(), defined, reads),
              of(c.otherwise(), defined, reads));
      case Node.Shift s -> new Node.Shift(of(s.operand(), defined, reads), s.by());
    };
  }

  private static Node[] of(
      Node[] nodes, Map<Integer, Node> defined, Function<Node.HiddenRead, Node> reads) {
    Node[] copied = new Node[nodes.length];
    for (int i = 0; i < nodes.length; i++) {
      copied[i] = of(nodes[i], defined, reads);
    }
    return copied;
  }
}
