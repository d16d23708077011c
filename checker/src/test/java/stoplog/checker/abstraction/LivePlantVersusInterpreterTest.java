package stoplog.checker.abstraction;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Random;
import org.junit.jupiter.api.Test;
import stoplog.checker.differential.RandomModel;
import stoplog.checker.reference.Interpreter;
import stoplog.checker.reference.State;
import stoplog.model.Claim;
import stoplog.model.Clock;
import stoplog.model.FieldChange;
import stoplog.model.Model;

/**
 * A plant that is moved in place goes where the interpreter goes, by chance through random models.
 * {@code -Dseeds=N} tries N models, {@code -Dseed=S} starts at S.
 */
class LivePlantVersusInterpreterTest {
  private static final int TICKS = ByItself.TICKS;
  private static final int MOVES = 60;

  private Model model;
  private Interpreter interpreter;
  private ByItself byItself;
  private LivePlant plant;
  private State state;
  private int scans;
  private int changes;
  private final Map<List<Integer>, Long> prints = new HashMap<>();

  @Test
  void everyMoveLeadsWhereTheInterpreterSays() {
    long first = Long.getLong("seed", 1);
    long count = Long.getLong("seeds", 1000);
    for (long seed = first; seed < first + count; seed++) {
      walk(RandomModel.of(seed), new Random(seed), "seed " + seed);
    }
    assertTrue(scans > 5 * count, "only " + scans + " scans");
    assertTrue(changes > 5 * count, "only " + changes + " changes");
  }

  private void walk(Model random, Random chance, String where) {
    model = random;
    Claim claim = model.claims().getFirst();
    interpreter = new Interpreter(model, claim, TICKS);
    byItself = new ByItself(model, interpreter, true);
    plant = new LivePlant(new Reads(model), claim, TICKS);
    prints.clear();
    List<Integer> start = interpreter.startValues().next();
    plant.start(start);
    state = interpreter.start(start);
    LivePlant.Mark mark = plant.mark();
    State marked = state;
    for (int i = 0; i < MOVES; i++) {
      check(where + " move " + i);
      if (chance.nextInt(12) == 0) {
        plant.goBack(mark);
        state = marked;
      } else if (chance.nextInt(8) == 0) {
        mark = plant.mark();
        marked = state;
      } else {
        move(chance);
      }
    }
  }

  private void move(Random chance) {
    if (plant.mayScan()) {
      scans++;
      plant.scan();
      state = interpreter.scan(state);
      return;
    }
    List<FieldChange> open = interpreter.enabled(state);
    long most = Math.min(interpreter.mayPass(state), 12);
    if (open.isEmpty() || (most > 0 && chance.nextInt(3) == 0)) {
      long ticks = most == 0 ? 0 : 1 + chance.nextLong(most);
      plant.pass(ticks);
      state = interpreter.pass(state, ticks);
    } else {
      changes++;
      FieldChange c = open.get(chance.nextInt(open.size()));
      plant.apply(c);
      state = interpreter.apply(state, c);
    }
  }

  private void check(String where) {
    var values = new ArrayList<Integer>();
    for (int v = 0; v < model.variables().size(); v++) {
      assertEquals(state.value(v), plant.values()[v], where + " " + model.variable(v).name());
      values.add(state.value(v));
    }
    for (Clock c : model.clocks()) {
      assertEquals(state.isRunning(c.id()), plant.isRunning(c.id()), where + " " + c.name());
      if (state.isRunning(c.id())) {
        assertEquals(state.clockTicks(c.id()), plant.clockTicks(c.id()), where + " " + c.name());
      }
    }
    assertEquals(interpreter.mayScan(state), plant.mayScan(), where);
    assertEquals(interpreter.mayPass(state), plant.mayPass(), where);
    assertEquals(state.conditionTicks() >= 0, plant.conditionHolds(), where);
    assertEquals(interpreter.violated(state), plant.violated(), where);
    assertEquals(byItself.untilNext(state), plant.untilNext(), where);
    if (!plant.mayScan()) {
      for (FieldChange c : model.changes()) {
        boolean may = interpreter.whyNotApply(state, c) == null;
        assertEquals(may, plant.mayApply(c), where + " " + c.text());
      }
      assertEquals(byItself.due(state, true), plant.due(true), where);
      assertEquals(byItself.due(state, false), plant.due(false), where);
    }
    assertEquals(plant.print(), prints.computeIfAbsent(values, v -> plant.print()), where);
  }
}
