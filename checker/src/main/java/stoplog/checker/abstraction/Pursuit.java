package stoplog.checker.abstraction;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.BitSet;
import java.util.List;
import org.jspecify.annotations.Nullable;
import stoplog.checker.evidence.TraceTimes;
import stoplog.checker.explore.BestFirst;
import stoplog.checker.explore.Search;
import stoplog.checker.explore.SystemBeneath;
import stoplog.model.Claim;
import stoplog.model.Expr;
import stoplog.model.FieldChange;
import stoplog.model.Model;
import stoplog.model.Trace;
import stoplog.model.Variable;

/**
 * Looks for a run to a claim's condition on the whole model, nothing hidden and nothing left out of the
 * steps, where it is most likely to be: see {@link BestFirst} and {@link Distance}. It starts with
 * everything as it first may be, or with a few things otherwise.
 */
final class Pursuit {
  private static final int INPUT_PRICE = 1;
  private static final int POWER_PRICE = 2;
  private static final int FAULT_PRICE = 3;
  private static final int HURRY = Integer.getInteger("hurry", 2);

  private final Reads reads;
  private final Model model;
  private final Claim claim;
  private final Searches searches;
  private final KeptSystem system;
  private final List<int[]> starts;
  private final BitSet hurry = new BitSet();
  private final BitSet inputs = new BitSet();
  StringBuilder told = new StringBuilder();

  /** A run and the values that its variables have before the start assignments. */
  record Found(KeptSystem system, Search.Path path, int[] initial, Trace trace) {}

  Pursuit(Reads reads, Claim claim, Searches searches) {
    this.reads = reads;
    this.model = reads.model();
    this.claim = claim;
    this.searches = searches;
    this.system = new KeptSystem(reads, claim, Kept.everything(reads));
    this.starts = starts();
    BitSet bearing = Distance.bearing(reads, claim);
    for (FieldChange c : model.changes()) {
      FieldChange.Timing t = system.timing(c.id());
      FieldChange.Cause by = c.cause();
      if (t != null && (by == FieldChange.Cause.EQUIPMENT || by == FieldChange.Cause.INSTRUMENT)) {
        hurry.set(t.clock());
      }
      inputs.set(
          c.id(),
          price(c.id()) > 0
              && claim.admits(c)
              && c.effects().stream().anyMatch(e -> bearing.get(e.variable())));
    }
    if (system.restarts(system.scanStep()) >= 0) {
      hurry.set(system.restarts(system.scanStep()));
    }
  }

  private List<int[]> starts() {
    int[] first = new int[model.variables().size()];
    for (Variable v : model.variables()) {
      first[v.id()] = Long.numberOfTrailingZeros(v.initial());
    }
    var all = new ArrayList<int[]>(List.of(first));
    for (Variable v : model.variables()) {
      long others = v.initial() & (v.initial() - 1);
      for (; others != 0; others &= others - 1) {
        int[] other = first.clone();
        other[v.id()] = Long.numberOfTrailingZeros(others);
        all.add(other);
      }
    }
    return all;
  }

  /** A run of the whole model that the reference interpreter has replayed, or null. */
  @Nullable Found run(int mostNodes) {
    this.nodesLeft = mostNodes;
    Search.Path path = anyTime();
    if (path != null && claim.forQuanta() > 0) {
      path = longEnough(needed(path));
    }
    return path == null ? null : replayed(path);
  }

  private int nodesLeft;
  private long leastLeft;

  /** A path to where the condition holds for a moment, straight or by way of one of its parts. */
  private Search.@Nullable Path anyTime() {
    Search.Path path = search(new Started(inputs, 0), claim.condition(), inputs, null, 5000);
    List<Expr> parts = parts(claim.condition());
    for (int i = 0; path == null && parts.size() > 1 && i < parts.size(); i++) {
      Search.Path part = search(new Started(inputs, -1), parts.get(i), inputs, null, 4000);
      if (part != null) {
        path = search(new Started(inputs, 0), claim.condition(), inputs, part, 4000);
      }
    }
    return path;
  }

  private List<Expr> parts(Expr e) {
    return switch (e) {
      case Expr.All a -> a.operands().stream().flatMap(o -> parts(o).stream()).toList();
      case Expr.Use u -> parts(model.definitions().get(u.definition()).value());
      case Expr.Constant _, Expr.Read _, Expr.Not _, Expr.Any _, Expr.In _, Expr.Same _,
          Expr.Choose _, Expr.Shift _ -> List.of(e);
    };
  }

