package stoplog.checker.abstraction;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.BitSet;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import stoplog.model.Assignment;
import stoplog.model.Model;

/**
 * Asks whether memories that depend on each other come to rest whatever the rest of the scan works out,
 * so long as that stays as it is. It looks no further than to the first value that does not depend on
 * them: of a horn, to its command, and not to the alarms behind that.
 *
 * <p>What does not depend on them has come to rest before, or is told of itself (see {@link Settling}).
 * From then on each value that a scan works out on the way, and does not work out from them, is the same
 * in every scan. Here it may be any: that only adds fields, so "yes" stands. "No" says nothing.
 */
final class RingAlone {
  private static final int UNKNOWN = -1;

  private final Model model;
  private final List<Assignment> program;
  private final LazyEvaluation lazily;

  /** The old values on which each assignment depends, through those before it. */
  private final List<BitSet> dependsOn;

  private final Map<Integer, List<Integer>> placesOf = new HashMap<>();

  /** What each assignment works out in the scan under way; those of {@code worked} are known. */
  private final int[] values;

  /** The given values: of each assignment that does not depend on the ring, then of each variable. */
  private final int[] given;

  private final List<Integer> worked = new ArrayList<>();
  private int[] old = {};
  private BitSet moving = new BitSet();
  private int left;

  /** @param dependsOn the old values on which the new value of each assignment depends */
  RingAlone(Model model, List<Assignment> program, List<BitSet> dependsOn) {
    this.model = model;
    this.program = program;
    this.lazily = new LazyEvaluation(model);
    this.dependsOn = dependsOn;
    for (int i = 0; i < program.size(); i++) {
      placesOf.computeIfAbsent(program.get(i).variable(), v -> new ArrayList<>()).add(i);
    }
    this.values = new int[program.size()];
    this.given = new int[program.size() + model.variables().size()];
    Arrays.fill(values, UNKNOWN);
    Arrays.fill(given, UNKNOWN);
  }

  /**
   * Whether they do.
   *
   * @param members of the ring
   * @param depending they, and all memories that depend on them
   * @param combinations how many there are of the members' values
   * @param mostValues worked out, beyond which the answer is "no"
   */
  boolean settles(int[] members, BitSet depending, int combinations, int mostValues) {
    moving = depending;
    left = mostValues;
    old = new int[model.variables().size()];
    Arrays.fill(old, UNKNOWN);
    try {
      return fromEvery(members, 0, combinations);
    } finally {
      Arrays.fill(given, UNKNOWN);
    }
  }

  private boolean fromEvery(int[] members, int at, int combinations) {
    if (at == members.length) {
      return comesToRest(members, combinations);
    }
    for (int v = 0; v < model.variable(members[at]).size(); v++) {
      old[members[at]] = v;
      if (!fromEvery(members, at + 1, combinations)) {
        return false;
      }
    }
    return true;
  }

  private boolean comesToRest(int[] members, int combinations) {
    int[] start = old.clone();
    try {
      for (int round = 0; round <= combinations; round++) {
        int[] next = new int[members.length];
        for (int i = 0; i < members.length; i++) {
          next[i] = after(program.size(), members[i]);
        }
        forget();
        boolean same = true;
        for (int i = 0; i < members.length; i++) {
          same &= next[i] == old[members[i]];
          old[members[i]] = next[i];
        }
        if (same) {
          return true;
        }
      }
      return false;
    } catch (Wanted w) {
      for (int v = 0; v < w.size; v++) {
        given[w.what] = v;
        old = start.clone();
        forget();
        if (!comesToRest(members, combinations)) {
          return false;
        }
      }
      given[w.what] = UNKNOWN;
      return true;
    } catch (TooMuch _) {
      return false;
    } finally {
      old = start;
      forget();
    }
  }

  private void forget() {
    worked.forEach(place -> values[place] = UNKNOWN);
    worked.clear();
  }

  /** What a variable is before the assignment at this place. */
  private int after(int place, int variable) {
    List<Integer> places = placesOf.getOrDefault(variable, List.of());
    int last = -1;
    for (int p : places) {
      last = p < place ? p : last;
    }
    if (last >= 0) {
      return dependsOn.get(last).intersects(moving) ? worked(last) : given(last, variable);
    }
    if (old[variable] != UNKNOWN) {
      return old[variable];
    }
    if (moving.get(variable)) {
      // What moves with the ring and is no part of it: the ring does not depend on that.
      throw new TooMuch();
    }
    // At rest the value before a scan is the one after it.
    return given(places.isEmpty() ? program.size() + variable : places.getLast(), variable);
  }

  private int given(int what, int variable) {
    if (given[what] == UNKNOWN) {
      throw new Wanted(what, model.variable(variable).size());
    }
    return given[what];
  }

  private int worked(int place) {
    if (values[place] == UNKNOWN) {
      if (--left < 0) {
        throw new TooMuch();
      }
      values[place] = lazily.value(program.get(place).value(), v -> after(place, v));
      worked.add(place);
    }
    return values[place];
  }

  /** Signals that a value is needed that may be any. */
  private static final class Wanted extends RuntimeException {
    private static final long serialVersionUID = 1;
    private final int what;
    private final int size;

    Wanted(int what, int size) {
      super(null, null, false, false);
      this.what = what;
      this.size = size;
    }
  }

  /** Signals that the answer is "no". */
  private static final class TooMuch extends RuntimeException {
    private static final long serialVersionUID = 1;

    TooMuch() {
      super(null, null, false, false);
    }
  }
}
