package stoplog.plants.random;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.ArrayList;
import java.util.List;
import java.util.Random;
import java.util.TreeSet;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import stoplog.checker.reference.Interpreter;
import stoplog.checker.reference.State;
import stoplog.model.FieldChange;
import stoplog.model.Model;
import stoplog.model.Variable;

/**
 * A transmitter that does nothing but show the truth so much later, give or take its dead band, is one
 * of those that a plant text allows: whatever the truth does, every move of its reading can happen in
 * the model at that time, and no deadline asks for another.
 */
class DelayedReadingTest {
  private static final int[] LIMITS = {2, 5, 7};
  private static final int TICKS = 300;

  private static final String PLANT =
      """
      controller reacts within 1 s
      analog x in bar from 0 to 10 { jumps; starts at 0 bar }
      transmitter PT-1 in bar from 0 to 10 follows x within %d..%d s%s
      hazard H-1 : x > 2 bar and x > 5 bar and x > 7 bar and PT-1 > 2 bar
      hazard H-2 : PT-1 > 5 bar and PT-1 > 7 bar
      """;

  @ParameterizedTest
  @CsvSource({"2,5,0", "0,3,0", "4,4,0", "1,6,0", "2,5,1", "0,3,2", "4,4,1"})
  void everyDelayWithinTheLagIsAllowed(int low, int high, int deadBand) {
    String band = deadBand == 0 ? "" : " dead band " + deadBand + " bar";
    Model model = ByHand.model(PLANT.formatted(low, high, band));
    for (int seed = 0; seed < 300; seed++) {
      var random = new Random(seed);
      int delay = low + random.nextInt(high - low + 1);
      new Run(model, delay, deadBand, random).run();
    }
  }

  @Test
  void longerDelayIsNotAllowed() {
    Model model = ByHand.model(PLANT.formatted(2, 5, ""));
    int refused = 0;
    for (int seed = 0; seed < 50; seed++) {
      try {
        new Run(model, 6, 0, new Random(seed)).run();
      } catch (AssertionError e) {
        refused++;
      }
    }
    assertEquals(50, refused);
  }

  /** One run of the model along a truth thrown at random. */
  private static final class Run {
    private final Interpreter interpreter;
    private final int delay;
    private final int deadBand;
    private final Random random;
    private final Variable truth;
    private final Variable reading;

    /** Where the truth has been, in tenths of a bar: a time, then a value, oldest first. */
    private final ArrayList<int[]> past = new ArrayList<>();

    private int value;
    private int shown;
    private State state;

    Run(Model model, int delay, int deadBand, Random random) {
      this.interpreter = new Interpreter(model, model.claims().getFirst(), 1);
      this.delay = delay;
      this.deadBand = deadBand;
      this.random = random;
      this.truth = model.variable("x");
      this.reading = model.variable("PT-1");
      var values = new ArrayList<Integer>();
      for (Variable v : model.variables()) {
        values.add(Long.numberOfTrailingZeros(v.initial()));
      }
      this.state = interpreter.start(values);
    }

    void run() {
      boolean wild = random.nextBoolean();
      for (int tick = 0; tick < TICKS; tick++) {
        // What comes due in the instant in which the truth moves comes before it or after it.
        boolean first = random.nextBoolean();
        if (first) {
          show(tick);
        }
        for (int moves = random.nextInt(wild ? 3 : 2); moves > 0; moves--) {
          if (wild || random.nextInt(6) == 0) {
            value = random.nextInt(101);
            past.add(new int[] {tick, value});
            go("x", truth, band(value), tick);
          }
        }
        show(tick);
        settle();
        assertTrue(interpreter.mayPass(state) >= 1, "a deadline at " + tick);
        state = interpreter.pass(state, 1);
      }
    }

    /** The reading moves to where the truth was, in the order in which the truth was there. */
    private void show(int tick) {
      while (!past.isEmpty() && past.getFirst()[0] <= tick - delay) {
        shown = past.removeFirst()[1];
        off(tick);
      }
      if (deadBand > 0) {
        off(tick);
      }
    }

    private void off(int tick) {
      int error = deadBand == 0 ? 0 : random.nextInt(20 * deadBand + 1) - 10 * deadBand;
      int reads = Math.clamp(shown + error, 0, 100);
      go("PT-1", reading, readBand(reads), tick);
    }

    private void go(String name, Variable v, int to, int tick) {
      if (state.value(v.id()) == to) {
        return;
      }
      for (FieldChange c : interpreter.enabled(state)) {
        if (c.text().startsWith(name + " ")) {
          State next = interpreter.apply(state, c);
          if (next.value(v.id()) == to) {
            state = next;
            return;
          }
        }
      }
      throw new AssertionError(name + " cannot go to " + v.values().get(to) + " at " + tick);
    }

    /** What the model keeps in mind but no one sees. */
    private void settle() {
      for (int i = 0; i < LIMITS.length && interpreter.mayPass(state) == 0; i++) {
        for (FieldChange c : interpreter.enabled(state)) {
          if (c.text().equals("PT-1 has settled")) {
            state = interpreter.apply(state, c);
            break;
          }
        }
      }
    }

    private int readBand(int tenths) {
      int band = 0;
      for (int limit : LIMITS) {
        band += tenths > 10 * limit ? 1 : 0;
      }
      return band;
    }

    /** The truth is cut at the limits, and a dead band below and above each. */
    private int band(int tenths) {
      var cuts = new TreeSet<Integer>();
      for (int limit : LIMITS) {
        cuts.addAll(List.of(limit - deadBand, limit, limit + deadBand));
      }
      int band = 0;
      for (int cut : cuts) {
        band += tenths > 10 * cut ? 1 : 0;
      }
      return band;
    }
  }
}
