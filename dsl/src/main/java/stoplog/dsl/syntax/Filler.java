package stoplog.dsl.syntax;

import java.util.HashSet;
import java.util.List;
import java.util.Locale;
import java.util.Set;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import org.antlr.v4.runtime.Token;
import org.jspecify.annotations.Nullable;
import stoplog.diag.Code;
import stoplog.diag.Diagnostic;
import stoplog.source.Span;

/** Fills the open parts of words and texts: parameters of a template, and numbers of a range. */
final class Filler {
  private static final Pattern OPEN_PART =
      Pattern.compile("\\{([a-z][a-z0-9_]*|[0-9]+\\.\\.[0-9]+)\\}");
  private static final Pattern PARAMETER = Pattern.compile("\\{([a-z][a-z0-9_]*)\\}");
  private static final Pattern TAG = Pattern.compile("[A-Z][A-Z0-9]*(-[A-Z0-9]+)+");
  private static final Pattern NAME = Pattern.compile("[a-z][a-z0-9_]*( [a-z][a-z0-9_]*)*");
  private static final Set<String> RESERVED = reserved();

  private final Filling filling;
  private final List<Diagnostic> diagnostics;
  /** What was told to fit nowhere; of one thing filled in it is told once. */
  private final Set<Filling.Value> misfits = new HashSet<>();

  private @Nullable Repeat repeat;

  Filler(Filling filling, List<Diagnostic> diagnostics) {
    this.filling = filling;
    this.diagnostics = diagnostics;
  }

  /** What a word may be. */
  enum Shape {
    TAG,
    NAME,
    EITHER
  }

  Filling filling() {
    return filling;
  }

  /** Lets a new element of a list count its ranges; gives back what counted those around it. */
  @Nullable Repeat begin(@Nullable Repeat inner) {
    Repeat outer = repeat;
    repeat = inner;
    return outer;
  }

  static boolean isOpen(String text) {
    return text.indexOf('{') >= 0;
  }

  /** What fills this open part and nothing else; {@code null} if nothing does, which is told. */
  Filling.@Nullable Value value(String hole, Span at) {
    Filling.Value v = filling.values().get(hole.substring(1, hole.length() - 1));
    if (v == null) {
      nothing(hole, at);
    }
    return v;
  }

  /** A tag or name with its open parts filled. */
  String word(String written, Shape shape, Span at) {
    var filled = new StringBuilder();
    Matcher m = OPEN_PART.matcher(written);
    Filling.Value first = null;
    while (m.find()) {
      String hole = m.group();
      String by;
      if (Character.isDigit(hole.charAt(1))) {
        by = range(hole, at);
      } else {
        Filling.Value v = value(hole, at);
        first = first == null ? v : first;
        by = v == null ? null : v.plain() ? v.words() : misfit(hole, v, "a part of a name", at);
      }
      if (by == null) {
        return written;
      }
      m.appendReplacement(filled, Matcher.quoteReplacement(inCase(by, shape)));
    }
    String word = m.appendTail(filled).toString();
    boolean tag = TAG.matcher(word).matches();
    boolean name = NAME.matcher(word).matches() && !RESERVED.contains(word);
    boolean fits = shape != Shape.NAME && tag || shape != Shape.TAG && name;
    if (!fits && (first == null || misfits.add(first))) {
      String wanted = shape == Shape.TAG ? "tag" : shape == Shape.NAME ? "name" : "tag or name";
      Diagnostic d =
          Diagnostic.of(Code.WRONG_FILLING, at, "`" + word + "` is no " + wanted)
              .withWhy("that is what is filled in here");
      diagnostics.add(first == null ? d : d.withRelated(first.span(), "filled in"));
    }
    return fits ? word : written;
  }

  /** Train A has the pump P-A01 and the signal on_a. */
  private static String inCase(String by, Shape shape) {
    return switch (shape) {
      case TAG -> by.toUpperCase(Locale.ROOT);
      case NAME -> by.toLowerCase(Locale.ROOT);
      case EITHER -> by;
    };
  }

  /** A text between quotes with its parameters filled; outside templates it is as written. */
  String text(String written, Span at) {
    if (filling.template() == null || !isOpen(written)) {
      return written;
    }
    PARAMETER.matcher(written).results().forEach(hole -> value(hole.group(), at));
    return filled(written, filling);
  }

  /** A passage with its parameters filled as far as they are known. */
  static String filled(String written, Filling filling) {
    if (!isOpen(written)) {
      return written;
    }
    var filled = new StringBuilder();
    Matcher m = PARAMETER.matcher(written);
    while (m.find()) {
      Filling.Value v = filling.values().get(m.group(1));
      m.appendReplacement(filled, Matcher.quoteReplacement(v == null ? m.group() : v.words()));
    }
    return m.appendTail(filled).toString();
  }

  /** Tells that a parameter stands where something else is needed. */
  @Nullable String misfit(String hole, Filling.Value v, String wanted, Span at) {
    diagnostics.add(
        Diagnostic.of(Code.WRONG_FILLING, at, "`" + hole + "` is filled in with something else")
            .withLabel("needs " + wanted)
            .withRelated(v.span(), "filled in"));
    return null;
  }

  private @Nullable String range(String hole, Span at) {
    Repeat counting = repeat;
    if (counting == null) {
      diagnostics.add(
          Diagnostic.of(Code.RANGE_OUTSIDE_LIST, at, "`" + hole + "` stands outside a list")
              .withWhy("it repeats one entry of a list, once for each number")
              .withFix("any of (FS-" + hole + "), or the same with `all of` or `at least 2 of`"));
      return null;
    }
    if (!Repeat.isSound(hole)) {
      diagnostics.add(
          Diagnostic.of(Code.UPSIDE_DOWN, at, "`" + hole + "` does not count up")
              .withLabel("from a number to at most " + Repeat.MAX_NUMBERS + " numbers above"));
      return null;
    }
    String number = counting.fill(hole);
    if (number == null) {
      diagnostics.add(
          Diagnostic.of(Code.RANGE_OUTSIDE_LIST, at, "one entry of a list has two ranges")
              .withWhy("an entry is repeated once for each number of one range")
              .withFix("two entries with a comma between them"));
    }
    return number;
  }

  private void nothing(String hole, Span at) {
    String name = hole.substring(1, hole.length() - 1);
    if (Character.isDigit(name.charAt(0))) {
      range(hole, at);
    } else if (filling.template() == null) {
      diagnostics.add(
          Diagnostic.of(Code.OPEN_PART, at, "`" + hole + "` stands outside a template")
              .withWhy("nothing fills it in here"));
    } else {
      Set<String> known = filling.values().keySet();
      String parameters = known.isEmpty() ? "it has none" : "has " + String.join(", ", known);
      diagnostics.add(
          Diagnostic.of(
                  Code.OPEN_PART,
                  at,
                  "template `" + filling.template() + "` has no parameter `" + name + "`")
              .withLabel(parameters));
    }
  }

  private static Set<String> reserved() {
    var words = new HashSet<String>();
    for (int type = 1; type <= PlantParser.VOCABULARY.getMaxTokenType(); type++) {
      String literal = PlantParser.VOCABULARY.getLiteralName(type);
      if (literal != null && type != Token.EOF && !SyntaxMessages.ALSO_NAMES.contains(type)) {
        words.add(literal.substring(1, literal.length() - 1));
      }
    }
    return Set.copyOf(words);
  }
}
