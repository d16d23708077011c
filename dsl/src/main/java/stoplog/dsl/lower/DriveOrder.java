package stoplog.dsl.lower;

import java.util.ArrayList;
import java.util.BitSet;
import java.util.Collection;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
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
    for (Driven d : drives) {
      String tag = d.equipment().name().text();
      BitSet read = Expr.variables(meanings.of(d.when()), parts.definitions);
      for (int v : read.stream().toArray()) {
        String other = byPosition.get(v);
        if (other != null) {
          before.addEdge(other, tag);
        }
      }
    }
    var order = new ArrayList<Knot>();
    var knots = new KosarajuStrongConnectivityInspector<>(before).getCondensation();
    for (var it = new TopologicalOrderIterator<>(knots); it.hasNext(); ) {
      Graph<String, DefaultEdge> knot = it.next();
      List<String> members = tags.stream().filter(knot::containsVertex).toList();
      order.add(new Knot(members, !knot.edgeSet().isEmpty()));
    }
    return order;
  }
}
