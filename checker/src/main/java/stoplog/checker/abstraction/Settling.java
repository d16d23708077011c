package stoplog.checker.abstraction;

import java.util.ArrayDeque;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.BitSet;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Set;
import org.jgrapht.Graph;
import org.jgrapht.alg.connectivity.GabowStrongConnectivityInspector;
import org.jgrapht.graph.DefaultEdge;
import org.jgrapht.graph.DirectedPseudograph;
import stoplog.model.Assignment;
import stoplog.model.Model;
import stoplog.model.Variable;

/**
 * Asks whether the logic comes to rest when nothing in the field moves: whether scan after scan ends
 * in one that changes nothing.
 *
 * <p>With a reaction time of 0 time stands still while scans are due, so logic that never settles
 * would hide all that comes after; no proof may rest on such a plant.
 *
 * <p>The scan, with the reactions that answer it, is a function of what the controller remembers and
 * of a field that stands still. Memories that depend on each other in a ring (the strong components of
 * "the new value depends on the old value of") settle if, from every combination of their values and
 * for every field, the function repeated reaches a fixed value; memories outside rings settle after
 * the ones they depend on. What a ring depends on and is no part of it has therefore come to rest
 * before, or is itself told of: only such values of it are tried as one more scan leaves alone.
 * Fields are tried lazily: only values that are read are told apart. Not all combinations tried need
 * be reachable, so "may not settle" is no proof that it does not. First it is asked of each ring by
 * itself ({@link RingAlone}), which is enough for most.
 */
public final class Settling {
  /** Evaluations tried before the answer is "may not settle". */
  private static final int MOST_EVALUATIONS = 2_000_000;

  /** Assignments carried out where it is only asked what is seen not to settle: it voids nothing. */
  private static final long MOST_ASSIGNED_TO_SEE = 300_000;

  /** Values worked out for a ring by itself, and where it is only asked what is seen not to settle. */
  private static final int MOST_VALUES_ALONE = 50_000;

  private static final int MOST_VALUES_ALONE_TO_SEE = 3_000;

  private static final int UNKNOWN = -1;

  private final Reads reads;
  private final Model model;
  private final List<Assignment> program = new ArrayList<>();
  private final Map<Integer, BitSet> dependsOn = new HashMap<>();
  private final BitSet remembered = new BitSet();
  private final List<BitSet> dependsAt = new ArrayList<>();
  private final LazyEvaluation lazily;

  /** The memories, with an edge from each to those whose new value depends on its old one. */
  private final Graph<Integer, DefaultEdge> graph = new DirectedPseudograph<>(DefaultEdge.class);

  private final boolean withUntried;
  private int evaluations;
  private long assigned;

  /** Whether the ring looked at last was too much to try; it counts as one that may not settle. */
  private boolean gaveUp;

  /** @param withUntried whether also the rings count that are too much to try */
  private Settling(Reads reads, boolean withUntried) {
    this.reads = reads;
    this.withUntried = withUntried;
    this.model = reads.model();
    this.lazily = new LazyEvaluation(model);
    program.addAll(model.controller().program());
    program.addAll(model.reactions());
  }

  /**
   * The memories that may never come to rest, by name in the order of the model; empty if the logic
   * settles whatever happens.
   */
  public static List<String> restless(Model model) {
    return restless(new Reads(model));
  }

  static List<String> restless(Reads reads) {
    return names(reads, true);
  }

  /** Only those of which some combination of values was found that does not come to rest. */
  static List<String> seenRestless(Reads reads) {
    return names(reads, false);
  }

  private static List<String> names(Reads reads, boolean withUntried) {
    return reads.model().controller().program().isEmpty()
        ? List.of()
        : new Settling(reads, withUntried).rings();
  }

  private List<String> rings() {
    dependencies();
    var alone = new RingAlone(model, program, dependsAt);
    remembered.stream().forEach(graph::addVertex);
    remembered.stream()
        .forEach(
            v -> dependsOn.get(v).stream().filter(remembered::get).forEach(u -> graph.addEdge(u, v)));
    BitSet restless = new BitSet();
    for (Set<Integer> ring : new GabowStrongConnectivityInspector<>(graph).stronglyConnectedSets()) {
      int first = ring.iterator().next();
      boolean turnsBack = ring.size() > 1 || graph.containsEdge(first, first);
      gaveUp = false;
      if (turnsBack && !settles(ring, alone) && (withUntried || !gaveUp)) {
        ring.forEach(restless::set);
      }
    }
    return restless.stream().mapToObj(model::variable).map(Variable::name).toList();
  }

  /** On which old values each new value depends; remembered is what is assigned and read when old. */
  private void dependencies() {
    BitSet readOld = new BitSet();
    for (Assignment a : program) {
      BitSet on = new BitSet();
      reads.of(a.value()).stream()
          .forEach(
              v -> {
                BitSet known = dependsOn.get(v);
                if (known == null) {
                  on.set(v);
                  readOld.set(v);
                } else {
                  on.or(known);
                }
              });
      dependsOn.put(a.variable(), on);
      dependsAt.add(on);
    }
    dependsOn.keySet().stream().filter(readOld::get).forEach(remembered::set);
  }

