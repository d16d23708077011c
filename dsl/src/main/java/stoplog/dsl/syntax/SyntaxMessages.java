package stoplog.dsl.syntax;

import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Set;
import java.util.TreeSet;
import java.util.regex.Pattern;
import org.antlr.v4.runtime.Token;
import org.antlr.v4.runtime.misc.IntervalSet;
import stoplog.diag.Code;
import stoplog.diag.Diagnostic;
import stoplog.source.Span;

/** Turns a token that does not fit into words for the person who wrote it. */
final class SyntaxMessages implements Recovery.Listener {
  private static final int MAX_EXPECTED = 7;

  /** A tag without its dash. */
  private static final Pattern UNDASHED = Pattern.compile("([A-Z]+)([0-9]+[A-Z]?)");

  /** Words that can be names too: whoever is told of a name need not be told of these. */
  static final Set<Integer> ALSO_NAMES =
      Set.of(
          PlantParser.RESET,
          PlantParser.HAND,
          PlantParser.FAULT,
          PlantParser.FAULTS,
          PlantParser.ON,
          PlantParser.START,
          PlantParser.END,
          PlantParser.RISE,
          PlantParser.FALL,
          PlantParser.KEY,
          PlantParser.FIRST,
          PlantParser.UP,
          PlantParser.DOWN,
          PlantParser.PRESENT,
          PlantParser.ABSENT,
          PlantParser.CLEAR,
          PlantParser.SOURCE,
          PlantParser.PORTS,
          PlantParser.HOLE);

  private final List<Token> tokens;
  private final Offsets offsets;
  private final List<Diagnostic> diagnostics;
  private final CommonMistakes mistakes;

  SyntaxMessages(List<Token> tokens, Offsets offsets, List<Diagnostic> diagnostics) {
    this.tokens = tokens;
    this.offsets = offsets;
    this.diagnostics = diagnostics;
    this.mistakes = new CommonMistakes(tokens);
  }

  @Override
  public void syntaxError(Token offending, IntervalSet expected, Token entry) {
    // The end of the file has no text to mark; what stands before it has.
    Token marked =
        offending.getType() == Token.EOF && tokens.size() > 1
            ? tokens.get(tokens.size() - 2)
            : offending;
    Span at = offsets.span(marked, marked);
    Span begin = offsets.span(entry, entry);
    String found = offending.getText();
    boolean wantsName = expected.contains(PlantParser.NAME);
    boolean wantsTag = expected.contains(PlantParser.TAG);
    int first = entry.getTokenIndex();
    boolean goesOn = first > 0 && tokens.get(first - 1).getLine() == entry.getLine();
    boolean nextFails = first + 1 == offending.getTokenIndex();
    if (entry.getType() == PlantParser.NAME
        && nextFails
        && (goesOn || entry.getLine() < offending.getLine())) {
      String how = goesOn ? "` does not fit here" : "` begins nothing known here";
      Diagnostic d = Diagnostic.of(Code.UNEXPECTED, begin, "`" + entry.getText() + how);
      String instead = mistakes.meant(entry, new IntervalSet());
      String stated = mistakes.meant(offending, expected);
      diagnostics.add(instead != null ? d.withFix(instead) : stated != null ? d.withFix(stated) : d);
      return;
    }
    boolean isWord =
        switch (offending.getType()) {
          case PlantParser.WORD, PlantParser.TAG, PlantParser.NAME -> true;
          default -> false;
        };
    if (offending.getType() == PlantParser.WORD && UNDASHED.matcher(found).matches()) {
      diagnostics.add(notATag(at, found, UNDASHED.matcher(found).replaceFirst("$1-$2")));
      return;
    }
    if (isWord && (wantsName || wantsTag) && !expected.contains(offending.getType())) {
      diagnostics.add(misspelt(at, found, wantsName, offending.getType()));
      return;
    }
    diagnostics.add(
        switch (offending.getType()) {
          case PlantParser.OPEN_STRING ->
              Diagnostic.of(Code.OPEN_QUOTE, at, "this text has no closing quote")
                  .withWhy("a text ends on the line on which it begins")
                  .withFix(found.stripTrailing() + "\"");
          case PlantParser.ODD ->
              strange(
                  Diagnostic.of(
                      Code.STRANGE_CHARACTER, at, "this character has no meaning here"),
                  offending,
                  expected);
          case PlantParser.BAD_TAG ->
              notATag(
                  at,
                  found,
                  wantsTag || !wantsName
                      ? found.toUpperCase(Locale.ROOT).replace('_', '-')
                      : found.toLowerCase(Locale.ROOT).replace('-', '_'));
          default ->
              wantsName && isReserved(offending) && !beginsAnew(offending)
                  && mistakes.meant(offending, expected) == null
                  ? Diagnostic.of(Code.RESERVED, at, "`" + found + "` is a word of the language")
                      .withLabel("cannot be a name")
                      .withFix("another name, such as `" + found.replace('-', '_') + "_1`")
                  : unexpected(offending, at, expected, entry);
        });
  }

