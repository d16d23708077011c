package stoplog.checker.report;

import static org.junit.jupiter.api.Assertions.assertEquals;

import java.util.ArrayList;
import java.util.List;
import org.junit.jupiter.api.Test;
import stoplog.model.Expr;
import stoplog.model.Model;
import stoplog.model.Variable;

final class PlainWordsTest {
  private static final Model MODEL = TwoPumps.model();

  private static String stood(String... states) {
    Variable pump = MODEL.variable("P-201");
    var run = new ArrayList<int[]>();
    for (String s : states) {
      int[] values = new int[MODEL.variables().size()];
      values[pump.id()] = pump.values().indexOf(s);
      run.add(values);
    }
    return String.join(
        "; ",
        new PlainWords(MODEL)
            .standing(Expr.not(new Expr.In(new Expr.Read(pump.id()), 0)), run, 0, run.size() - 1));
  }

  @Test
  void statesAreToldInTheirOrder() {
    assertEquals("P-201 running", stood("running", "running"));
    assertEquals("P-201 running, then coasting", stood("running", "running", "coasting"));
    assertEquals(
        "P-201 at rest, then running, then coasting", stood("at rest", "running", "coasting"));
  }

  @Test
  void whatComesAndGoesAgainIsNotToldAsASequence() {
    assertEquals(
        "P-201 running and coasting by turns, in the end running",
        stood("running", "coasting", "coasting", "running"));
    assertEquals(
        "P-201 running and coasting by turns, in the end at rest",
        stood("running", "coasting", "running", "coasting", "at rest"));
    assertEquals(
        "P-201 at rest, running and coasting by turns, in the end running",
        stood("at rest", "running", "coasting", "at rest", "running"));
  }
}
