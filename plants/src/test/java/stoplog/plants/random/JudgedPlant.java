package stoplog.plants.random;

import static org.junit.jupiter.api.Assertions.assertNotNull;

import java.util.Random;
import java.util.function.Consumer;
import net.jqwik.api.RandomGenerator;
import stoplog.checker.reference.TickJudge;
import stoplog.dsl.PlantReader;
import stoplog.model.Claim;
import stoplog.model.Model;
import stoplog.source.SourceFile;

/**
 * A random plant, and what the judge by ticks says of its first claim.
 *
 * @param random that drew it, for what else is to be drawn
 * @param told which one it is, to be told where something is wrong
 */
record JudgedPlant(Model model, Claim claim, boolean reachable, Random random, String told) {
  private static final int MOST_STATES = 1_500;

  /** So many plants, the same each time, that ask whether something can be reached and are small enough. */
  static void each(int wanted, Consumer<JudgedPlant> use) {
    RandomGenerator<SmallPlant> plants = SmallPlants.any(1).generator(1000);
    int used = 0;
    for (int number = 1; used < wanted; number++) {
      var random = new Random(number * 0x9E3779B97F4A7C15L);
      String text = PlantWriter.text(plants.next(random).value());
      Model model = PlantReader.read(new SourceFile("random.plant", text)).model();
      assertNotNull(model, text);
      Claim claim = model.claims().getFirst();
      if (claim.kind() == Claim.Kind.ALWAYS_CAN) {
        // No question of reachability.
        continue;
      }
      TickJudge.Answer judged = TickJudge.reachable(model, claim, MOST_STATES);
      if (judged instanceof TickJudge.TooBig) {
        continue;
      }
      used++;
      boolean reachable = judged instanceof TickJudge.Yes;
      use.accept(new JudgedPlant(model, claim, reachable, random, "plant " + number + "\n" + text));
    }
  }
}
