package stoplog.checker.report;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;

import java.util.List;
import java.util.Map;
import org.junit.jupiter.api.Test;
import tools.jackson.jr.ob.JSON;

final class CheckJsonTest {
  private static String render(boolean times) {
    return CheckJson.render(
        "0.1.0", 1, "two-pumps.plant", CheckTextTest.mixed(), List.of(), times, null);
  }

  @SuppressWarnings("unchecked")
  private static Map<String, Object> claim(int index) {
    Map<String, Object> document = JSON.std.mapFrom(render(false));
    return (Map<String, Object>) ((List<Object>) document.get("claims")).get(index);
  }

  @Test
  void keysStandInAFixedOrder() {
    assertEquals(
        "[format, stoplog, exit, file, plant, variables, whole, caution, scenarios, claims,"
            + " concerns, diagnostics]",
        JSON.std.mapFrom(render(false)).keySet().toString());
    assertEquals(
        "[id, text, place, kind, verdict, kept, effort, trace, remedies]",
        claim(0).keySet().toString());
    assertEquals(
        "[id, text, place, kind, verdict, reason, covered, kept, effort]",
        claim(1).keySet().toString());
  }

  @Test
  void verdictsAreNamedByKindOfClaim() {
    assertEquals("reachable", claim(0).get("verdict"));
    assertEquals("undecided", claim(1).get("verdict"));
    assertEquals("holds", claim(2).get("verdict"));
    assertEquals("broken", claim(3).get("verdict"));
  }

  @Test
  @SuppressWarnings("unchecked")
  void traceHasEveryStepWithItsTimeInSeconds() {
    var trace = (Map<String, Object>) claim(0).get("trace");
    var steps = (List<Map<String, Object>>) trace.get("steps");
    assertEquals(9, steps.size());
    assertEquals(
        "{tick=312, seconds=31.2, who=operator, what=stop pressed}", steps.get(5).toString());
    assertEquals("{tick=314, seconds=31.4, who=scan, what=scan}", steps.get(7).toString());
    assertEquals(
        "P-201 commanded off, P-301 commanded on",
        ((List<Map<String, Object>>) trace.get("story")).get(4).get("what"));
  }

  @Test
  void wallTimesAreWrittenOnlyWhereAskedFor() {
    assertEquals(render(false), render(false));
    assertFalse(render(false).equals(render(true)));
  }
}