  private BitSet needed(Search.Path path) {
    BitSet needed = inputsOf(path);
    for (int i = needed.nextSetBit(0); i >= 0; i = needed.nextSetBit(i + 1)) {
      needed.clear(i);
      Search.Path without = search(new Started(needed, 0), claim.condition(), needed, null, 1000);
      if (without != null) {
        needed.and(inputsOf(without));
      } else {
        needed.set(i);
      }
    }
    told.append(" needed ").append(needed.stream().mapToObj(i -> model.changes().get(i).text()).toList()).append(" ");
    return needed;
  }

  private Search.@Nullable Path longEnough(BitSet needed) {
    Search.Path path = within(needed);
    BitSet process = (BitSet) needed.clone();
    inputs.stream().filter(i -> model.changes().get(i).cause() == FieldChange.Cause.PROCESS).forEach(process::set);
    if (path == null && !process.equals(needed)) {
      path = within(process);
    }
    BitSet best = needed;
    while (path == null && best != null && nodesLeft > 0) {
      long left = leastLeft;
      BitSet base = best;
      best = null;
      for (int i = inputs.nextSetBit(0); path == null && i >= 0; i = inputs.nextSetBit(i + 1)) {
        if (!base.get(i)) {
          BitSet more = (BitSet) base.clone();
          more.set(i);
          path = within(more);
          if (leastLeft < left) {
            left = leastLeft;
            best = more;
          }
        }
      }
      leastLeft = left;
      told.append(" left ").append(left).append(" ");
    }
    return path;
  }

  private Search.@Nullable Path within(BitSet allowed) {
    return search(new Started(allowed, claim.forQuanta()), claim.condition(), allowed, null, 5000);
  }

  private BitSet inputsOf(Search.Path path) {
    BitSet found = new BitSet();
    for (int s : path.steps()) {
      found.set(s);
    }
    found.and(inputs);
    return found;
  }

  private Search.@Nullable Path search(
      Started from, Expr condition, BitSet allowed, Search.@Nullable Path after, int mostNodes) {
    BestFirst search =
        searches.bestFirst(from, guide(condition, allowed), Math.min(mostNodes, nodesLeft));
    Search.Path path = after == null ? search.run() : search.runFrom(after);
    nodesLeft -= search.nodes();
    leastLeft = search.leastLeft();
    told.append(search.nodes()).append(path == null ? "- " : "+ ");
    return path;
  }

  private @Nullable Found replayed(Search.Path path) {
    for (int[] initial : starts) {
      boolean[] here = new boolean[1];
      system.startsFrom(
          initial, (step, s) -> here[0] |= Arrays.equals(s, path.states().getFirst()));
      if (here[0]) {
        return Completion.check(
                    reads, claim, system, path, TraceTimes.of(system, path), initial)
                instanceof Completion.Valid v
            ? new Found(system, path, initial, v.trace())
            : null;
      }
    }
    return null;
  }

  private BestFirst.Guide guide(Expr condition, BitSet allowed) {
    var distance = new Distance(reads, claim, condition, c -> price(c.id()) == 0 || allowed.get(c.id()));
    return new BestFirst.Guide() {
      @Override
      public int distance(long[] state) {
        int steps = distance.from(v -> system.valueIn(state, v));
        return steps >= Distance.NEVER ? -1 : steps;
      }

      @Override
      public int price(int step, int[] running) {
        int p = Pursuit.this.price(step);
        for (int c : running) {
          if (p > 0 && hurry.get(c)) {
            return p + HURRY;
          }
        }
        return p;
      }
    };
  }

  private int price(int step) {
    if (step >= model.changes().size()) {
      return 0;
    }
    FieldChange c = model.changes().get(step);
    return switch (c.cause()) {
      case FAULT -> FAULT_PRICE;
      case POWER -> POWER_PRICE;
      case OPERATOR, PROCESS, EQUIPMENT, INSTRUMENT, TIMER -> c.timing() == null ? INPUT_PRICE : 0;
    };
  }

  /** The whole model from the chosen starts. */
  private final class Started extends SystemBeneath {
    private final BitSet allowed;
    private final long quanta;

    /** @param quanta how long the condition is to hold; -1 if that is not asked */
    Started(BitSet allowed, long quanta) {
      super(system);
      this.allowed = allowed;
      this.quanta = quanta;
    }

    @Override
    public void starts(Sink sink) {
      starts.forEach(initial -> system.startsFrom(initial, sink));
    }

    @Override
    public void successors(long[] state, Sink sink) {
      system.successors(
          state,
          (step, s) -> {
            if (price(step) == 0 || allowed.get(step)) {
              sink.edge(step, s);
            }
          });
    }

    @Override
    public int goalClock() {
      return quanta < 0 ? -1 : super.goalClock();
    }

    @Override
    public long goalQuanta() {
      return quanta < 0 ? 0 : quanta;
    }

    @Override
    public Started forAnotherThread() {
      throw new UnsupportedOperationException("one thread");
    }
  }
}
