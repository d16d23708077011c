package stoplog.plants.outside;

import static org.junit.jupiter.api.Assertions.assertEquals;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import stoplog.model.Claim;
import stoplog.model.Model;

/**
 * A backwash, a shutdown with flush, a cleaning and a changeover, written as an engineer would, and
 * which of their claims' conditions can be reached, worked out by hand.
 */
class NaturalSequencesTest {
  private static final Path CASES = Path.of("../dsl/src/test/corpus/accept");

  /**
   * The backwash reaches H-1 only because power may fail and return while the pump coasts (1 s): the
   * sequence is then back in service. The flush waits with R-2 for the line at most 60 - 20 = 40 s.
   * The last rinse takes 10 + 5 = 15 s, if it is not begun again. In the changeover both pumps run
   * for the 2 s for which YS-1B must have been on.
   */
  @ParameterizedTest
  @CsvSource({
    "sequence-backwash, H-1 R-1 R-2",
    "sequence-flush-at-shutdown, H-2 R-1 R-2",
    "sequence-cleaning, R-1 R-2 R-4 R-5",
    "sequence-changeover, R-2 R-3",
  })
  void reachesWhatIsReachedByHand(String plant, String reached) throws IOException {
    Model model = Texts.model(Files.readString(CASES.resolve(plant).resolve("plant.plant")));
    List<String> found = new ArrayList<>();
    for (Claim c : model.claims()) {
      if (Texts.reaches(model, c.id())) {
        found.add(c.id());
      }
    }
    assertEquals(reached, String.join(" ", found.stream().sorted().toList()));
  }
}
