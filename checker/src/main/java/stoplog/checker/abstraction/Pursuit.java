package stoplog.checker.abstraction;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.BitSet;
import java.util.List;
import org.jspecify.annotations.Nullable;
import stoplog.checker.evidence.TraceTimes;
import stoplog.checker.explore.BestFirst;
import stoplog.checker.explore.CutShort;
import stoplog.checker.explore.Search;
import stoplog.model.Claim;
import stoplog.model.Expr;
import stoplog.model.FieldChange;
import stoplog.model.Model;
import stoplog.model.Trace;
import stoplog.model.Variable;

/**
 * Looks for a run to a claim's condition on the whole model, nothing hidden, where it is most likely to
 * be. What it finds, the reference interpreter has replayed; that it finds nothing says nothing.
 *
 * <p>First it looks for a way to where the condition holds at all, straight or by way of one of its parts
 * ({@link BestFirst}, {@link Distance}). Of the inputs on that way it keeps those that are needed, and
 * with these alone it looks for a run in which the condition holds for long enough; then with one input
 * more at a time, keeping the one that made it hold longest. With few inputs all their orders can be
 * tried, and all that is not needed stays still.
 */
final class Pursuit {
  /** Variables beyond which a plant is too large for steps of all of it. */
  private static final int MOST_VARIABLES = 1_000;

  /** Which part of all that it may cost the first search may take, and each that follows it. */
  private static final int STRAIGHT = 4;

  private static final int BY_WAY_OF_PART = 5;
  private static final int WITHOUT_NODES = 1_000;
  private static final int WITHIN_NODES = 5_000;
  private static final int SHORTER_NODES = 5_000;

  private final Reads reads;
  private final Model model;
  private final Claim claim;
  private final Searches searches;
  private final KeptSystem whole;
  private final List<int[]> starts;
  private final Prices prices;
  private final int mostNodes;
  private int nodesLeft;

  private record Found(Search.Path path, Trace trace) {}

  /** A path that a search found, if any, and by how much the condition fell short of its time. */
  private record Sought(Search.@Nullable Path path, long left) {}

  private Pursuit(Reads reads, Claim claim, Searches searches, int mostNodes) {
    this.reads = reads;
    this.model = reads.model();
    this.claim = claim;
    this.searches = searches;
    this.whole = new KeptSystem(reads, claim, Kept.everything(reads));
    this.starts = starts();
    this.prices = new Prices(model, claim, whole, Distance.bearing(reads, claim));
    this.mostNodes = mostNodes;
    this.nodesLeft = mostNodes;
  }

  /**
   * A run that was found at the cost of so many nodes at most, or null.
   *
   * @param kept what the run is taken to lean on in any case
   */
  static Following.Result.@Nullable Real run(
      Reads reads, Claim claim, Searches searches, Kept kept, int mostNodes) {
    if (reads.model().variables().size() > MOST_VARIABLES) {
      return null;
    }
    try {
      var pursuit = new Pursuit(reads, claim, searches, mostNodes);
      Found found = pursuit.found();
      if (found == null) {
        return null;
      }
      var touched = Touched.by(reads, claim, searches, pursuit.whole, found.path(), kept);
      return new Following.Result.Real(found.trace(), touched.events(), touched.kept());
    } catch (CutShort _) {
      return null;
    }
  }

  /** All as it first may be, and the same with one thing otherwise. */
  private List<int[]> starts() {
    int[] first = new int[model.variables().size()];
    for (Variable v : model.variables()) {
      first[v.id()] = Long.numberOfTrailingZeros(v.initial());
    }
    var all = new ArrayList<int[]>(List.of(first));
    for (Variable v : model.variables()) {
      for (long others = v.initial() & (v.initial() - 1); others != 0; others &= others - 1) {
        int[] other = first.clone();
        other[v.id()] = Long.numberOfTrailingZeros(others);
        all.add(other);
      }
    }
    return all;
  }

  private @Nullable Found found() {
    Search.Path path = forAMoment();
    if (path != null && claim.forQuanta() > 0) {
      path = forLongEnough(needed(path));
    }
    if (path == null) {
      return null;
    }
    Found found = replayed(path);
    Search.Path shorter = found == null ? null : shorter(path);
    Found better = shorter == null ? null : replayed(shorter);
    return better == null ? found : better;
  }

  private Search.@Nullable Path forAMoment() {
    BitSet all = prices.inputs();
    Search.Path path = sought(all, 0, claim.condition(), null, mostNodes / STRAIGHT).path();
    List<Expr> parts = parts(claim.condition());
    for (int i = 0; path == null && parts.size() > 1 && i < parts.size(); i++) {
      Search.Path first =
          sought(all, SomeInputs.FOR_NO_TIME, parts.get(i), null, mostNodes / BY_WAY_OF_PART).path();
      if (first != null) {
        path = sought(all, 0, claim.condition(), first, mostNodes / BY_WAY_OF_PART).path();
      }
    }
    return path;
  }

