package stoplog.dsl;

import static org.junit.jupiter.api.Assertions.assertNotNull;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.function.IntFunction;
import org.junit.jupiter.api.Test;
import stoplog.diag.TextRenderer;
import stoplog.source.SourceFile;

/** Reading a plant takes time linear in its size. */
class LinearTimeTest {
  @Test
  void tenTimesTheTagsTakeAboutTenTimesAsLong() {
    ratio("", LinearTimeTest::plant);
  }

  @Test
  void tenTimesTheTagsOfTemplatesTakeAboutTenTimesAsLong() {
    ratio("by templates, ", LinearTimeTest::trains);
  }

  private static void ratio(String how, IntFunction<String> plant) {
    read(300, plant);
    long small = best(1_000, plant);
    long large = best(10_000, plant);
    System.out.printf(
        "%s1,000 tags %d ms, 10,000 tags %d ms, ratio %.1f%n",
        how, small / 1_000_000, large / 1_000_000, (double) large / small);
    // Far from the 100 of quadratic time, with room for a busy machine.
    assertTrue(large < 40 * small, large + " ns against " + small + " ns");
  }

  private static long best(int tags, IntFunction<String> plant) {
    long best = Long.MAX_VALUE;
    for (int round = 0; round < 3; round++) {
      long start = System.nanoTime();
      read(tags, plant);
      best = Math.min(best, System.nanoTime() - start);
    }
    return best;
  }

  private static void read(int tags, IntFunction<String> plant) {
    Reading reading = PlantReader.read(new SourceFile("big.plant", plant.apply(tags)));
    assertNotNull(reading.model(), () -> new TextRenderer(false).render(reading.diagnostics()));
  }

  /** Five tags a train. */
  static String plant(int tags) {
    var text = new StringBuilder("plant \"many trains\"\ncontroller reacts within 200 ms\n");
    var logic = new StringBuilder("logic {\n");
    for (int i = 0; i < tags / 5; i++) {
      text.append(
          """
          valve FV-%1$d "inlet" { travel 4..8 s; proves open ZSO-%1$d }
          pump P-%1$d "pump" { coast 1..2 s }
          condition flow_%1$d "flow" holds when P-%1$d is turning and FV-%1$d is not closed
          switch FS-%1$d "flow" follows flow_%1$d within 1..3 s
          hazard H-%1$d "dead head" : P-%1$d is turning and FV-%1$d is closed for 1 s
          """
              .formatted(i));
      logic.append(
          """
            latch on_%1$d: set by start; cleared by stop or tripped P-%1$d
            open FV-%1$d when on_%1$d
            run P-%1$d when on_%1$d {
              permissive "open" : ZSO-%1$d for 2 s
              trip "no flow" : not FS-%1$d for 5 s
            }
          """
              .formatted(i));
    }
    return text + "panel { button start, stop, reset }\n" + logic + "}\n";
  }

  /** The same by templates, with pipes. */
  static String trains(int tags) {
    return """
        plant "many trains"
        controller reacts within 200 ms
        template train(n, ramp) {
          use valve_of(n = {n}, text = "inlet {n}")
          pump P-{n} "pump" { coast {ramp} }
          pipe from T-{n} through FV-{n}, P-{n} to header_{n}
          condition flow_{n} "flow" holds when flow from T-{n} to header_{n}
          switch FS-{n} "flow" follows flow_{n} within 1..3 s
          hazard H-{n} "dead head" : P-{n} is dead_headed for 1 s
          logic {
            latch on_{n}: set by start; cleared by stop or tripped P-{n}
            open FV-{n} when on_{n}
            run P-{n} when on_{n} {
              permissive "open" : ZSO-{n} for 2 s
              trip "no flow" : not FS-{n} for 5 s
            }
          }
        }
        template valve_of(n, text) {
          valve FV-{n} "{text}" { travel 4..8 s; proves open ZSO-{n} }
        }
        panel { button start, stop, reset }
        %d of train(ramp = 1..2 s)
        """
        .formatted(tags / 5);
  }
}
