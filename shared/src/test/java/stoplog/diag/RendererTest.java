package stoplog.diag;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.List;
import org.junit.jupiter.api.Test;
import stoplog.source.SourceFile;
import stoplog.source.Span;

class RendererTest {
  private static final String TEXT = "logic {\n  trip \"low level\" : LSL-201 for 5\n}\n";
  private static final SourceFile FILE = new SourceFile("skid.plant", TEXT);

  private static Span at(SourceFile file, String part) {
    int start = file.text().indexOf(part);
    return new Span(file, start, start + part.length());
  }

  private static Diagnostic sample() {
    return Diagnostic.of(Code.DELAY_WITHOUT_UNIT, at(FILE, "5"), "this delay has no unit")
        .withLabel("needs ms, s, min or h")
        .withWhy("5 ms and 5 min are different plants")
        .withFix("for 5 s");
  }

  @Test
  void textShowsTheLineTheCaretTheReasonAndTheRemedy() {
    assertEquals(
        """
        skid.plant:2:34: error E0312: this delay has no unit

            2 |   trip "low level" : LSL-201 for 5
              |                                  ^ needs ms, s, min or h

           why   5 ms and 5 min are different plants
           fix   for 5 s
        """,
        new TextRenderer(false).render(sample()));
  }

  @Test
  void otherPlacesAreMarkedBesideTheCulprit() {
    Diagnostic d =
        sample()
            .withRelated(at(FILE, "trip"), "in this trip")
            .withRelated(at(FILE, "logic"), "here");
    assertTrue(
        new TextRenderer(false)
            .render(d)
            .contains(
                """
                    2 |   trip "low level" : LSL-201 for 5
                      |                                  ^ needs ms, s, min or h
                      |   ~~~~ in this trip
                    1 | logic {
                      | ~~~~~ here
                """));
  }

  @Test
  void colourAddsNothingButColour() {
    String coloured = new TextRenderer(true).render(sample());
    assertTrue(coloured.contains("\u001b[1;31m"));
    assertEquals(
        new TextRenderer(false).render(sample()), coloured.replaceAll("\u001b\\[[0-9;]*m", ""));
  }

  @Test
  void aPlantTextCannotWriteToTheTerminal() {
    var file = new SourceFile("a\u001b[2J.plant", "x \u001b[31m\u202e\t5\n");
    String text =
        new TextRenderer(false).render(Diagnostic.of(Code.UNEXPECTED, at(file, "5"), "\u001b]0;x"));
    assertFalse(text.contains("\u001b"));
    assertFalse(text.contains("\u202e"));
    assertFalse(text.contains("\t"));
  }

  @Test
  void aLongLineIsCutAroundTheCulprit() {
    var file = new SourceFile("long.plant", "a".repeat(5_000) + "!" + "b".repeat(5_000));
    String text =
        new TextRenderer(false).render(Diagnostic.of(Code.UNEXPECTED, at(file, "!"), "odd"));
    List<String> lines = text.lines().toList();
    assertTrue(lines.stream().allMatch(l -> l.length() < 130));
    assertEquals(lines.get(2).indexOf('!'), lines.get(3).indexOf('^'));
  }

  @Test
  void jsonHasEveryPartAndIsEscaped() {
    Diagnostic d = sample().withFix("say \"5 s\"\n\u0001\\").withRelated(Span.NONE, "nowhere");
    assertEquals(
        """
        [
          {"code": "E0312", "severity": "error", "message": "this delay has no unit", \
        "file": "skid.plant", "line": 2, "column": 34, "endLine": 2, "endColumn": 35, \
        "label": "needs ms, s, min or h", "why": "5 ms and 5 min are different plants", \
        "fix": "say \\"5 s\\"\\u000a\\u0001\\\\", "related": [{"file": null, "label": "nowhere"}]}
        ]
        """,
        new JsonRenderer().render(List.of(d)));
    assertEquals("[]\n", new JsonRenderer().render(List.of()));
  }
}
