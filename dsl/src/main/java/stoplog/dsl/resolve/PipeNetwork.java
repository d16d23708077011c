package stoplog.dsl.resolve;

import java.util.ArrayList;
import java.util.HashMap;
import java.util.HashSet;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.function.Predicate;
import java.util.function.ToLongFunction;
import org.jgrapht.alg.util.UnionFind;
import org.jgrapht.graph.DirectedPseudograph;
import org.jspecify.annotations.Nullable;
import stoplog.dsl.kinds.Kind.Passage;
import stoplog.source.Span;

/**
 * How the pipes of a plant connect: junctions, and the ways through equipment between them. A pipe
 * itself lets a fluid through both ways, so all that it joins is one junction.
 */
final class PipeNetwork {
  /** More ways than this between two places are more than a person drew with a meaning. */
  static final int MAX_PATHS = 200;

  /** Steps of a search; no plant with so few ways needs more. */
  private static final int MAX_STEPS = 50_000;

  /**
   * A way through a piece of equipment, in one direction.
   *
   * @param forward whether the direction is that of the equipment, in which it pumps
   */
  record Way(Symbol.Equipment equipment, Passage passage, boolean forward) {
    /** The positions in which fluid passes, as far as is known. */
    long passes() {
      return passage.positions();
    }

    /** Those in which it is sure to. */
    long surelyPasses() {
      return equipment.kind().surelyPasses(passage);
    }
  }

  private final Set<String> places = new LinkedHashSet<>();
  private final UnionFind<String> joined = new UnionFind<>(Set.of());
  private final DirectedPseudograph<String, Way> ways = new DirectedPseudograph<>(Way.class);
  private final Map<String, Symbol.Equipment> equipment = new HashMap<>();
  private final Map<String, boolean[]> ends = new HashMap<>();
  private final Set<String> sources = new HashSet<>();
  private final Set<String> sinks = new HashSet<>();

  /** All paths between two places; {@code null} of them if there are too many. */
  record Paths(@Nullable List<List<Way>> list) {}

  // ---- drawing

  /** The inlet of a piece of equipment with two plain ends. */
  static String inlet(Symbol.Equipment e) {
    return e.name() + " inlet";
  }

  static String outlet(Symbol.Equipment e) {
    return e.name() + " outlet";
  }

  static String port(Symbol.Equipment e, String port) {
    return e.name() + " at " + port;
  }

  private void place(String name) {
    if (places.add(name)) {
      joined.addElement(name);
    }
  }

  /** Draws a piece of equipment, once. */
  void add(Symbol.Equipment e) {
    if (equipment.putIfAbsent(e.name().text(), e) == null) {
      place(inlet(e));
      place(outlet(e));
      e.kind().ports().forEach(p -> place(port(e, p)));
    }
  }

  /**
   * Draws a point that is no equipment where a pipe begins or ends.
   *
   * @param vessel whether fluid can always come from there and go there
   */
  void point(String name, boolean begins, boolean vessel) {
    place(name);
    boolean[] end = ends.computeIfAbsent(name, n -> new boolean[2]);
    end[0] |= begins || vessel;
    end[1] |= !begins || vessel;
    if (vessel) {
      sources.add(name);
      sinks.add(name);
    }
  }

  void join(String one, String other) {
    joined.union(one, other);
  }

  /** To be called once, when all pipes are drawn. Linear. */
  void finish() {
    for (Map.Entry<String, boolean[]> e : ends.entrySet()) {
      if (e.getValue()[0] != e.getValue()[1]) {
        (e.getValue()[0] ? sources : sinks).add(e.getKey());
      }
    }
    Set<String> drains = at(sinks);
    Set<String> springs = at(sources);
    Map<String, Integer> size = new HashMap<>();
    places.forEach(p -> size.merge(joined.find(p), 1, Integer::sum));
    for (Symbol.Equipment e : equipment.values()) {
      for (Passage p : e.kind().passages()) {
        String from = p.from() == null ? inlet(e) : port(e, p.from());
        String to = p.to() == null ? outlet(e) : port(e, p.to());
        connect(from, to, new Way(e, p, true));
        if (p.bothWays()) {
          connect(to, from, new Way(e, p, false));
        }
        // Where no pipe is drawn, fluid comes from beyond the drawing or leaves it.
        for (String open : List.of(from, to)) {
          if (size.getOrDefault(joined.find(open), 0) == 1) {
            drains.add(joined.find(open));
            springs.add(joined.find(open));
          }
        }
      }
    }
    sinks.clear();
    sinks.addAll(drains);
    sources.clear();
    sources.addAll(springs);
  }

