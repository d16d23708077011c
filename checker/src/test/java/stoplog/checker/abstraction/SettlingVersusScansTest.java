package stoplog.checker.abstraction;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;
import static stoplog.model.Expr.not;

import java.util.ArrayList;
import java.util.List;
import java.util.Random;
import java.util.function.LongFunction;
import org.junit.jupiter.api.Test;
import stoplog.checker.differential.RandomModel;
import stoplog.checker.reference.Interpreter;
import stoplog.checker.reference.State;
import stoplog.checker.testkit.ModelBuilder;
import stoplog.checker.testkit.ModelBuilder.Var;
import stoplog.model.Model;
import stoplog.model.Role;
import stoplog.model.Variable;

/**
 * Logic that is said to settle does, from any values. What is said to settle and does not would hide all
 * that comes after. {@code -Dseeds=N} tries N models, {@code -Dseed=S} starts at S.
 */
class SettlingVersusScansTest {
  private static final int STATES = 25;
  private static final int MOST_SCANS = 400;

  @Test
  void logicThatIsSaidToSettleComesToRest() {
    long first = Long.getLong("seed", 1);
    long count = Long.getLong("seeds", 1500);
    List<LongFunction<Model>> sources =
        List.of(RandomModel::of, RandomModel::withGroups, RandomModel::withoutClocks);
    int settled = 0;
    int goesOn = 0;
    var wrong = new ArrayList<Long>();
    for (long seed = first; seed < first + count; seed++) {
      Model model = startingAnyhow(sources.get((int) (seed % sources.size())).apply(seed));
      boolean rests = comesToRest(model, new Random(seed));
      if (Settling.restless(model).isEmpty()) {
        settled++;
        if (!rests) {
          wrong.add(seed);
        }
      } else {
        goesOn += rests ? 0 : 1;
      }
    }
    System.out.printf(
        "%d settle, of the others %d were seen going on, wrong: %s%n", settled, goesOn, wrong);
    assertEquals(List.of(), wrong);
    assertTrue(goesOn > count / 200, "too few go on to mean much");
  }

  private static Model startingAnyhow(Model m) {
    List<Variable> variables =
        m.variables().stream()
            .map(
                v ->
                    new Variable(
                        v.id(), v.name(), v.role(), v.values(), v.domain(), v.text(), v.origin()))
            .toList();
    return new Model(
        m.name(), m.quantumMicros(), variables, m.definitions(), m.clocks(), m.changes(),
        m.controller(), m.start(), m.reactions(), m.claims(), m.inhibits(), m.indications());
  }

  private static boolean comesToRest(Model model, Random random) {
    var interpreter = new Interpreter(model, model.claims().getFirst(), 1);
    for (int i = 0; i < STATES; i++) {
      List<Integer> any =
          model.variables().stream().map(v -> random.nextInt(v.size())).toList();
      State state = interpreter.start(any);
      for (int scans = 0; interpreter.mayScan(state); scans++) {
        if (scans == MOST_SCANS) {
          return false;
        }
        state = interpreter.scan(state);
      }
    }
    return true;
  }

  /** The copy follows the blinker; that it moves is no reason to think that the blinker will not. */
  @Test
  void whatFollowsARingAndIsReadBeforeItIsOverwrittenDoesNotBringItToRest() {
    var m = new ModelBuilder("blinker");
    Var blinker = m.bit("blinker", Role.MEMORY);
    Var copy = m.bit("copy", Role.MEMORY);
    m.scans(copy.to(copy.read()), copy.to(blinker.read()), blinker.to(not(copy.on())));
    m.hazard("H", copy.on());
    assertEquals(List.of("blinker"), Settling.restless(m.build()));
  }
}
