package stoplog.plants.random;

import static org.junit.jupiter.api.Assertions.assertEquals;

import java.util.ArrayList;
import java.util.List;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/**
 * The timing diagrams of IEC 61131-3, preset 5 s, drawn as scenarios: the input is held and released
 * at the times of the wave, the output is to be seen on and off between those of the diagram, and one
 * second more or less is not to be seen.
 */
class TimerWavesAsScenariosTest {
  private static final String ON = "input for 5 s";
  private static final String OFF = "input held on for 5 s";
  private static final String PULSE = "pulse of 5 s from input";

  @ParameterizedTest
  @CsvSource(
      delimiter = '|',
      value = {
        ON + "    | 0-8 12-15 20-30            | 5-8 25-30",
        PULSE + " | 0-8 12-15 20-30            | 0-5 12-17 20-25",
        ON + "    | 0-3 10-12 15-18            | ",
        OFF + "   | 0-3 10-12 15-18            | 0-8 10-23",
        ON + "    | 0-8 10-11 12-13 14-22 23-24| 5-8 19-22",
        OFF + "   | 0-8 10-11 12-13 14-22 23-24| 0-29",
        PULSE + " | 0-8 10-11 12-13 14-22 23-24| 0-5 10-15 23-28",
        OFF + "   | 0-5                        | 0-10",
      })
  void outputIsAsDrawn(String timer, String wave, String expected) {
    var looks = new ArrayList<String>();
    int since = 0;
    for (int[] span : spans(expected)) {
      if (since < span[0]) {
        looks.add("from %d s to %d s see M-1 is at rest".formatted(since, span[0]));
      }
      looks.add("from %d s to %d s see M-1 is running".formatted(span[0], span[1]));
      since = span[1];
    }
    looks.add("from %d s to 40 s see M-1 is at rest".formatted(since));

    assertEquals("passes", played(timer, wave, "certain", looks), "in every run");
    assertEquals("passes", played(timer, wave, "possible", looks), "in some run");
    for (int[] span : spans(expected)) {
      String longer = "from %d s to %d s see M-1 is running".formatted(span[0], span[1] + 1);
      assertEquals("fails", played(timer, wave, "certain", List.of(longer)), longer);
      assertEquals("fails", played(timer, wave, "possible", List.of(longer)), longer);
    }
  }

  /** Where the input turns in the very instant in which a time is up, both orders are runs. */
  @ParameterizedTest
  @CsvSource(
      delimiter = '|',
      value = {
        OFF + "   | 0-8 12-15 20-30 | 0-20 running, 20-35 running, 35-40 at rest   | ",
        PULSE + " | 0-3 10-12 15-18 | 0-5 running, 5-10 at rest, 10-15 running, 20-40 at rest"
            + " | 15-20 running, 15-20 at rest",
        ON + "    | 0-5             | 0-5 at rest, 5-40 at rest                    | ",
        PULSE + " | 0-5             | 0-5 running, 5-40 at rest                    | ",
      })
  void tiesAreDrawnBothWays(String timer, String wave, String certain, String either) {
    var looks = new ArrayList<String>();
    for (String look : certain.strip().split(", *")) {
      looks.add(look(look));
    }
    assertEquals("passes", played(timer, wave, "certain", looks), "in every run");
    for (String look : either == null ? new String[0] : either.strip().split(", *")) {
      assertEquals("passes", played(timer, wave, "possible", List.of(look(look))), look);
      assertEquals("fails", played(timer, wave, "certain", List.of(look(look))), look);
    }
  }

  private static String look(String text) {
    String[] words = text.strip().split("[- ]", 3);
    return "from %s s to %s s see M-1 is %s".formatted(words[0], words[1], words[2]);
  }

  private static List<int[]> spans(String text) {
    var spans = new ArrayList<int[]>();
    for (String span : text == null ? new String[0] : text.strip().split(" +")) {
      String[] ends = span.split("-");
      spans.add(new int[] {Integer.parseInt(ends[0]), Integer.parseInt(ends[1])});
    }
    return spans;
  }

  private static String played(String timer, String wave, String how, List<String> looks) {
    var text = new StringBuilder();
    text.append("plant \"timer\"\ncontroller reacts within 0 s\npump M-1 \"output\"\n");
    text.append("panel { hold-button input }\n");
    text.append("logic { run M-1 when ").append(timer.strip()).append(" }\n");
    text.append("scenario S-1 \"wave\" ").append(how).append(" {\n");
    for (int[] span : spans(wave)) {
      text.append("  at ").append(span[0]).append(" s: hold input\n");
      text.append("  at ").append(span[1]).append(" s: release input\n");
    }
    looks.forEach(l -> text.append("  ").append(l).append('\n'));
    text.append("}\n");
    return Scenes.played(text.toString());
  }
}