  private Set<String> at(Set<String> points) {
    Set<String> junctions = new HashSet<>();
    points.forEach(p -> junctions.add(joined.find(p)));
    return junctions;
  }

  private void connect(String from, String to, Way way) {
    ways.addVertex(joined.find(from));
    ways.addVertex(joined.find(to));
    ways.addEdge(joined.find(from), joined.find(to), way);
  }

  // ---- asking

  boolean knows(String place) {
    return places.contains(place);
  }

  boolean draws(Symbol.Equipment e) {
    return equipment.containsKey(e.name().text());
  }

  Set<String> points() {
    return ends.keySet();
  }

  /** Every path on which no junction comes twice. */
  Paths between(String from, String to) {
    String end = joined.find(to);
    return search(joined.find(from), end::equals, true, null);
  }

  /** Every such path from the outlet to where fluid can go, not through the equipment itself. */
  Paths away(Symbol.Equipment e) {
    return search(joined.find(outlet(e)), sinks::contains, true, e);
  }

  /** Every such path from where fluid comes from to the inlet, not through the equipment itself. */
  Paths toward(Symbol.Equipment e) {
    return search(joined.find(inlet(e)), sources::contains, false, e);
  }

  private Paths search(
      String start, Predicate<String> ends, boolean along, Symbol.@Nullable Equipment without) {
    var search = new Search(ends, along, without);
    search.go(start);
    return new Paths(search.tooMany ? null : search.found);
  }

  /** A depth-first search. Depth: the junctions of one path. */
  private final class Search {
    private final Predicate<String> ends;
    private final boolean along;
    private final Symbol.@Nullable Equipment without;
    private final List<List<Way>> found = new ArrayList<>();
    private final Set<String> visited = new HashSet<>();
    private final List<Way> path = new ArrayList<>();
    private int steps;
    private boolean tooMany;

    Search(Predicate<String> ends, boolean along, Symbol.@Nullable Equipment without) {
      this.ends = ends;
      this.along = along;
      this.without = without;
    }

    void go(String at) {
      tooMany |= ++steps > MAX_STEPS || found.size() > MAX_PATHS || path.size() > MAX_PATHS;
      if (tooMany) {
        return;
      }
      if (ends.test(at)) {
        found.add(List.copyOf(path));
        return;
      }
      if (!ways.containsVertex(at)) {
        return;
      }
      visited.add(at);
      for (Way w : along ? ways.outgoingEdgesOf(at) : ways.incomingEdgesOf(at)) {
        String next = along ? ways.getEdgeTarget(w) : ways.getEdgeSource(w);
        if (w.equipment() != without && !visited.contains(next)) {
          path.add(w);
          go(next);
          path.removeLast();
        }
      }
      visited.remove(at);
    }
  }

  // ---- terms

  /** One of these paths is open. */
  static Term anyOpen(List<List<Way>> paths, Span at) {
    return any(paths, Way::passes, at);
  }

  /** One of these paths is open for sure: nobody knows of a valve on its way which of its ways it opens. */
  static Term anySurelyOpen(List<List<Way>> paths, Span at) {
    return any(paths, Way::surelyPasses, at);
  }

  private static Term any(List<List<Way>> paths, ToLongFunction<Way> positions, Span at) {
    var terms = new ArrayList<Term>();
    paths.forEach(p -> terms.add(all(p, positions, at)));
    return new Term.Any(terms, at);
  }

  /** Each of these ways stands in one of its positions. */
  private static Term all(List<Way> path, ToLongFunction<Way> positions, Span at) {
    var terms = new ArrayList<Term>();
    for (Way w : path) {
      terms.add(new Term.Positioned(w.equipment(), positions.applyAsLong(w), "open", at));
    }
    return new Term.All(terms, at);
  }

  /** One of these paths is open, and something on it pumps the way the path goes. */
  static Term anyFlows(List<List<Way>> paths, Span at) {
    var terms = new ArrayList<Term>();
    for (List<Way> path : paths) {
      var pumping = new ArrayList<Term>();
      for (Way w : path) {
        if (w.forward() && w.equipment().kind().pumps() != 0) {
          pumping.add(pumps(w.equipment(), at));
        }
      }
      if (!pumping.isEmpty()) {
        terms.add(new Term.All(List.of(all(path, Way::passes, at), new Term.Any(pumping, at)), at));
      }
    }
    return new Term.Any(terms, at);
  }

  static Term pumps(Symbol.Equipment e, Span at) {
    return new Term.Positioned(e, e.kind().pumps(), "pumping", at);
  }
}
