package stoplog.dsl;

import java.util.Collections;
import java.util.SortedSet;
import java.util.TreeSet;
import org.antlr.v4.runtime.Vocabulary;
import stoplog.dsl.syntax.PlantLexer;

/** The words that have a meaning in the language, as its grammar has them. */
public final class LanguageWords {
  private LanguageWords() {}

  /** All of them, those that may be names as well included; no signs and no kinds of equipment. */
  public static SortedSet<String> all() {
    var words = new TreeSet<String>();
    Vocabulary vocabulary = PlantLexer.VOCABULARY;
    for (int type = 1; type <= vocabulary.getMaxTokenType(); type++) {
      String literal = vocabulary.getLiteralName(type);
      if (literal != null && literal.matches("'[a-z][a-z-]*'")) {
        words.add(literal.substring(1, literal.length() - 1));
      }
    }
    return Collections.unmodifiableSortedSet(words);
  }
}
