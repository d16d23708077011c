package stoplog.dsl.syntax;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Set;
import java.util.TreeSet;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import java.util.stream.Stream;
import org.junit.jupiter.api.Test;
import stoplog.dsl.LanguageWords;

/** The guide explains every word of the grammar, and no others; so with the kinds that ship. */
class GuideWordsTest {
  private static final Path GUIDE = Path.of("GUIDE.md");
  private static final Path KINDS = Path.of("src/main/resources/stoplog/dsl/kinds");

  private static Set<String> keywords() {
    return LanguageWords.all();
  }

  private static Set<String> found(String text, String pattern, int group) {
    var found = new TreeSet<String>();
    Matcher m = Pattern.compile(pattern, Pattern.MULTILINE).matcher(text);
    while (m.find()) {
      found.add(m.group(group));
    }
    return found;
  }

  @Test
  void everyWordOfTheGrammarIsExplained() throws IOException {
    String guide = Files.readString(GUIDE);
    String table = guide.substring(guide.indexOf("\n## All words"));
    assertTrue(keywords().size() > 120, "words " + keywords());
    assertEquals(keywords(), found(table, "^\\| `([a-z-]+)`( \\*)? \\| .{2,} \\|$", 1));
  }

  @Test
  void wordsThatMayBeNamesAreMarked() throws IOException {
    String guide = Files.readString(GUIDE);
    var names = new TreeSet<String>();
    for (int type : SyntaxMessages.ALSO_NAMES) {
      String literal = PlantLexer.VOCABULARY.getLiteralName(type);
      if (literal != null) {
        names.add(literal.substring(1, literal.length() - 1));
      }
    }
    assertEquals(names, found(guide, "^\\| `([a-z-]+)` \\* \\|", 1));
  }

  /** Explaining is more than a line in a table: each word stands in an example as well. */
  @Test
  void everyWordIsUsedInAnExample() throws IOException {
    var examples = new TreeSet<String>();
    boolean inside = false;
    for (String line : Files.readAllLines(GUIDE)) {
      inside = line.startsWith("```") ? line.startsWith("```plant") : inside;
      if (inside) {
        examples.addAll(
            found(line.replaceAll("\"[^\"]*\"|--.*", ""), "(?<![\\w-])([a-z][a-z_-]*)", 1));
      }
    }
    var missing = new TreeSet<>(keywords());
    missing.removeAll(examples);
    assertEquals(Set.of(), missing);
  }

  @Test
  void everyKindThatShipsIsNamed() throws IOException {
    String guide = Files.readString(GUIDE);
    int kinds = 0;
    try (Stream<Path> files = Files.list(KINDS)) {
      for (Path file : files.toList()) {
        for (String kind : found(Files.readString(file), "^kind (\\w+)", 1)) {
          assertTrue(guide.contains("`" + kind + "`"), kind);
          kinds++;
        }
      }
    }
    assertTrue(kinds > 10, "kinds " + kinds);
  }
}
