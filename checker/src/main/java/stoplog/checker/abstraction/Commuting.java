package stoplog.checker.abstraction;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.BitSet;
import java.util.IdentityHashMap;
import java.util.List;
import org.jspecify.annotations.Nullable;
import stoplog.checker.abstraction.CompilableSystem.Unit;
import stoplog.checker.explore.SleepSets;

/**
 * Which field changes of one system move before others or undo them, as {@link SleepSets} asks.
 *
 * <p>A change moves before another, and the other way round, if neither assigns what the other
 * reads or assigns. That both may be faults does not matter: if one is within the budget after the
 * other, each is before it, and as many are counted either way.
 *
 * <p>Whether one undoes another is tried out, for all values of the variables they read and assign,
 * where those are few. A fault is never undone: it stays counted.
 *
 * <p>Only plain changes are looked at (see {@link PlainNodes}), which have one result at most, and
 * only where no scan can be due: the count of those is read and assigned by nearly every change.
 * Only the first 64 of them may sleep.
 *
 * <p>Takes time in proportion to the expressions and to 64 times the changes. Immutable.
 */
final class Commuting {
  private static final int MOST_ASLEEP = Long.SIZE;

  /** Values of the variables of two changes that are tried at most, and of all together. */
  private static final int MOST_TRIED = 128;

  private static final int MOST_TRIED_IN_ALL = 10_000;

  /** A change, and the variables it reads and assigns. */
  private record Effect(Unit.Change change, BitSet reads, BitSet assigns) {
    boolean isApartFrom(Effect other) {
      return !assigns.intersects(other.reads)
          && !assigns.intersects(other.assigns)
          && !reads.intersects(other.assigns);
    }
  }

  private final long[] bits;
  private final @Nullable SleepSets sleepSets;

  private Commuting(long[] bits, @Nullable SleepSets sleepSets) {
    this.bits = bits;
    this.sleepSets = sleepSets;
  }

  /** The bit of a step that may sleep, else 0. */
  long bit(int step) {
    return step < bits.length ? bits[step] : 0;
  }

  /** Null if no step ever sleeps. */
  @Nullable SleepSets sleepSets() {
    return sleepSets;
  }

  static Commuting of(CompilableSystem system, PlainNodes plain) {
    // With several clocks states have zones, and the search does not ask.
    if (system.tracksDue() || system.conditions().size() > 1) {
      return new Commuting(new long[0], null);
    }
    var effects = new ArrayList<Effect>();
    int steps = 0;
    for (Unit u : system.units()) {
      steps = Math.max(steps, u.step() + 1);
      if (u instanceof Unit.Change c && plain.holds(c.program())) {
        effects.add(effect(c));
      }
    }
    return new Finder(system.domains(), effects, steps).find();
  }

  private static Effect effect(Unit.Change change) {
    var reads = new BitSet();
    var assigns = new BitSet();
    var seen = new IdentityHashMap<Node, Boolean>();
    for (StepProgram.Operation op : change.program().operations()) {
      collect(op.value(), reads, seen);
      if (op.target() >= 0) {
        assigns.set(op.target());
      }
    }
    return new Effect(change, reads, assigns);
  }

  private static void collect(Node node, BitSet reads, IdentityHashMap<Node, Boolean> seen) {
    if (seen.put(node, true) != null) {
      return;
    }
    if (node instanceof Node.KeptRead r) {
      reads.set(r.variable());
    }
    for (Node o : Statements.operandsOf(node)) {
      collect(o, reads, seen);
    }
  }

  private static final class Finder {
    private final long[] domains;
    private final List<Effect> effects;
    private final long[] bits;
    private final long[] fall;
    private final long[] stay;
    private boolean any;
    private int left = MOST_TRIED_IN_ALL;

    Finder(long[] domains, List<Effect> effects, int steps) {
      this.domains = domains;
      this.effects = effects;
      this.bits = new long[steps];
      this.fall = new long[steps];
      this.stay = new long[steps];
    }

    Commuting find() {
      for (int a = 0; a < effects.size() && a < MOST_ASLEEP; a++) {
        for (int b = 0; b < effects.size(); b++) {
          look(a, b, 1L << a);
        }
      }
      return new Commuting(bits, any ? new SleepSets(fall, stay) : null);
    }

    /** Whether the first may sleep after the second. */
    private void look(int a, int b, long bit) {
      Effect first = effects.get(a);
      Effect second = effects.get(b);
      int step = second.change().step();
      boolean apart = first.isApartFrom(second);
      if (apart) {
        stay[step] |= bit;
        fall[step] |= a < b ? bit : 0;
      } else if (first.assigns().equals(second.assigns()) && undoes(first, second)) {
        fall[step] |= bit;
      }
      if (((stay[step] | fall[step]) & bit) != 0) {
        bits[first.change().step()] = bit;
        any = true;
      }
    }

    /**
     * Whether the first, wherever it can be taken after the second, leads back to the state before.
     */
    private boolean undoes(Effect first, Effect second) {
      if (first.change().fault() || second.change().fault()) {
        return false;
      }
      BitSet all = (BitSet) first.reads().clone();
      all.or(second.reads());
      all.or(first.assigns());
      int[] variables = all.stream().toArray();
      int count = 1;
      for (int v : variables) {
        count *= Long.bitCount(domains[v]);
        if (count > MOST_TRIED) {
          return false;
        }
      }
      left -= count;
      return left >= 0 && undoes(first, second, variables);
    }

    private boolean undoes(Effect first, Effect second, int[] variables) {
      StepProgram undoing = first.change().program();
      StepProgram undone = second.change().program();
      int[] values = new int[domains.length];
      for (int v : variables) {
        values[v] = Long.numberOfTrailingZeros(domains[v]);
      }
      boolean[] fails = new boolean[1];
      do {
        int[] before = values.clone();
        undone.run(
            values,
            null,
            () -> undoing.run(values, null, () -> fails[0] |= !Arrays.equals(before, values)));
      } while (!fails[0] && next(values, variables));
      return !fails[0];
    }

    /** Moves on to the next values of the variables, whether there are any. */
    private boolean next(int[] values, int[] variables) {
      for (int v : variables) {
        long greater = domains[v] & -2L << values[v];
        if (greater != 0) {
          values[v] = Long.numberOfTrailingZeros(greater);
          return true;
        }
        values[v] = Long.numberOfTrailingZeros(domains[v]);
      }
      return false;
    }
  }
}
