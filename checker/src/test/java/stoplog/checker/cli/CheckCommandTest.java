package stoplog.checker.cli;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.file.Path;
import java.util.List;
import java.util.Map;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import tools.jackson.jr.ob.JSON;

/** What the shipped command says of a small plant. */
final class CheckCommandTest {
  @TempDir Path directory;

  @Test
  void findingIsToldAsAStoryAndExitsWith1() throws IOException {
    String plant = SmallPlant.in(directory);
    Ran ran = Ran.stoplog("check", plant);
    assertEquals(1, ran.status(), ran.err());
    assertEquals("", ran.err());
    assertTrue(ran.out().startsWith("Small skid   " + plant + "\n"), ran.out());
    assertTrue(ran.out().contains("\nH-1  can happen  cleaning while the feed pump turns  "));
    assertTrue(ran.out().contains("\nH-2  proved      both pumps run  "), ran.out());
    assertTrue(ran.out().contains("\nR-1  holds       water can be made  "), ran.out());
    assertTrue(ran.out().contains("\nH-1 can happen: cleaning while the feed pump turns"));
    String story = ran.out().replaceAll("\\s+", " ");
    assertTrue(
        story.contains(
            "interlock \"feed pump off\" of P-2 reads the command of P-1, but P-1 is coasting"),
        ran.out());
    assertTrue(ran.out().contains(" HAZARD "), ran.out());
    assertTrue(
        ran.out().contains(
            "\nHazards: 1 proved, 1 can happen. Requirements: 2 hold.\nA proof holds for the model"),
        ran.out());
  }

  @Test
  void whereNoInterlockWouldStopItThatIsSaid() throws IOException {
    String plant = SmallPlant.in(directory);
    String none = "\n  No interlock that reads one feedback or switch was found that would stop it.\n";
    assertTrue(Ran.stoplog("check", plant).out().contains(none));
    assertFalse(Ran.stoplog("check", "--no-remedies", plant).out().contains("interlock that"));
    String seen = SmallPlant.TEXT.replace("coast 1..2 s", "coast 1..2 s; proves at rest SS-1");
    String out = Ran.stoplog("check", SmallPlant.in(directory, "seen.plant", seen)).out();
    assertTrue(out.contains("\n  Would stop it (proved): interlock of P-2: SS-1\n"), out);
    assertFalse(out.contains(none), out);
  }

  @Test
  void onlyClaimsAskedAboutCount() throws IOException {
    SmallPlant.in(directory);
    Ran ran = Ran.stoplog("check", "--claim", "R-1", "--claim", "H-2", directory.toString());
    assertEquals(0, ran.status(), ran.err());
    assertTrue(ran.out().contains("leans on P-1"), ran.out());
    assertTrue(ran.out().contains("Not asked about: 2 claims."), ran.out());
    assertTrue(ran.out().indexOf("H-2") < ran.out().indexOf("R-1"), "order of the plant");
  }

  @Test
  void searchOfTheWholePlantAgrees() throws IOException {
    Ran ran = Ran.stoplog("check", "--whole", SmallPlant.in(directory));
    assertEquals(1, ran.status(), ran.err());
    assertTrue(ran.out().contains("1 proved, 1 can happen. Requirements: 2 hold."), ran.out());
  }

  @Test
  void samePlantGivesTheSameBytes() throws IOException {
    String plant = SmallPlant.in(directory);
    assertEquals(Ran.stoplog("check", plant), Ran.stoplog("check", plant));
    assertEquals(Ran.stoplog("check", "--json", plant), Ran.stoplog("check", "--json", plant));
  }

  @Test
  void numberOfThreadsChangesNoByte() throws IOException {
    String plant = SmallPlant.in(directory);
    Ran one = Ran.stoplog("check", "--threads", "1", plant);
    for (String threads : List.of("2", "3", "16")) {
      assertEquals(one, Ran.stoplog("check", "--threads", threads, plant));
    }
  }

  @Test
  void proofsThatWereCheckedAreMarked() throws IOException {
    String plant = SmallPlant.in(directory);
    Ran ran = Ran.stoplog("check", "--verify-proofs", plant);
    assertEquals(1, ran.status(), ran.err());
    assertEquals(1, ran.out().split("certificate checked", -1).length - 1, ran.out());
    assertTrue(ran.out().replaceAll("\\s+", " ").contains("H-2 proved both pumps run"), ran.out());
    assertFalse(Ran.stoplog("check", plant).out().contains("certificate"));
  }

  @Test
  void wallTimesComeOnRequest() throws IOException {
    String plant = SmallPlant.in(directory);
    assertFalse(Ran.stoplog("check", plant).out().contains("took"));
    assertTrue(Ran.stoplog("check", "--times", plant).out().contains(", took 0."));
  }

  @Test
  void terminalGetsColoursUnlessToldNot() throws IOException {
    String plant = SmallPlant.in(directory);
    assertTrue(Ran.onTerminal(Engine::shipped, "check", plant).out().contains("\u001b[32mproved"));
    assertFalse(
        Ran.onTerminal(Engine::shipped, "check", "--no-color", plant).out().contains("\u001b"));
  }

  @Test
  @SuppressWarnings("unchecked")
  void jsonSaysTheSame() throws IOException {
    Ran ran = Ran.stoplog("check", "--json", SmallPlant.in(directory));
    assertEquals(1, ran.status(), ran.err());
    Map<String, Object> document = JSON.std.mapFrom(ran.out());
    assertEquals(1, document.get("exit"));
    assertEquals("Small skid", document.get("plant"));
    var claims = (List<Map<String, Object>>) document.get("claims");
    assertEquals(
        List.of("reachable", "proved", "holds", "holds"),
        claims.stream().map(c -> c.get("verdict")).toList());
    assertTrue(claims.getFirst().get("trace") instanceof Map);
  }

  @Test
  void budgetThatIsUsedUpLeavesTheClaimUndecided() throws IOException {
    Ran ran =
        Ran.stoplog("check", "--whole", "--budget", "states=2", "--claim", "H-2",
            SmallPlant.in(directory));
    assertEquals(3, ran.status(), ran.out() + ran.err());
    assertTrue(ran.out().contains("H-2  undecided"), ran.out());
  }

  @Test
  void helpAndVersionAreNoErrors() {
    Ran help = Ran.stoplog("check", "--help");
    assertEquals(0, help.status());
    assertTrue(help.out().contains("Exit status:"), help.out());
    help.out().lines().forEach(l -> assertTrue(l.length() <= 100, l));
    assertEquals(0, Ran.stoplog("--help").status());
    assertTrue(Ran.stoplog("--version").out().startsWith("stoplog "));
  }

  /** Fifty keys that are not kept may stand any way; the count of them is worked out as one set. */
  @Test
  void hazardBesideALongCountIsDecided() throws IOException {
    String many = SmallPlant.in(directory, "many.plant", SmallPlant.withALongCount());
    Ran ran = Ran.stoplog("check", "--claim", "H-2", many);
    assertEquals(0, ran.status(), ran.out() + ran.err());
    assertTrue(ran.out().contains("H-2  proved "), ran.out());
  }
}
