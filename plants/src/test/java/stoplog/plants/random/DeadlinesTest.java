package stoplog.plants.random;

import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.ArrayDeque;
import java.util.ArrayList;
import java.util.HashSet;
import java.util.List;
import java.util.Random;
import java.util.Set;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;
import stoplog.checker.reference.Interpreter;
import stoplog.checker.reference.State;
import stoplog.model.FieldChange;
import stoplog.model.Model;

/**
 * Whatever has happened, time can go on: where a deadline has come, some moves in that instant let time
 * pass again. Checked on random runs; that something is enabled would not be enough, since a button
 * always is.
 */
class DeadlinesTest {
  private static final int RUNS = 80;
  private static final int MOVES = 200;
  private static final int MOST_MOVES_IN_AN_INSTANT = 20_000;

  private static final String PUMP = "pump P-1 by hand\npump P-2 by hand\n";

  @ParameterizedTest
  @ValueSource(
      strings = {
        """
        condition foam {
          must start within 2..5 s when P-1 is turning
          must start within 3..3 s when P-2 is turning
          must end within 1..2 s when P-1 is turning or P-2 is at rest
          may end when P-2 is turning
        }
        count racks from 0 to 3 {
          must rise within 1..2 s when P-1 is turning
          must fall within 1..3 s when P-2 is turning or foam
        }
        hazard H-1 : foam and racks > 2
        """,
        """
        condition gust comes and goes
        analog pressure in bar from 0 to 10 {
          rises at 0.5..1 bar/s while P-1 is turning
          falls at 0.5..2 bar/s while P-2 is turning
          rises at 0..1 bar/s while gust and P-2 is turning
          jumps while gust and P-1 is turning
        }
        hazard H-1 : pressure < 2 bar and pressure >= 2 bar
        hazard H-2 : pressure <= 2 bar or pressure > 9 bar
        """,
        """
        analog pressure in bar from 0 to 10 { moves gradually; starts at 0 bar }
        transmitter PT-1 in bar from 0 to 8 follows pressure within 2..4 s
        transmitter PT-2 in bar from 0 to 8 follows pressure within 1..2 s dead band 1 bar
        transmitter PT-3 in bar from 0 to 8 follows pressure dead band 0.5 bar
        panel { setpoint high = 5 bar within 4..6 bar; setpoint low = 3 bar within 2..5 bar }
        logic {
          signal a = PT-1 > high or PT-1 < low or PT-2 > 3 bar or PT-2 > 9 bar
          signal b = PT-3 > high or PT-3 < low
        }
        hazard H-1 : pressure > 5 bar and PT-1 < 3 bar
        """,
        """
        analog pressure in bar from 0 to 10 { jumps }
        transmitter PT-1 in bar follows pressure within 0..3 s
        transmitter PT-2 in bar from 3 to 6 follows pressure within 1..3 s dead band 2 bar
        analyser AE-1 in mV above 300 mV within 1..2 s of pressure > 3 bar
        switch PSH-1 normally closed follows pressure > 3 bar within 1..2 s
        switch PSH-2 normally open follows pressure > 3 bar
        panel { button go; setpoint low = 3 bar within 2..5 bar }
        logic {
          signal a = PT-1 > 3 bar or PT-2 > 6 bar or PT-1 <= 7 bar or PT-2 > 3 bar or PT-2 > low
          signal b = PT-1 is bad or PT-2 is failed_low or AE-1 < 200 mV or go or PSH-1 or PSH-2
        }
        hazard H-1 : pressure > 5 bar and PT-1 < 3 bar tolerates 3 faults
        """,
      })
  void timeCanAlwaysGoOn(String entries) {
    Model model = ByHand.model(PUMP + entries);
    var random = new Random(7);
    var interpreter = new Interpreter(model, model.claims().getFirst(), 1);
    for (int run = 0; run < RUNS; run++) {
      State state = interpreter.start(Starts.any(model, random));
      for (int move = 0; move < MOVES; move++) {
        long may = interpreter.mayPass(state);
        List<FieldChange> enabled = interpreter.enabled(state);
        if (may == 0) {
          assertTrue(goesOn(interpreter, state), () -> "blocked: " + entries);
        }
        int choice = random.nextInt(6);
        if (may > 0 && choice < 2) {
          state = interpreter.pass(state, choice == 0 ? 1 : Math.min(may, 1 + random.nextInt(9)));
        } else if (interpreter.mayScan(state) && (choice < 4 || enabled.isEmpty())) {
          state = interpreter.scan(state);
        } else if (!enabled.isEmpty()) {
          state = interpreter.apply(state, enabled.get(random.nextInt(enabled.size())));
        }
      }
    }
  }

  /** Whether some moves in this instant lead to a state in which time can pass. */
  private static boolean goesOn(Interpreter interpreter, State from) {
    Set<State> seen = new HashSet<>(List.of(from));
    var next = new ArrayDeque<>(List.of(from));
    while (!next.isEmpty() && seen.size() < MOST_MOVES_IN_AN_INSTANT) {
      State state = next.removeFirst();
      if (interpreter.mayPass(state) > 0) {
        return true;
      }
      var after = new ArrayList<State>();
      if (interpreter.mayScan(state)) {
        after.add(interpreter.scan(state));
      }
      for (FieldChange c : interpreter.enabled(state)) {
        if (!isChance(c)) {
          after.add(interpreter.apply(state, c));
        }
      }
      for (State s : after) {
        if (seen.add(s)) {
          next.add(s);
        }
      }
    }
    return false;
  }

  /** What comes by chance is no way out: it need not come in the nick of time. */
  private static boolean isChance(FieldChange c) {
    return switch (c.cause()) {
      case OPERATOR, FAULT, POWER -> true;
      case PROCESS -> c.timing() == null;
      case EQUIPMENT, INSTRUMENT, TIMER -> false;
    };
  }
}
