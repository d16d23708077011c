package stoplog.plants.outside;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;

import java.time.Duration;
import java.util.LinkedHashMap;
import java.util.Map;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.condition.EnabledIfSystemProperty;
import stoplog.checker.abstraction.WholeModel;
import stoplog.checker.explore.Budget;
import stoplog.checker.explore.Progress;
import stoplog.checker.explore.Search;
import stoplog.checker.testkit.Helped;
import stoplog.model.Model;

/** States a second of searches of whole models, alone and with a helper; {@code -Dlarge} runs it. */
@EnabledIfSystemProperty(named = "large", matches = ".*")
class SearchSpeedTest {
  private static final Budget BUDGET = new Budget(500_000_000, 1L << 30, Duration.ofMinutes(2));

  private static final int ENOUGH = Progress.NONE.worthSharing();

  @Test
  void aHelperChangesTheTimeOnly() {
    Map<String, Model> models = new LinkedHashMap<>();
    models.put("sliding 3x3", Puzzles.sliding(3, 3));
    models.put("kanban 3", Nets.kanban(3));
    for (var named : models.entrySet()) {
      Model model = named.getValue();
      for (int round = 0; round < 2; round++) {
        long start = System.nanoTime();
        Search alone = WholeModel.search(model, BUDGET, new Helped(0, ENOUGH));
        long between = System.nanoTime();
        Search helped = WholeModel.search(model, BUDGET, new Helped(1, ENOUGH));
        long end = System.nanoTime();
        System.out.printf(
            "%s: %d states, %d bytes a state, %.0f states/s alone, with a helper %.2f times as fast%n",
            named.getKey(),
            alone.states(),
            alone.bytes() / alone.states(),
            alone.states() * 1e9 / (between - start),
            (double) (between - start) / (end - between));
        assertEquals(alone.states(), helped.states());
        assertEquals(alone.depth(), helped.depth());
        for (int node = 0; node < alone.nodes(); node += 97) {
          assertArrayEquals(alone.pathTo(node).steps(), helped.pathTo(node).steps());
        }
      }
    }
  }
}
