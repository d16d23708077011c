package stoplog.checker.cli;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.file.Path;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** What is told about the plant itself, and what a verdict leans on. */
final class ConcernsTest {
  @TempDir Path directory;

  private Ran check(String text, String... options) throws IOException {
    String plant = SmallPlant.in(directory, "concerns.plant", text);
    var args = new java.util.ArrayList<String>();
    args.add("check");
    args.addAll(java.util.List.of(options));
    args.add(plant);
    return Ran.stoplog(args.toArray(String[]::new));
  }

  /** On one line, wherever it was broken. */
  private static String words(Ran ran) {
    return ran.out().replaceAll("\\s+", " ");
  }

  @Test
  void interlockThatNeverStopsAnythingIsTold() throws IOException {
    String text =
        SmallPlant.TEXT.replace("P-1 is commanded off", "P-1 is commanded off or P-1 is commanded on");
    Ran ran = check(text);
    assertTrue(
        words(ran).contains("About the plant ")
            && words(ran).contains(": the interlock \"feed pump off\" of P-2 never stops it "),
        ran.out());
    Ran json = check(text, "--json");
    assertTrue(json.out().contains("\"kind\" : \"never blocks\""), json.out());
    assertFalse(check(SmallPlant.TEXT).out().contains("About the plant"), "nothing amiss");
  }

  @Test
  void logicWithoutRestVoidsProofs() throws IOException {
    String text =
        SmallPlant.TEXT.replace("within 200 ms", "within 0 s")
            .replace("logic {", "logic {\n  signal flicker = not flicker and mode is water");
    Ran ran = check(text, "--claim", "H-2");
    assertEquals(3, ran.status(), ran.out());
    assertTrue(words(ran).contains("may never come to rest: flicker; this voids every"), ran.out());
  }

  @Test
  void whyListsEverythingTheProofLeansOnWithItsPlace() throws IOException {
    Ran ran = check(SmallPlant.TEXT, "--why", "H-2");
    assertEquals(0, ran.status(), ran.err());
    assertTrue(ran.out().contains("H-2 leans on "), ran.out());
    assertTrue(
        ran.out().lines().anyMatch(l -> l.matches("  P-1 +feed pump +\\S*concerns.plant:4:1")),
        ran.out());
    assertEquals(2, check(SmallPlant.TEXT, "--why", "H-77").status());
  }

  /** A contact without a time is no variable, but its wiring bears on the proof. */
  @Test
  void whyListsTheFeedbacksThatFollowAtOnce() throws IOException {
    String text =
        SmallPlant.TEXT
            .replace("coast 1..2 s }", "coast 1..2 s; proves at rest SS-1, running YS-1 }")
            .replace("P-1 is commanded off", "P-1 is commanded off and SS-1");
    Ran ran = check(text, "--why", "H-1");
    assertEquals(0, ran.status(), ran.err());
    assertTrue(
        ran.out().lines().anyMatch(l -> l.matches("  SS-1 +P-1 proven at rest +\\S*concerns.plant:4:.*")),
        ran.out());
    assertFalse(ran.out().contains("YS-1"), "nothing reads it");
  }
}
