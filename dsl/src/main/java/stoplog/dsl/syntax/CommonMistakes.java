package stoplog.dsl.syntax;

import java.util.List;
import java.util.Set;
import org.antlr.v4.runtime.Token;
import org.antlr.v4.runtime.misc.Interval;
import org.antlr.v4.runtime.misc.IntervalSet;
import org.jspecify.annotations.Nullable;

/**
 * What is meant by mistakes that many make: signs and words that other languages, or plain English, have
 * where this one has others. Each is known by the tokens around the one that does not fit.
 */
final class CommonMistakes {
  /** Behind the tag of one of these stands a text. */
  private static final Set<Integer> TAGGED =
      Set.of(
          PlantParser.KIND,
          PlantParser.SWITCH,
          PlantParser.ANALYSER,
          PlantParser.TRANSMITTER,
          PlantParser.LEVEL,
          PlantParser.ALARM,
          PlantParser.SCENARIO,
          PlantParser.HAZARD,
          PlantParser.REQUIRE);

  /** A condition begins behind one of these. */
  private static final Set<Integer> BEFORE_A_CONDITION =
      Set.of(
          PlantParser.COLON,
          PlantParser.WHEN,
          PlantParser.WHILE,
          PlantParser.BY,
          PlantParser.COMMA,
          PlantParser.GIVEN,
          PlantParser.SEE,
          PlantParser.LEFT);

  /** A longer condition is not repeated. */
  private static final int LONGEST = 40;

  private final List<Token> tokens;

  CommonMistakes(List<Token> tokens) {
    this.tokens = tokens;
  }

  /** What to write instead; {@code null} if it is none of these mistakes. */
  @Nullable String meant(Token offending, IntervalSet expected) {
    int at = offending.getTokenIndex();
    if (at <= 0 || tokens.get(at - 1).getLine() != offending.getLine()) {
      return null;
    }
    return switch (offending.getText()) {
      case "-", "…", "–", "—", "to" -> window(at);
      case "=", ":" -> stated(at, expected);
      case "and", "or" -> behindATime(at);
      case ")" ->
          type(at - 1) == PlantParser.LEFT && at > 1 && type(at - 2) == PlantParser.NAME
              ? "no parentheses where nothing is stated: `" + text(at - 2) + "`"
              : null;
      case ".." ->
          isClaim(at) && type(at + 1) == PlantParser.NUMBER
              ? value(at + 1) + ": a claim has one time, the longest"
              : null;
      case "," -> expects(expected, "cleared") ? "`;` before `cleared`" : null;
      case "if" -> "when";
      case "than" -> "`for 5 s` means longer than 5 s";
      case "one", "two", "three" -> "a number, in digits";
      default -> word(at, expected);
    };
  }

  private @Nullable String word(int at, IntervalSet expected) {
    boolean name = type(at) == PlantParser.NAME;
    int before = type(at - 1);
    if (name && before == PlantParser.TAG && at > 1 && TAGGED.contains(type(at - 2))) {
      return quoted(at);
    }
    if (name
        && text(at - 1).matches("[a-z][a-z0-9_]*")
        && !startsLine(at - 1)
        && !expected.contains(PlantParser.COLON)
        && isPanelList(at)) {
      return "a comma between the two";
    }
    if (type(at) == PlantParser.TAG && expects(expected, "can")) {
      return "`can " + text(at) + " is ..`, or `always can ..`, `after .., .. within 5 s`,"
          + " `never together .., ..`";
    }
    boolean state = name || text(at).equals("open");
    return state && before == PlantParser.TAG && expected.isNil()
        ? text(at - 1) + " is " + text(at)
        : null;
  }

  /** {@code 1-3 s} or {@code 1 to 3 s} for {@code 1..3 s}. */
  private @Nullable String window(int at) {
    int low = type(at - 1) == PlantParser.UNIT ? at - 2 : at - 1;
    if (type(low) != PlantParser.NUMBER || type(at + 1) != PlantParser.NUMBER) {
      return null;
    }
    boolean unit = type(at + 2) == PlantParser.UNIT;
    return text(low) + ".." + text(at + 1) + (unit ? " " + text(at + 2) : "");
  }

