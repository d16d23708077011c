package stoplog.dsl.rules;

import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import java.util.Set;
import org.jgrapht.Graph;
import org.jgrapht.alg.connectivity.KosarajuStrongConnectivityInspector;
import org.jgrapht.alg.shortestpath.BFSShortestPath;
import org.jgrapht.graph.AsSubgraph;
import org.jgrapht.graph.DefaultEdge;
import stoplog.diag.Code;
import stoplog.diag.Diagnostic;
import stoplog.dsl.resolve.ConditionOrder;
import stoplog.dsl.resolve.ResolvedPlant;
import stoplog.dsl.resolve.ResolvedPlant.Derived;
import stoplog.dsl.tree.PlantTree;
import stoplog.source.Span;

/**
 * Derived conditions do not depend on each other in a circle: nothing would say whether they hold.
 */
final class NoCircle implements Rule {
  @Override
  public void check(PlantTree tree, ResolvedPlant plant, List<Diagnostic> diagnostics) {
    Graph<String, DefaultEdge> graph = ConditionOrder.graph(plant.derived());
    Map<String, Derived> byName = new HashMap<>();
    plant.derived().forEach(d -> byName.put(d.condition().name().text(), d));
    for (Set<String> knot :
        new KosarajuStrongConnectivityInspector<>(graph).stronglyConnectedSets()) {
      String first = first(knot, byName);
      // Most knots are a single condition; a subgraph costs a walk over all edges, so none for
      // those.
      if (knot.size() > 1) {
        tell(circle(new AsSubgraph<>(graph, knot), first), byName, diagnostics);
      } else if (graph.containsEdge(first, first)) {
        tell(List.of(first), byName, diagnostics);
      }
    }
  }

  private static String first(Set<String> knot, Map<String, Derived> byName) {
    String first = knot.iterator().next();
    for (String name : knot) {
      first = place(name, byName).start() < place(first, byName).start() ? name : first;
    }
    return first;
  }

  private static Span place(String name, Map<String, Derived> byName) {
    return Objects.requireNonNull(byName.get(name)).condition().name().span();
  }

  /** The shortest circle through a condition, that one first. There is one. */
  private static List<String> circle(Graph<String, DefaultEdge> graph, String from) {
    List<String> shortest = List.of();
    for (DefaultEdge e : graph.incomingEdgesOf(from)) {
      var path = new BFSShortestPath<>(graph).getPath(from, graph.getEdgeSource(e));
      if (path != null && (shortest.isEmpty() || path.getVertexList().size() < shortest.size())) {
        shortest = path.getVertexList();
      }
    }
    return shortest;
  }

  /**
   * @param circle each is read by the next, the last by the first
   */
  private static void tell(
      List<String> circle, Map<String, Derived> byName, List<Diagnostic> diagnostics) {
    var chain = new ArrayList<String>(circle.reversed());
    chain.addFirst(circle.getFirst());
    String shown =
        chain.size() > 8
            ? String.join(" -> ", chain.subList(0, 4)) + " -> ... -> " + chain.getLast()
            : String.join(" -> ", chain);
    Diagnostic d =
        Diagnostic.of(
            Code.CYCLE,
            place(circle.getFirst(), byName),
            "conditions depend on each other in a circle");
    for (String name : chain.subList(1, Math.min(4, chain.size() - 1))) {
      d = d.withRelated(place(name, byName), "part of the circle");
    }
    diagnostics.add(d.withLabel(shown).withWhy("nothing says whether the first of them holds"));
  }
}
