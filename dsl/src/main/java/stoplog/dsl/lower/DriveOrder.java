package stoplog.dsl.lower;

import java.util.ArrayDeque;
import java.util.ArrayList;
import java.util.Collection;
import java.util.HashMap;
import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.Set;
import org.jgrapht.Graph;
import org.jgrapht.alg.connectivity.KosarajuStrongConnectivityInspector;
import org.jgrapht.graph.DefaultDirectedGraph;
import org.jgrapht.graph.DefaultEdge;
import org.jgrapht.traverse.TopologicalOrderIterator;
import stoplog.dsl.resolve.ResolvedPlant.Driven;
import stoplog.model.Expr;

/** In which order equipment moved by the process answers it: first what others depend on. */
final class DriveOrder {
  /** Of a circle as long as this, or longer, the rest is moved at the next step. */
  private static final int MAX_ROUNDS = 8;

  private DriveOrder() {}

  /**
   * Equipment that is moved together.
   *
   * @param tags one, or all of those that depend on each other
   * @param circle whether its position is among what moves it
   */
  record Knot(List<String> tags, boolean circle) {
    Knot {
      tags = List.copyOf(tags);
    }

    /**
     * How often it is moved in one step. In a circle of n, n rounds carry a change all the way round,
     * so that nothing lags behind what moves it where the circle comes to rest at all.
     */
    int rounds() {
      return circle ? Math.min(MAX_ROUNDS, tags.size() + 1) : 1;
    }
  }

  /** All tags, in the order in which they are moved. Linear in the size of the definitions read. */
  static List<Knot> of(
      Collection<String> tags, List<Driven> drives, Parts parts, Meanings meanings) {
    Map<Integer, String> byPosition = new HashMap<>();
    Graph<String, DefaultEdge> before = new DefaultDirectedGraph<>(DefaultEdge.class);
    tags.forEach(before::addVertex);
    for (Driven d : drives) {
      byPosition.put(meanings.positionOf(d.equipment()), d.equipment().name().text());
    }
    Map<String, Set<Integer>> reads = new HashMap<>();
    for (Driven d : drives) {
      String tag = d.equipment().name().text();
      reads.computeIfAbsent(tag, t -> new HashSet<>()).addAll(read(meanings.of(d.when()), parts));
    }
    reads.forEach(
        (tag, variables) -> {
          for (int v : variables) {
            String other = byPosition.get(v);
            if (other != null) {
              before.addEdge(other, tag);
            }
          }
        });
    var order = new ArrayList<Knot>();
    var knots = new KosarajuStrongConnectivityInspector<>(before).getCondensation();
    for (var it = new TopologicalOrderIterator<>(knots); it.hasNext(); ) {
      Graph<String, DefaultEdge> knot = it.next();
      List<String> members = tags.stream().filter(knot::containsVertex).toList();
      order.add(new Knot(members, !knot.edgeSet().isEmpty()));
    }
    return order;
  }

  /** The variables an expression reads, also through definitions. */
  private static Set<Integer> read(Expr root, Parts parts) {
    var variables = new HashSet<Integer>();
    var used = new HashSet<Integer>();
    var open = new ArrayDeque<Expr>(List.of(root));
    while (!open.isEmpty()) {
      switch (open.pop()) {
        case Expr.Constant c -> {}
        case Expr.Read r -> variables.add(r.variable());
        case Expr.Use u -> {
          if (used.add(u.definition())) {
            open.push(parts.definitions.get(u.definition()).value());
          }
        }
        case Expr.Not n -> open.push(n.operand());
        case Expr.All a -> a.operands().forEach(open::push);
        case Expr.Any a -> a.operands().forEach(open::push);
        case Expr.In i -> open.push(i.operand());
        case Expr.Same s -> {
          open.push(s.left());
          open.push(s.right());
        }
        case Expr.Choose c -> {
          open.push(c.condition());
          open.push(c.then());
          open.push(c.otherwise());
        }
        case Expr.Shift s -> open.push(s.operand());
      }
    }
    return variables;
  }
}
