package stoplog.checker.report;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.List;
import java.util.Map;
import org.junit.jupiter.api.Test;
import stoplog.model.Model;
import stoplog.model.Verdict;
import tools.jackson.jr.ob.JSON;

final class MarginTest {
  private static final Model MODEL = TwoPumps.model();

  private static CheckRun proved(String claim, long longestQuanta) {
    var verdict =
        new Verdict.Proved(longestQuanta, TwoPumps.KEPT, new Verdict.Effort(41, 43, 1, 1));
    return new CheckRun(
        "two-pumps.plant", MODEL, List.of(new Answer(MODEL.claim(claim), verdict, null)), false,
        false, List.of());
  }

  private static String text(String claim, long longestQuanta) {
    return CheckText.render(proved(claim, longestQuanta), Ink.NONE, false);
  }

  @Test
  void timeLeftIsToldOfTheTimeAllowed() {
    assertTrue(text("H-03", 4).contains(" 41 states, margin 0.6 s of 1 s\n"), text("H-03", 4));
    assertTrue(text("H-03", 10).contains(", margin 0 s of 1 s\n"), text("H-03", 10));
    assertTrue(text("H-03", 0).contains(", margin 1 s of 1 s\n"), text("H-03", 0));
  }

  @Test
  void conditionThatNeverHoldsNeverBegins() {
    assertTrue(text("H-03", -1).contains(" 41 states, never begins\n"), text("H-03", -1));
  }

  @Test
  void claimWithoutATimeHasNoMargin() {
    assertTrue(text("H-02", -1).contains(" 41 states\n"), text("H-02", -1));
    assertTrue(text("R-02", -1).contains(" 41 states\n"), text("R-02", -1));
  }

  @Test
  @SuppressWarnings("unchecked")
  void jsonHasItInSeconds() {
    String json =
        CheckJson.render("0.1.0", 0, "two-pumps.plant", proved("H-03", 4), List.of(), false, null);
    var claims = (List<Map<String, Object>>) JSON.std.mapFrom(json).get("claims");
    assertEquals(
        "{seconds=0.6, ofSeconds=1, neverBegins=false}",
        claims.getFirst().get("margin").toString());
  }
}