  /** Expressions all of which hold where this one holds. */
  private List<Expr> parts(Expr e) {
    return switch (e) {
      case Expr.All a -> a.operands().stream().flatMap(o -> parts(o).stream()).toList();
      case Expr.Use u -> parts(model.definitions().get(u.definition()).value());
      case Expr.Constant _, Expr.Read _, Expr.Not _, Expr.Any _, Expr.In _, Expr.Same _,
              Expr.Choose _, Expr.Shift _ ->
          List.of(e);
    };
  }

  /** Of the inputs of a path to where the condition holds those without which no other was found. */
  private BitSet needed(Search.Path path) {
    BitSet needed = inputsOf(path);
    for (int i = needed.nextSetBit(0); i >= 0; i = needed.nextSetBit(i + 1)) {
      needed.clear(i);
      Search.Path without = sought(needed, 0, claim.condition(), null, WITHOUT_NODES).path();
      if (without == null) {
        needed.set(i);
      } else {
        needed.and(inputsOf(without));
      }
    }
    return needed;
  }

  private BitSet inputsOf(Search.Path path) {
    BitSet inputs = new BitSet();
    for (int step : path.steps()) {
      inputs.set(step);
    }
    inputs.and(prices.inputs());
    return inputs;
  }

  private Search.@Nullable Path forLongEnough(BitSet needed) {
    Sought best = within(needed);
    BitSet process = (BitSet) prices.inputs().clone();
    for (FieldChange c : model.changes()) {
      if (c.cause() != FieldChange.Cause.PROCESS) {
        process.clear(c.id());
      }
    }
    process.or(needed);
    Search.Path path = best.path() == null ? within(process).path() : best.path();
    BitSet base = needed;
    for (boolean better = true; path == null && better && nodesLeft > 0; ) {
      better = false;
      BitSet others = (BitSet) prices.inputs().clone();
      others.andNot(base);
      BitSet longest = base;
      for (int i = others.nextSetBit(0); path == null && i >= 0; i = others.nextSetBit(i + 1)) {
        BitSet more = (BitSet) base.clone();
        more.set(i);
        Sought with = within(more);
        path = with.path();
        if (with.left() < best.left()) {
          best = with;
          longest = more;
          better = true;
        }
      }
      base = longest;
    }
    return path;
  }

  private Sought within(BitSet inputs) {
    return sought(inputs, claim.forQuanta(), claim.condition(), null, WITHIN_NODES);
  }

  private Sought sought(
      BitSet inputs, long quanta, Expr condition, Search.@Nullable Path after, int mostNodes) {
    if (searches.over()) {
      return new Sought(null, Long.MAX_VALUE);
    }
    BestFirst search =
        searches.bestFirst(
            with(inputs, quanta), guide(condition, inputs), Math.min(mostNodes, nodesLeft));
    Search.Path path = after == null ? search.run() : search.runFrom(after);
    nodesLeft -= search.nodes();
    return new Sought(path, search.leastLeft());
  }

  private SomeInputs with(BitSet inputs, long quanta) {
    return new SomeInputs(whole, starts, allBut(inputs), quanta);
  }

  /** The inputs other than these. */
  private BitSet allBut(BitSet inputs) {
    BitSet left = new BitSet();
    for (FieldChange c : model.changes()) {
      left.set(c.id(), prices.isInput(c.id()) && !inputs.get(c.id()));
    }
    return left;
  }

  private BestFirst.Guide guide(Expr condition, BitSet inputs) {
    BitSet left = allBut(inputs);
    var distance = new Distance(reads, claim, condition, c -> !left.get(c.id()));
    return new BestFirst.Guide() {
      @Override
      public int distance(long[] state) {
        int steps = distance.from(v -> whole.valueIn(state, v));
        return steps >= Distance.NEVER ? -1 : steps;
      }

      @Override
      public int price(int step, int[] running) {
        return prices.of(step, running);
      }
    };
  }

  /** A shortest run with these inputs alone, or null if that takes too long. */
  private Search.@Nullable Path shorter(Search.Path path) {
    return searches.runWithin(
                with(inputsOf(path), claim.forQuanta()), whole.kept(), SHORTER_NODES)
            instanceof Search.Outcome.Found f
        ? f.path()
        : null;
  }

  private @Nullable Found replayed(Search.Path path) {
    for (int[] initial : starts) {
      boolean[] here = new boolean[1];
      whole.startsFrom(
          initial, (step, s) -> here[0] |= Arrays.equals(s, path.states().getFirst()));
      if (here[0]) {
        return Completion.check(
                    reads, claim, whole, path, TraceTimes.of(whole, path), initial)
                instanceof Completion.Valid v
            ? new Found(path, v.trace())
            : null;
      }
    }
    return null;
  }
}