  /** {@code coast = 1..3 s} for {@code coast 1..3 s}, {@code =} for an assignment or a comparison. */
  private @Nullable String stated(int at, IntervalSet expected) {
    boolean begins = at > 1 && (type(at - 2) == PlantParser.LEFT_BRACE
        || type(at - 2) == PlantParser.SEMICOLON
        || type(at - 2) == PlantParser.COMMA
        || startsLine(at - 1));
    if (begins && type(at - 1) == PlantParser.NAME && type(at + 1) == PlantParser.NUMBER) {
      return expects(expected, ":=") ? text(at - 1) + " := " + text(at + 1) : text(at - 1) + " " + value(at + 1);
    }
    return text(at).equals(":") || expected.contains(PlantParser.COLON)
        ? null
        : "`is` before a state, as in `mode is auto`";
  }

  private static boolean expects(IntervalSet expected, String word) {
    String literal = "'" + word + "'";
    return expected.toList().stream()
        .anyMatch(t -> literal.equals(PlantParser.VOCABULARY.getLiteralName(t)));
  }

  /** The quantity or window that begins here, as it should be written. */
  private String value(int at) {
    int end = at;
    while (type(end + 1) == PlantParser.NUMBER
        || type(end + 1) == PlantParser.UNIT
        || text(end + 1).equals("..")) {
      end++;
    }
    var value = new StringBuilder(text(at));
    for (int i = at + 1; i <= end; i++) {
      value.append(type(i) == PlantParser.UNIT ? " " : "").append(text(i));
    }
    return value.toString();
  }

  /** {@code a for 3 s and b}: {@code for} stands last, or in the logic in parentheses. */
  private @Nullable String behindATime(int at) {
    int i = at - 1;
    if (type(i) == PlantParser.UNIT) {
      i--;
    }
    boolean time = type(i) == PlantParser.NUMBER || type(i) == PlantParser.NAME;
    if (!time || i < 2 || !text(i - 1).equals("for")) {
      return null;
    }
    if (isClaim(at)) {
      return "`for " + between(i, at - 1) + "` at the end: it is for all that the claim asks for";
    }
    int begin = i - 1;
    for (int depth = 0; begin > 0; begin--) {
      int type = type(begin - 1);
      depth += type == PlantParser.RIGHT ? 1 : 0;
      if (depth == 0 && (BEFORE_A_CONDITION.contains(type) || text(begin - 1).equals("="))) {
        break;
      }
      depth -= type == PlantParser.LEFT ? 1 : 0;
    }
    String whole = between(begin, at - 1);
    boolean oneLine = tokens.get(begin).getLine() == tokens.get(at).getLine();
    String condition =
        oneLine && whole.length() <= LONGEST ? whole : ".. for " + between(i, at - 1);
    return "(" + condition + ") " + text(at) + " ..";
  }

  /** Whether this token stands in a hazard or a requirement. */
  private boolean isClaim(int token) {
    int first = token;
    while (first > 0 && !(startsLine(first) && Recovery.DECLARING.contains(type(first)))) {
      first--;
    }
    return type(first) == PlantParser.HAZARD || type(first) == PlantParser.REQUIRE;
  }

  /** The text of these tokens as it stands in the file. */
  private String between(int first, int last) {
    Token begin = tokens.get(first);
    return begin
        .getInputStream()
        .getText(Interval.of(begin.getStartIndex(), tokens.get(last).getStopIndex()));
  }

  /** The words from here on, up to a sign or a word of the language, as a text. */
  private String quoted(int at) {
    int end = at;
    while (type(end + 1) == PlantParser.NAME
        && tokens.get(end + 1).getLine() == tokens.get(at).getLine()) {
      end++;
    }
    return "\"" + between(at, end) + "\"";
  }

  private int type(int i) {
    return i < 0 || i >= tokens.size() ? Token.EOF : tokens.get(i).getType();
  }

  private String text(int i) {
    return i < 0 || i >= tokens.size() ? "" : tokens.get(i).getText();
  }

  private boolean startsLine(int token) {
    return token == 0 || tokens.get(token - 1).getLine() < tokens.get(token).getLine();
  }

  /** Whether the line that this token stands on began as a list of the panel. */
  private boolean isPanelList(int token) {
    int first = token;
    while (!startsLine(first)) {
      first--;
    }
    return switch (type(first)) {
      case PlantParser.SELECTOR, PlantParser.BUTTON, PlantParser.HOLD_BUTTON -> true;
      default -> false;
    };
  }
}
