package stoplog.plants.outside;

import static org.junit.jupiter.api.Assertions.assertEquals;

import java.time.Duration;
import java.util.LinkedHashMap;
import java.util.Map;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.condition.EnabledIfSystemProperty;
import stoplog.checker.abstraction.Decider;
import stoplog.checker.explore.Budget;
import stoplog.checker.explore.Progress;
import stoplog.model.Model;
import stoplog.model.Verdict;

/** States a second of searches of whole models, alone and with a helper; {@code -Dlarge} runs it. */
@EnabledIfSystemProperty(named = "large", matches = ".*")
class SearchSpeedTest {
  private static final Budget BUDGET = new Budget(500_000_000, 1L << 30, Duration.ofMinutes(2));

  private record Helped(int spareThreads) implements Progress {
    @Override
    public void at(String claim, int level, long states, int kept) {}

    @Override
    public boolean stopped() {
      return false;
    }
  }

  @Test
  void aHelperChangesTheTimeOnly() {
    Map<String, Model> models = new LinkedHashMap<>();
    models.put("sliding 3x3", Puzzles.sliding(3, 3));
    models.put("kanban 3", Nets.kanban(3));
    for (var named : models.entrySet()) {
      Model model = named.getValue();
      for (int round = 0; round < 2; round++) {
        Verdict alone = decide(model, 0);
        Verdict helped = decide(model, 1);
        System.out.printf(
            "%s: %d states, %.0f states/s alone, with a helper %.2f times as fast%n",
            named.getKey(),
            alone.effort().states(),
            alone.effort().states() * 1e9 / alone.effort().nanos(),
            (double) alone.effort().nanos() / helped.effort().nanos());
        assertEquals(alone.effort().states(), helped.effort().states());
        assertEquals(alone.effort().zones(), helped.effort().zones());
      }
    }
  }

  private static Verdict decide(Model model, int helpers) {
    return Decider.decideWhole(model, model.claims().getFirst(), BUDGET, new Helped(helpers));
  }
}
