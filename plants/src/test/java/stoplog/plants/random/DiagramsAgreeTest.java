package stoplog.plants.random;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.Arrays;
import java.util.List;
import net.jqwik.api.Example;
import stoplog.checker.abstraction.WholeModel;
import stoplog.model.Model;
import stoplog.plants.judges.DiagramJudge;
import stoplog.plants.judges.Untimed;

/**
 * Decision diagrams of a general-purpose library count the states of random plants without their times
 * as our search does, level by level. {@code -Dstoplog.plants=N} compares N plants.
 */
class DiagramsAgreeTest {
  private static final long MOST_STATES = 20_000;

  @Example
  void diagramsCountAsManyStatesAtEachDistance() {
    int wanted = Integer.getInteger("stoplog.plants", 500);
    var plants = new PlantStream();
    int compared = 0;
    int large = 0;
    long states = 0;
    while (compared < wanted) {
      Model model = Untimed.of(plants.next());
      List<Long> ours;
      try {
        ours = Arrays.stream(WholeModel.count(model, MOST_STATES).perLevel()).boxed().toList();
      } catch (IllegalStateException e) {
        large++;
        continue;
      }
      compared++;
      states += ours.stream().mapToLong(Long::longValue).sum();
      assertEquals(ours, DiagramJudge.levels(model), plants::text);
    }
    System.out.println(
        compared + " plants, " + states + " states; passed over as too large: " + large);
    assertTrue(states > 20L * wanted, states + " states");
    assertTrue(large < wanted, large + " passed over");
  }
}