  /** With what says the same here, for characters that other languages use. */
  private Diagnostic strange(Diagnostic d, Token offending, IntervalSet expected) {
    return switch (offending.getText()) {
      case "&" -> d.withFix("and");
      case "|" -> d.withFix("or");
      case "!" -> d.withFix("`not ...`, or `is not` before a state");
      case "/", "#", "*" -> d.withFix("two dashes begin a comment: `-- ...`");
      default -> {
        String meant = mistakes.meant(offending, expected);
        yield meant == null ? d : d.withFix(meant);
      }
    };
  }

  private static Diagnostic notATag(Span at, String found, String tag) {
    return Diagnostic.of(Code.SPELLING, at, "`" + found + "` is neither a tag nor a name")
        .withWhy(
            "tags are written in capitals and digits with a dash, names in lower case with _")
        .withFix(tag);
  }

  private static Diagnostic misspelt(Span at, String found, boolean wantsName, int type) {
    if (type == PlantParser.WORD && wantsName) {
      return Diagnostic.of(Code.SPELLING, at, "`" + found + "` is not written as a name")
          .withWhy(
              "names are written in lower case with _, tags in capitals and digits with a dash")
          .withFix(found.toLowerCase(Locale.ROOT).replace('/', '_'));
    }
    String is = type == PlantParser.TAG ? "a tag" : type == PlantParser.NAME ? "a name" : "no tag";
    String want = wantsName ? "a name in lower case" : "a tag such as FV-101";
    return Diagnostic.of(Code.SPELLING, at, "`" + found + "` is " + is)
        .withLabel("needs " + want)
        .withWhy("equipment, instruments and claims have tags, everything else has names");
  }

  private Diagnostic unexpected(Token offending, Span at, IntervalSet expected, Token entry) {
    Span begin = offsets.span(entry, entry);
    boolean atEnd = offending.getType() == Token.EOF;
    String message =
        atEnd
            ? "the file ends here, in the middle of an entry"
            : "`" + offending.getText() + "` does not fit here";
    Diagnostic d = Diagnostic.of(Code.UNEXPECTED, at, message);
    Set<String> wanted = new TreeSet<>();
    for (int type : expected.toList()) {
      boolean understood = expected.contains(PlantParser.NAME) && ALSO_NAMES.contains(type);
      if (type != PlantParser.SEMICOLON && !understood) {
        wanted.add(word(type));
      }
    }
    if (expected.contains(PlantParser.LEFT) && expected.contains(PlantParser.NOT)) {
      d = d.withLabel("needs a condition");
    } else if (!wanted.isEmpty() && wanted.size() <= MAX_EXPECTED) {
      d = d.withLabel("needs " + listed(new ArrayList<>(wanted)));
    }
    String instead = mistakes.meant(offending, expected);
    if (instead != null) {
      d = Diagnostic.of(Code.UNEXPECTED, at, message).withFix(instead);
    } else if (offending.getType() == PlantParser.COMMA && expected.contains(PlantParser.SEMICOLON)) {
      d = d.withFix("`;` or a new line between two entries");
    }
    return entry.getLine() < offending.getLine() ? d.withRelated(begin, "in this entry") : d;
  }

  private static String listed(List<String> words) {
    String last = words.removeLast();
    return words.isEmpty() ? last : String.join(", ", words) + " or " + last;
  }

  /** Whether the next declaration begins here: then the one before ends too early. */
  private boolean beginsAnew(Token t) {
    int at = t.getTokenIndex();
    return Recovery.DECLARING.contains(t.getType())
        && (at == 0 || tokens.get(at - 1).getLine() < t.getLine());
  }

  private static boolean isReserved(Token t) {
    return !t.getText().isEmpty()
        && Character.isLowerCase(t.getText().charAt(0))
        && PlantParser.VOCABULARY.getLiteralName(t.getType()) != null;
  }

  private static String word(int type) {
    return switch (type) {
      case PlantParser.NAME -> "a name";
      case PlantParser.TAG -> "a tag";
      case PlantParser.VERB -> "a command";
      case PlantParser.OPEN -> "`open`";
      case PlantParser.FLOW -> "`flow`";
      case PlantParser.HOLE -> "a part to fill in";
      case PlantParser.KIND -> "equipment";
      case PlantParser.STRING -> "a text in quotes";
      case PlantParser.NUMBER -> "a number";
      case PlantParser.UNIT, PlantParser.WORD -> "a unit";
      case Token.EOF -> "the end";
      default -> {
        String literal = PlantParser.VOCABULARY.getLiteralName(type);
        yield literal == null
            ? PlantParser.VOCABULARY.getDisplayName(type)
            : "`" + literal.substring(1, literal.length() - 1) + "`";
      }
    };
  }
}
