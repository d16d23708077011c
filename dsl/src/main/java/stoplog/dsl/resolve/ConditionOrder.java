package stoplog.dsl.resolve;

import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import org.jgrapht.Graph;
import org.jgrapht.graph.DefaultDirectedGraph;
import org.jgrapht.graph.DefaultEdge;
import org.jgrapht.traverse.TopologicalOrderIterator;
import stoplog.dsl.resolve.ResolvedPlant.Derived;

/** The order in which derived conditions can be defined: each after those it reads. */
public final class ConditionOrder {
  private ConditionOrder() {}

  /** An edge from each derived condition to each that reads it. */
  public static Graph<String, DefaultEdge> graph(List<Derived> conditions) {
    Graph<String, DefaultEdge> graph = new DefaultDirectedGraph<>(DefaultEdge.class);
    conditions.forEach(d -> graph.addVertex(d.condition().name().text()));
    for (Derived d : conditions) {
      d.holdsWhen()
          .each(
              t -> {
                if (t instanceof Term.Holds h && graph.containsVertex(h.symbol().name().text())) {
                  graph.addEdge(h.symbol().name().text(), d.condition().name().text());
                }
              });
    }
    return graph;
  }

  /**
   * @throws IllegalArgumentException if they depend on each other in a circle
   */
  public static List<Derived> of(List<Derived> conditions) {
    Map<String, Derived> byName = new HashMap<>();
    conditions.forEach(d -> byName.put(d.condition().name().text(), d));
    var order = new ArrayList<Derived>();
    new TopologicalOrderIterator<>(graph(conditions))
        .forEachRemaining(name -> order.add(java.util.Objects.requireNonNull(byName.get(name))));
    return order;
  }
}
