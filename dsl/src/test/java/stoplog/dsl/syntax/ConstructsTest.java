package stoplog.dsl.syntax;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.Set;
import java.util.TreeSet;
import org.junit.jupiter.api.Test;
import stoplog.source.SourceFile;

/** What of the grammar a text uses. */
class ConstructsTest {
  private static Set<String> in(String text) {
    return Constructs.in(new SourceFile("x.plant", text));
  }

  @Test
  void aWordCountsInTheRuleItStandsIn() {
    Set<String> used = in("logic { retained latch a: set by b; cleared by c }");
    assertTrue(used.containsAll(Set.of("latch", "latch 'retained'", "latch 'cleared'")), used.toString());
    assertFalse(used.contains("memory 'retained'"));
  }

  @Test
  void aWordThatIsANameIsNoUseOfIt() {
    assertFalse(in("panel { button start, rise }").toString().matches(".*'(start|rise)'.*"));
  }

  @Test
  void templatesCountAsTheyAreWritten() {
    assertTrue(in("template t(n) { pump P-{n} by hand }").contains("byHand 'hand'"));
  }

  @Test
  void whatStandsInARuleCountsByWhatItIs() {
    Set<String> used = in("use t(a = 1..2 s)\nuse t(a = \"b\")");
    assertTrue(used.containsAll(Set.of("argument window", "argument STRING")), used.toString());
    assertFalse(used.contains("argument expression"));
  }

  @Test
  void whatATextUsesIsOffered() {
    var used = new TreeSet<>(in("pump P-1 { coast 1..2 s }\nhazard H-1 : P-1 is not turning for -1 s"));
    assertTrue(used.contains("number '-'"), used.toString());
    used.removeAll(Constructs.all());
    assertEquals(Set.of(), used);
  }

  @Test
  void aTextWithErrorsIsRefused() {
    assertThrows(IllegalArgumentException.class, () -> in("pump"));
  }
}
