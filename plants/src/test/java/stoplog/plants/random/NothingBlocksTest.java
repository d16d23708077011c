package stoplog.plants.random;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertNotNull;
import static org.junit.jupiter.api.Assertions.assertTrue;
import static org.junit.jupiter.api.Assertions.fail;

import java.util.List;
import java.util.Random;
import net.jqwik.api.Example;
import net.jqwik.api.RandomGenerator;
import stoplog.checker.abstraction.Reads;
import stoplog.checker.abstraction.Settling;
import stoplog.checker.analyse.Health;
import stoplog.checker.analyse.Remembered;
import stoplog.checker.explore.Progress;
import stoplog.checker.reference.Interpreter;
import stoplog.checker.reference.State;
import stoplog.dsl.PlantReader;
import stoplog.model.Claim;
import stoplog.model.FieldChange;
import stoplog.model.Model;
import stoplog.model.Variable;
import stoplog.source.SourceFile;

/**
 * A plant in which time cannot pass and nothing can happen would hide all that comes after, and a
 * search would call it safe. No plant written in the language may have such a state, and none whose
 * logic is said to settle may scan without end while time stands still. Checked on random runs of
 * random plants. {@code -Dstoplog.plants=N} walks in N plants.
 */
class NothingBlocksTest {
  private static final int RUNS = 4;
  private static final int MOVES = 150;

  @Example
  void noPlantOfTheLanguageStandsStillForEver() {
    int plants = Integer.getInteger("stoplog.plants", 250);
    RandomGenerator<SmallPlant> generator = SmallPlants.any(3).generator(1000);
    int restless = 0;
    int immediate = 0;
    for (int number = 1; number <= plants; number++) {
      var random = new Random(number * 0x9E3779B97F4A7C15L);
      String text = PlantWriter.text(generator.next(random).value());
      Model model = PlantReader.read(new SourceFile("random.plant", text)).model();
      assertNotNull(model, text);
      if (model.claims().isEmpty()) {
        continue;
      }
      if (number % 25 == 0) {
        assertEquals(List.of(), blocked(model), text);
      }
      boolean settles = Settling.restless(model).isEmpty();
      if (model.controller().reactionQuanta() == 0) {
        immediate++;
        restless += settles ? 0 : 1;
      }
      for (int run = 0; run < RUNS; run++) {
        walk(model, text, settles, random);
      }
    }
    assertTrue(immediate > plants / 10, "too few plants react at once: " + immediate);
    assertTrue(restless < immediate / 2, "too many plants are said not to settle: " + restless);
  }

  /** Deadlines for which it is not shown that something can always meet them. */
  private static List<String> blocked(Model model) {
    return Health.voiding(new Reads(model), Remembered.NOTHING, Progress.NONE).stream()
        .filter(f -> f.kind() == Health.Kind.BLOCKED)
        .map(Health.Finding::text)
        .toList();
  }

  private static void walk(Model model, String text, boolean settles, Random random) {
    Claim claim = model.claims().getFirst();
    var interpreter = new Interpreter(model, claim, 2);
    State state = interpreter.start(Starts.any(model, random));
    for (int move = 0; move < MOVES; move++) {
      if (settles) {
        assertScansEnd(interpreter, state, text);
      }
      long may = interpreter.mayPass(state);
      List<FieldChange> enabled = interpreter.enabled(state);
      boolean scan = interpreter.mayScan(state);
      if (may == 0 && enabled.isEmpty() && !scan) {
        fail("blocked at " + told(model, state) + "\n" + text);
      }
      int choice = random.nextInt(4);
      if (may > 0 && choice < 2) {
        state = interpreter.pass(state, choice == 0 ? Math.min(may, 1) : Math.min(may, 50));
      } else if (scan && (choice == 2 || enabled.isEmpty())) {
        state = interpreter.scan(state);
      } else if (!enabled.isEmpty()) {
        state = interpreter.apply(state, enabled.get(random.nextInt(enabled.size())));
      } else if (may > 0) {
        state = interpreter.pass(state, Math.min(may, 50));
      }
    }
  }

  private static void assertScansEnd(Interpreter interpreter, State from, String text) {
    State state = from;
    for (int scans = 0; interpreter.mayScan(state); scans++) {
      assertTrue(scans < 64, () -> "said to settle, but does not\n" + text);
      state = interpreter.scan(state);
    }
  }

  private static String told(Model model, State state) {
    var text = new StringBuilder();
    for (Variable v : model.variables()) {
      text.append(v.name()).append(' ').append(v.values().get(state.value(v.id()))).append("; ");
    }
    return text.toString();
  }
}
