package stoplog.checker.cli;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertNotEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import java.util.TreeMap;
import java.util.stream.Stream;
import org.junit.jupiter.api.DynamicTest;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.TestFactory;
import org.junit.jupiter.api.io.TempDir;
import tools.jackson.jr.ob.JSON;

/**
 * What the language guide shows is what Stoplog does. Behind the word {@code plant} of an example
 * stands what becomes of it: {@code proved}, {@code reachable}, {@code holds}, {@code broken} with
 * claims, all of them; {@code passes}, {@code fails} with scenarios, all of them; {@code error} with
 * the codes of all errors; {@code file} with the name under which later examples include it.
 */
final class GuideTest {
  private static final Path GUIDE = Path.of("../dsl/GUIDE.md");

  @TempDir Path directory;

  private record Example(int line, List<String> expected, String text) {
    String whole() {
      return text.startsWith("plant ")
          ? text
          : "plant \"example\"\ncontroller reacts within 200 ms\n" + text;
    }
  }

  private static List<Example> examples() throws IOException {
    var examples = new ArrayList<Example>();
    List<String> lines = Files.readAllLines(GUIDE);
    for (int i = 0; i < lines.size(); i++) {
      if (!lines.get(i).startsWith("```")) {
        continue;
      }
      int begin = i;
      var text = new StringBuilder();
      for (i++; !lines.get(i).equals("```"); i++) {
        text.append(lines.get(i)).append('\n');
      }
      List<String> words = List.of(lines.get(begin).substring(3).split(" "));
      assertEquals("plant", words.getFirst(), "line " + (begin + 1));
      examples.add(new Example(begin + 1, words.subList(1, words.size()), text.toString()));
    }
    return examples;
  }

  @TestFactory
  Stream<DynamicTest> everyExampleDoesWhatTheGuideSays() throws IOException {
    return examples().stream()
        .map(e -> DynamicTest.dynamicTest("line " + e.line() + " " + e.expected(), () -> does(e)));
  }

  @Test
  void guideHasExamples() throws IOException {
    assertTrue(examples().size() > 20);
  }

  private void does(Example e) throws IOException {
    if (e.expected().getFirst().equals("file")) {
      Files.writeString(directory.resolve(e.expected().getLast()), e.text());
      return;
    }
    Path file = Files.writeString(directory.resolve("line-" + e.line() + ".plant"), e.whole());
    Ran ran = Ran.stoplog("check", "--json", "--no-remedies", file.toString());
    assertNotEquals("", ran.out(), ran.err());
    assertEquals(expected(e), told(JSON.std.mapFrom(ran.out())), ran.out());
  }

  private static Map<String, String> expected(Example e) {
    var expected = new TreeMap<String, String>();
    String verdict = "";
    for (String word : e.expected()) {
      if (word.matches("[a-z]+")) {
        verdict = word;
      } else {
        expected.put(word, verdict);
      }
    }
    return expected;
  }

  private static Map<String, String> told(Map<String, Object> document) {
    var told = new TreeMap<String, String>();
    for (String what : List.of("claims", "scenarios")) {
      for (Map<String, Object> c : list(document, what)) {
        told.put(text(c, "id"), text(c, "verdict"));
      }
    }
    for (Map<String, Object> d : list(document, "diagnostics")) {
      if (text(d, "code").startsWith("E")) {
        told.put(text(d, "code"), "error");
      }
    }
    return told;
  }

  private static String text(Map<String, Object> map, String key) {
    return String.valueOf(Objects.requireNonNull(map.get(key)));
  }

  @SuppressWarnings("unchecked")
  private static List<Map<String, Object>> list(Map<String, Object> document, String key) {
    return (List<Map<String, Object>>) new LinkedHashMap<>(document).getOrDefault(key, List.of());
  }
}