  private boolean settles(Set<Integer> ring, RingAlone alone) {
    int[] members = ring.stream().mapToInt(Integer::intValue).sorted().toArray();
    long combinations = 1;
    for (int m : members) {
      combinations = Math.min(MOST_EVALUATIONS + 1L, combinations * model.variable(m).size());
    }
    if (combinations > MOST_EVALUATIONS) {
      gaveUp = true;
      return false;
    }
    BitSet depending = dependingOn(ring);
    int mostValues = withUntried ? MOST_VALUES_ALONE : MOST_VALUES_ALONE_TO_SEE;
    if (alone.settles(members, depending, (int) combinations, mostValues)) {
      return true;
    }
    if (isOver()) {
      gaveUp = true;
      return false;
    }
    BitSet needed = new BitSet();
    ring.forEach(needed::set);
    List<Assignment> slice = slice(needed);
    BitSet before = new BitSet();
    slice.forEach(a -> before.set(a.variable()));
    before.and(remembered);
    before.andNot(depending);
    int[] field = new int[model.variables().size()];
    Arrays.fill(field, UNKNOWN);
    var ringed = new Ring(members, before.stream().toArray(), slice, (int) combinations);
    return fromEvery(ringed, 0, field);
  }

  private boolean isOver() {
    return evaluations > MOST_EVALUATIONS || (!withUntried && assigned > MOST_ASSIGNED_TO_SEE);
  }

  /**
   * The ring and all memories that depend on it, of however far. Of those outside it the slice may read
   * an old value too, on the way to one that is overwritten; that they move says nothing.
   */
  private BitSet dependingOn(Set<Integer> ring) {
    BitSet depending = new BitSet();
    ring.forEach(depending::set);
    var open = new ArrayDeque<>(ring);
    while (!open.isEmpty()) {
      for (DefaultEdge e : graph.outgoingEdgesOf(open.remove())) {
        int v = graph.getEdgeTarget(e);
        if (!depending.get(v)) {
          depending.set(v);
          open.add(v);
        }
      }
    }
    return depending;
  }

  /**
   * Memories that depend on each other.
   *
   * @param before memories that they depend on, and that do not depend on them
   * @param slice what a scan does to all of these
   * @param combinations how many there are of the members' values
   */
  private record Ring(int[] members, int[] before, List<Assignment> slice, int combinations) {}

  /** All assignments of the scan to these variables and to what they may depend on. */
  private List<Assignment> slice(BitSet targets) {
    BitSet needed = (BitSet) targets.clone();
    int known;
    do {
      known = needed.cardinality();
      for (Assignment a : program) {
        if (needed.get(a.variable())) {
          needed.or(reads.of(a.value()));
        }
      }
    } while (needed.cardinality() > known);
    return program.stream().filter(a -> needed.get(a.variable())).toList();
  }

  private boolean fromEvery(Ring ring, int at, int[] field) {
    if (at == ring.members().length) {
      return comesToRest(ring, field);
    }
    int member = ring.members()[at];
    for (int v = 0; v < model.variable(member).size(); v++) {
      field[member] = v;
      if (!fromEvery(ring, at + 1, field)) {
        return false;
      }
    }
    field[member] = UNKNOWN;
    return true;
  }

  /** Repeats the scan with this field until nothing changes; tries each value of what it must know. */
  private boolean comesToRest(Ring ring, int[] field) {
    int[] memory = field.clone();
    try {
      for (int round = 0; round <= ring.combinations(); round++) {
        assigned += ring.slice().size();
        evaluations++;
        if (isOver()) {
          gaveUp = true;
          return false;
        }
        int[] next = scan(memory, ring.slice());
        if (moves(ring.before(), memory, next)) {
          return true; // The ring is asked about the rest that this comes to, not about the way.
        }
        boolean same = true;
        for (int m : ring.members()) {
          same &= next[m] == memory[m];
          memory[m] = next[m];
        }
        if (same) {
          return true;
        }
      }
      return false;
    } catch (Unknown u) {
      for (int v = 0; v < model.variable(u.variable).size(); v++) {
        field[u.variable] = v;
        if (!comesToRest(ring, field)) {
          return false;
        }
      }
      field[u.variable] = UNKNOWN;
      return true;
    }
  }

  /** Whether one of these, its old value being known, has another new one. */
  private static boolean moves(int[] variables, int[] memory, int[] next) {
    for (int v : variables) {
      if (memory[v] != UNKNOWN && next[v] != memory[v]) {
        return true;
      }
    }
    return false;
  }

  private int[] scan(int[] memory, List<Assignment> slice) {
    int[] values = memory.clone();
    for (Assignment a : slice) {
      values[a.variable()] = lazily.value(a.value(), v -> known(v, values));
    }
    return values;
  }

  private static int known(int variable, int[] values) {
    if (values[variable] == UNKNOWN) {
      throw new Unknown(variable);
    }
    return values[variable];
  }

  /** Signals that a value of the field is needed before the scan can go on. */
  private static final class Unknown extends RuntimeException {
    private static final long serialVersionUID = 1;
    private final int variable;

    Unknown(int variable) {
      super(null, null, false, false);
      this.variable = variable;
    }
  }
}
