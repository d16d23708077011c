package stoplog.dsl.rules;

import java.util.ArrayList;
import java.util.HashSet;
import java.util.List;
import java.util.Set;
import org.jgrapht.Graph;
import org.jgrapht.graph.DefaultDirectedGraph;
import org.jgrapht.graph.DefaultEdge;
import org.jgrapht.traverse.BreadthFirstIterator;
import stoplog.diag.Code;
import stoplog.diag.Diagnostic;
import stoplog.dsl.resolve.Chart;
import stoplog.dsl.resolve.Exclusion;
import stoplog.dsl.resolve.ResolvedPlant;
import stoplog.dsl.resolve.Statement;
import stoplog.dsl.tree.PlantTree;
import stoplog.source.Span;

/**
 * A sequence begins somewhere, comes to each of its steps and goes on from each, and says which way
 * where it can go several.
 */
final class StepsConnected implements Rule {
  @Override
  public void check(PlantTree tree, ResolvedPlant plant, List<Diagnostic> diagnostics) {
    for (Statement s : plant.program()) {
      if (s instanceof Chart c && c.whole() && tree.isWhole()) {
        check(c, diagnostics);
      }
    }
  }

  private static void check(Chart c, List<Diagnostic> diagnostics) {
    var starts = new HashSet<Integer>();
    for (int i = 0; i < c.steps().size(); i++) {
      if (c.steps().get(i).initial()) {
        starts.add(i);
      }
    }
    if (starts.isEmpty()) {
      diagnostics.add(
          Diagnostic.of(
                  Code.NO_INITIAL_STEP,
                  c.sequence().name().span(),
                  "sequence `" + c.sequence().name() + "` has no initial step")
              .withWhy("nothing says where it stands before it is started")
              .withFix("`initial step ...`"));
      return;
    }
    c.aborts().forEach(a -> starts.add(a.to()));
    Set<Integer> reached = reached(c, starts);
    notReached(c, reached, diagnostics);
    deadEnds(c, reached, diagnostics);
    told(c, diagnostics);
  }

  private static Set<Integer> reached(Chart c, Set<Integer> starts) {
    Graph<Integer, DefaultEdge> graph = new DefaultDirectedGraph<>(DefaultEdge.class);
    for (int i = 0; i < c.steps().size(); i++) {
      graph.addVertex(i);
    }
    for (Chart.Transition t : c.transitions()) {
      // A join leads from any one of its steps: if another is never reached, that is told there.
      t.from().forEach(f -> t.to().forEach(to -> graph.addEdge(f, to)));
    }
    var reached = new HashSet<Integer>();
    new BreadthFirstIterator<>(graph, starts).forEachRemaining(reached::add);
    return reached;
  }

  /** The first steps of what is not reached; what follows them is no second mistake. */
  private static void notReached(Chart c, Set<Integer> reached, List<Diagnostic> diagnostics) {
    var entered = new HashSet<Integer>();
    c.transitions().forEach(t -> entered.addAll(t.to()));
    var told = new ArrayList<Integer>();
    int first = -1;
    for (int i = c.steps().size() - 1; i >= 0; i--) {
      if (!reached.contains(i)) {
        first = i;
        if (!entered.contains(i)) {
          told.addFirst(i);
        }
      }
    }
    if (told.isEmpty() && first >= 0) {
      told.add(first);
    }
    var places = new HashSet<Span>();
    for (int i : told) {
      Chart.Step s = c.steps().get(i);
      if (places.add(s.word().span())) {
        diagnostics.add(
            Diagnostic.of(
                    Code.STEP_NOT_REACHED,
                    s.word().span(),
                    "sequence `" + c.sequence().name() + "` never comes to step `" + s.name() + "`")
                .withWhy("no transition leads there from an initial step")
                .withFix("`from ... to " + s.word() + " when ...`"));
      }
    }
  }

  private static void deadEnds(Chart c, Set<Integer> reached, List<Diagnostic> diagnostics) {
    var left = new HashSet<Integer>();
    c.transitions().forEach(t -> left.addAll(t.from()));
    var places = new HashSet<Span>();
    for (int i : reached) {
      int step = i;
      boolean aborted = c.aborts().stream().anyMatch(a -> a.to() != step);
      Chart.Step s = c.steps().get(i);
      if (!left.contains(i) && !aborted && places.add(s.word().span())) {
        diagnostics.add(
            Diagnostic.of(
                    Code.DEAD_END,
                    s.word().span(),
                    "sequence `" + c.sequence().name() + "` never leaves step `" + s.name() + "`")
                .withWhy("no transition leads on from it")
                .withFix("`from " + s.word() + " to ... when ...`"));
      }
    }
  }

  private static void told(Chart c, List<Diagnostic> diagnostics) {
    var places = new HashSet<Span>();
    for (Exclusion.Conflict conflict : Exclusion.conflicts(c)) {
      if (places.add(conflict.second().span())) {
        diagnostics.add(
            Diagnostic.of(
                    Code.BOTH_WAYS,
                    conflict.second().span(),
                    "step `"
                        + c.steps().get(conflict.step()).name()
                        + "` may be left in two ways at once")
                .withLabel("can hold in the same scan")
                .withRelated(conflict.first().span(), "as this")
                .withWhy("then both are taken, and the steps of both are active")
                .withFix("`not ...` of the one in the condition of the other"));
      }
    }
  }
}
