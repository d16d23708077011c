package stoplog.checker.reference;

import java.util.TreeSet;
import org.jspecify.annotations.Nullable;
import stoplog.model.Bound;
import stoplog.model.Clock;
import stoplog.model.FieldChange;
import stoplog.model.Model;

/**
 * The readings of clocks, in ticks, written so that states that no rule will ever tell apart are equal
 * and so that there are finitely many.
 *
 * <p><b>Long readings.</b> A clock that has run beyond the largest number it is ever compared with
 * stays one tick above that number: every comparison then answers as it would for any greater reading,
 * from now until the clock stops, and no construct compares two clocks. A clock that is compared with
 * nothing stays at 0.
 *
 * <p><b>Spreading.</b> All that ever matters of the other readings is their whole parts and the order
 * of their fractional parts, with those that are 0 apart. So if a quantum has more ticks than there are
 * readings, the fractional parts can be spread anew, in their order: to the lowest ticks if some
 * reading is whole, so that the next tick passes before any other reading becomes whole; else to the
 * highest, so that the next tick makes exactly the foremost readings whole. Each tick then leads to
 * the very next order, none is skipped.
 */
final class Readings {
  private final int ticksPerQuantum;
  private final boolean spreading;
  private final long[] capTicks;

  /** @param spreading if so, there are more ticks to the quantum than readings in a state */
  Readings(Model model, int ticksPerQuantum, boolean spreading) {
    this.ticksPerQuantum = ticksPerQuantum;
    this.spreading = spreading;
    this.capTicks = new long[model.clocks().size()];
    for (Clock c : model.clocks()) {
      raise(c.id(), c.limit());
    }
    for (FieldChange c : model.changes()) {
      FieldChange.Timing timing = c.timing();
      if (timing != null) {
        raise(timing.clock(), timing.earliest());
        raise(timing.clock(), timing.latest());
      }
    }
  }

  private void raise(int clock, @Nullable Bound bound) {
    if (bound != null) {
      capTicks[clock] = Math.max(capTicks[clock], bound.quanta() * ticksPerQuantum + 1);
    }
  }

  /** The state that stands for this one and all that are like it. */
  State tidy(State state) {
    long[] clocks = new long[capTicks.length];
    for (int c = 0; c < clocks.length; c++) {
      clocks[c] = Math.min(state.clockTicks(c), capTicks[c]);
    }
    if (!spreading) {
      return state.withTicks(clocks, state.dueTicks(), state.conditionTicks());
    }
    int[] places = places(clocks, state.dueTicks(), state.conditionTicks());
    for (int c = 0; c < clocks.length; c++) {
      if (clocks[c] < capTicks[c]) {
        clocks[c] = moved(clocks[c], places);
      }
    }
    return state.withTicks(
        clocks, moved(state.dueTicks(), places), moved(state.conditionTicks(), places));
  }

  /**
   * A state whose readings are counted in other ticks, in these: whole parts and the order of the
   * fractional parts are the same. Needs a quantum with more ticks than there are readings.
   */
  State converted(State state, int otherTicksPerQuantum) {
    var fractions = new TreeSet<Long>();
    for (int c = 0; c < capTicks.length; c++) {
      addFraction(fractions, state.clockTicks(c), otherTicksPerQuantum);
    }
    addFraction(fractions, state.dueTicks(), otherTicksPerQuantum);
    long[] clocks = new long[capTicks.length];
    for (int c = 0; c < clocks.length; c++) {
      clocks[c] = converted(state.clockTicks(c), otherTicksPerQuantum, fractions);
    }
    long due = converted(state.dueTicks(), otherTicksPerQuantum, fractions);
    return state.withTicks(clocks, due, State.NOT_RUNNING);
  }

  private static void addFraction(TreeSet<Long> fractions, long reading, int ticks) {
    if (reading != State.NOT_RUNNING && reading % ticks != 0) {
      fractions.add(reading % ticks);
    }
  }

  private long converted(long reading, int ticks, TreeSet<Long> fractions) {
    return reading == State.NOT_RUNNING
        ? reading
        : reading / ticks * ticksPerQuantum + fractions.headSet(reading % ticks, true).size();
  }

  /** Where each fractional part, in ticks, is moved to. */
  private int[] places(long[] clocks, long dueTicks, long conditionTicks) {
    boolean[] taken = new boolean[ticksPerQuantum];
    for (int c = 0; c < clocks.length; c++) {
      if (clocks[c] < capTicks[c]) {
        take(taken, clocks[c]);
      }
    }
    take(taken, dueTicks);
    take(taken, conditionTicks);
    int fractions = 0;
    for (int f = 1; f < ticksPerQuantum; f++) {
      fractions += taken[f] ? 1 : 0;
    }
    int[] places = new int[ticksPerQuantum];
    int next = taken[0] ? 1 : ticksPerQuantum - fractions;
    for (int f = 1; f < ticksPerQuantum; f++) {
      if (taken[f]) {
        places[f] = next++;
      }
    }
    return places;
  }

  private void take(boolean[] taken, long reading) {
    if (reading != State.NOT_RUNNING) {
      taken[(int) (reading % ticksPerQuantum)] = true;
    }
  }

  private long moved(long reading, int[] places) {
    if (reading == State.NOT_RUNNING) {
      return reading;
    }
    int fraction = (int) (reading % ticksPerQuantum);
    return reading - fraction + places[fraction];
  }
}
