package stoplog.checker.cli;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.file.Path;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** A claim about like things is not searched for again, and its line says whose verdict it has. */
class LikeClaimsTest {
  /** Three skids of one template; the interlock of the third is missing. */
  private static final String SKIDS =
      """
      plant "Three skids"
      controller reacts within 200 ms
      power may fail

      template skid(n) {
        valve FV-{n} "inlet valve" { travel 4..6 s; fails closed; proves open ZSO-{n} }
        pump P-{n} "feed pump" { coast 1..2 s; proves at rest SS-{n} }
        panel { selector mode_{n}: off, auto }
        logic {
          open FV-{n} when mode_{n} is auto or not SS-{n}
        }
        hazard H-{n} "feed pump against the shut inlet" : P-{n} is turning and FV-{n} is closed for 10 s
        require R-{n} "feeds" : can P-{n} is running
        require R-1{n} "off stops the pump" :
          after mode_{n} is off and P-{n} is turning, (P-{n} is at rest or mode_{n} is auto) within 3 s
      }
      use skid(n = 1)
      use skid(n = 2)
      use skid(n = 3)
      logic {
        run P-1 when mode_1 is auto { interlock "inlet open" : ZSO-1 }
        run P-2 when mode_2 is auto { interlock "inlet open" : ZSO-2 }
        run P-3 when mode_3 is auto
      }
      """;

  @TempDir Path directory;
  private String plant = "";

  @BeforeEach
  void written() throws IOException {
    plant = SmallPlant.in(directory, "skids.plant", SKIDS);
  }

  private static String withoutMarks(String text) {
    return text.replaceAll(", as [HR]-\\d+", "").replaceAll(" +", " ");
  }

  private static String line(String text, String claim) {
    return text.lines().filter(l -> l.startsWith(claim + " ")).findFirst().orElseThrow();
  }

  @Test
  void verdictsOfLikeThingsAreCarriedOver() {
    String all = Ran.stoplog("check", plant).out();
    assertTrue(line(all, "H-2").matches(".*proved.*, as H-1"), all);
    assertTrue(line(all, "R-2").matches(".*holds.*, as R-1"), all);
    assertTrue(line(all, "R-12").matches(".*holds.*, as R-11"), all);
    assertFalse(line(all, "H-3").contains(", as "), all);
    for (String claim : new String[] {"H-1", "H-2", "H-3", "R-1", "R-2", "R-3", "R-11", "R-12", "R-13"}) {
      assertEquals(
          withoutMarks(line(Ran.stoplog("check", plant, "--claim", claim).out(), claim)),
          withoutMarks(line(all, claim)));
    }
  }

  @Test
  void numberOfThreadsMeansNothing() {
    assertEquals(
        Ran.stoplog("check", plant, "--threads", "1"), Ran.stoplog("check", plant, "--threads", "4"));
  }

  @Test
  void machinesAreToldToo() {
    assertTrue(
        Ran.stoplog("check", plant, "--json").out().matches("(?s).*\"as\" ?: ?\"H-1\".*"));
  }

  /** What is carried over an edit is carried over to like things too. */
  @Test
  void everyVerdictIsCarriedTheSecondTime() {
    String ledger = directory.resolve("skids.ledger").toString();
    Ran.stoplog("check", plant, "--ledger", ledger);
    String all = Ran.stoplog("check", plant, "--ledger", ledger).out();
    all.lines()
        .filter(l -> l.matches("[HR]-\\d+ .*"))
        .forEach(l -> assertTrue(l.matches(".*, as (before|[HR]-\\d+)"), l));
    assertTrue(line(all, "H-2").endsWith(", as H-1"), all);
  }

  /** A certificate is about one claim. */
  @Test
  void proofsToBeCheckedAreFoundOneByOne() {
    String all = Ran.stoplog("check", plant, "--verify-proofs").out();
    assertFalse(all.contains(", as "), all);
    assertTrue(line(all, "H-2").contains("certificate checked"), all);
  }
}
