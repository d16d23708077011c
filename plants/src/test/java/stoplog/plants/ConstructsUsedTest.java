package stoplog.plants;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.Set;
import java.util.TreeSet;
import java.util.regex.Pattern;
import org.junit.jupiter.api.Test;
import stoplog.dsl.KindLibrary;
import stoplog.dsl.LanguageWords;
import stoplog.dsl.syntax.Constructs;
import stoplog.source.SourceFile;

/** The shipped plants are the language's proof of use: nothing of it is left without a real use. */
class ConstructsUsedTest {
  /** A comment, or a text in quotes: words in them are not words of the language. */
  private static final Pattern PROSE = Pattern.compile("\"[^\"\n]*\"|--[^\n]*");

  /** A tag or name is one word, whatever it is made of: {@code on_entry} is no use of `on`. */
  private static final Pattern WORD =
      Pattern.compile("(?<![A-Za-z0-9_{}-])[a-z][a-z_]*(?:-[a-z]+)*(?![A-Za-z0-9_{}-])");

  private static final Set<String> USED = used();

  private static Set<String> used() {
    var used = new TreeSet<String>();
    for (PlantCase plant : PlantCase.all()) {
      if (plant.isShipped()) {
        used.addAll(wordsOf(plant.wholeText()));
      }
    }
    return used;
  }

  private static Set<String> wordsOf(String text) {
    var words = new TreeSet<String>();
    WORD.matcher(PROSE.matcher(text).replaceAll(" ")).results().forEach(w -> words.add(w.group()));
    return words;
  }

  private static Set<String> unused(Set<String> all) {
    var unused = new TreeSet<>(all);
    unused.removeAll(USED);
    return unused;
  }

  @Test
  void everyWordOfTheLanguageStandsInAShippedPlant() {
    assertTrue(LanguageWords.all().size() > 120, "words " + LanguageWords.all());
    assertEquals(Set.of(), unused(LanguageWords.all()));
  }

  /** Each rule of the grammar, and in each rule all that may stand there. */
  @Test
  void everyConstructOfTheGrammarStandsInAShippedPlant() {
    var unused = new TreeSet<>(Constructs.all());
    assertTrue(unused.size() > 800, "constructs " + unused.size());
    for (PlantCase plant : PlantCase.all()) {
      if (plant.isShipped()) {
        plant.texts().forEach(t -> unused.removeAll(Constructs.in(new SourceFile("x.plant", t))));
      }
    }
    // The canonical layout writes entries of a block, and equipment, on lines of their own.
    unused.removeIf(c -> c.endsWith("Block ';'") || c.equals("equipment NAME"));
    assertEquals(Set.of(), unused);
  }

  @Test
  void everyKindThatShipsStandsInAShippedPlant() {
    assertTrue(KindLibrary.shipped().size() > 10, "kinds " + KindLibrary.shipped().keySet());
    assertEquals(Set.of(), unused(KindLibrary.shipped().keySet()));
  }

  @Test
  void commentsTextsAndPartsOfNamesAreNoUse() {
    assertEquals(
        Set.of("key", "first-out"),
        wordsOf("key P-on first-out first_{n} \"latch\" -- duty\nFV-1pulse"));
  }
}
