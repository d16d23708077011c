package stoplog.checker.explore;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertNotNull;
import static org.junit.jupiter.api.Assertions.assertNull;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.List;
import java.util.Random;
import org.jspecify.annotations.Nullable;
import org.junit.jupiter.api.Test;
import stoplog.checker.zone.Zones;
import stoplog.model.Bound;
import stoplog.model.FieldChange;

/** What was remembered of a step is what the step makes of the zone. */
class MovesTest {
  private static final int CLOCKS = 3;
  private static final int STEPS = 1_000;
  private static final int KINDS = 97;

  @Test
  void whatIsRememberedIsWhatIsWorkedOut() {
    var random = new Random(7);
    var system = new ThreeClocks();
    var clocks = new RunningClocks(system, false);
    var moves = new Moves(system);
    var zones = new int[CLOCKS + 1][KINDS][];
    for (int[][] of : zones) {
      for (int kind = 0; kind < KINDS; kind++) {
        of[kind] = zone(random, List.of(zones).indexOf(of));
      }
    }
    var sets =
        new RunningClocks.Set[] {
          clocks.of(new int[] {0, 1, 2}), clocks.of(new int[] {0, 1}), clocks.of(new int[] {1, 2}),
          clocks.of(new int[] {2}), clocks.of(new int[0])
        };
    int none = 0;
    int exceeding = 0;
    for (int i = 0; i < 300_000; i++) {
      RunningClocks.Set from = sets[random.nextInt(sets.length)];
      RunningClocks.Set to = sets[random.nextInt(sets.length)];
      // Few zones that come again with other steps, and so many that they meet in their places.
      int number = random.nextInt(random.nextBoolean() ? 40 : 2_000_000) * sets.length + from.number();
      int[] zone = zones[from.clocks().length][number % KINDS];
      int[] before = zone.clone();
      int step = random.nextInt(STEPS);
      boolean urgent = random.nextInt(3) == 0;
      Moves.Result expected = new Moves(system).of(number, zone, from, step, to, urgent);
      Moves.Result found = moves.of(number, zone, from, step, to, urgent);
      assertArrayEquals(before, zone, "a zone that is shared was changed");
      if (expected == null) {
        none++;
        assertNull(found, "move " + i);
        continue;
      }
      assertNotNull(found, "move " + i);
      assertArrayEquals(expected.zone(), found.zone(), "move " + i);
      assertEquals(expected.mayExceedGoal(), found.mayExceedGoal(), "move " + i);
      exceeding += found.mayExceedGoal() ? 1 : 0;
    }
    assertTrue(none > 1000 && exceeding > 1000, none + " none, " + exceeding + " exceeding");
  }

  /** Some readings of so many clocks, none of them negative. */
  private static int[] zone(Random random, int clocks) {
    int dimension = clocks + 1;
    int[] zone = new int[dimension * dimension];
    Zones.fill(zone, dimension);
    for (int i = 1; i <= clocks; i++) {
      int least = random.nextInt(4);
      Zones.constrain(zone, dimension, 0, i, Zones.bound(-least, true));
      if (random.nextInt(3) > 0) {
        Zones.constrain(zone, dimension, i, 0, Zones.bound(least + random.nextInt(3), true));
      }
    }
    return zone;
  }

  /**
   * The first clock has a limit, the last is the goal's. Of five steps two wait, one starts a clock
   * afresh, one does both, and one neither.
   */
  private static final class ThreeClocks implements TimedSystem {
    @Override
    public int words() {
      return 1;
    }

    @Override
    public int clocks() {
      return CLOCKS;
    }

    @Override
    public int stepCount() {
      return STEPS;
    }

    @Override
    public @Nullable Bound limit(int clock) {
      return clock == 0 ? Bound.at(5) : null;
    }

    @Override
    public FieldChange.@Nullable Timing timing(int step) {
      return switch (step % 5) {
        case 0 -> new FieldChange.Timing(0, Bound.at(2), Bound.at(5));
        case 1 -> new FieldChange.Timing(1, Bound.at(1), Bound.at(3));
        case 3 -> new FieldChange.Timing(1, Bound.at(3), null);
        default -> null;
      };
    }

    @Override
    public int restarts(int step) {
      return step % 5 == 2 || step % 5 == 3 ? 1 : -1;
    }

    @Override
    public void starts(Sink sink) {
      throw new AssertionError("nobody searches");
    }

    @Override
    public void successors(long[] state, Sink sink) {
      throw new AssertionError("nobody searches");
    }

    @Override
    public int[] running(long[] state) {
      throw new AssertionError("nobody searches");
    }

    @Override
    public boolean urgent(long[] state) {
      throw new AssertionError("nobody searches");
    }

    @Override
    public int goalClock() {
      return 2;
    }

    @Override
    public long goalQuanta() {
      return 4;
    }

    @Override
    public boolean goal(long[] state) {
      return true;
    }

    @Override
    public TimedSystem forAnotherThread() {
      return this;
    }
  }
}
