package stoplog.dsl.syntax;

import java.util.ArrayList;
import java.util.List;
import java.util.Set;
import org.antlr.v4.runtime.CharStreams;
import org.antlr.v4.runtime.CommonToken;
import org.antlr.v4.runtime.Token;
import stoplog.diag.Code;
import stoplog.diag.Diagnostic;
import stoplog.source.SourceFile;
import stoplog.source.Span;

/**
 * Text to tokens, and what must be known before the parser may see them: that nesting is shallow
 * enough for a recursive parser, and that the text is a text. Linear.
 *
 * <p>A word or % directly behind a number on its line becomes a UNIT here, so that the word that
 * begins the next line is never taken for one. A name before a tag becomes a VERB where it begins a
 * command of the logic and a KIND where it begins equipment, so that an unfinished entry above
 * never swallows it as one more name.
 */
final class TokenPass {
  /** Ten rules of the parser a level: far from any stack limit, far beyond any readable plant. */
  static final int MAX_DEPTH = 100;

  private static final int MAX_ODD = 20;

  /** Behind these a state and its feedback tag follow, also on the next line. */
  private static final Set<Integer> LISTING =
      Set.of(PlantParser.COMMA, PlantParser.PROVES, PlantParser.AT, PlantParser.IN);

  private final SourceFile file;
  private final Offsets offsets;
  private final List<Token> tokens = new ArrayList<>();
  private final List<Diagnostic> diagnostics;
  private boolean readable = true;

  TokenPass(SourceFile file, Offsets offsets, List<Diagnostic> diagnostics) {
    this.file = file;
    this.offsets = offsets;
    this.diagnostics = diagnostics;
  }

  /** All tokens, the last being the end of the file; empty if the text cannot be parsed at all. */
  List<Token> run() {
    var lexer = new PlantLexer(CharStreams.fromString(file.text()));
    lexer.removeErrorListeners();
    int odd = 0;
    int depth = 0;
    int nots = 0;
    Token token;
    do {
      token = lexer.nextToken();
      if (token.getChannel() != Token.DEFAULT_CHANNEL) {
        continue;
      }
      // ANTLR counts line feeds only; lines here are those of the file, lone carriage returns too.
      ((CommonToken) token).setLine(file.lineOf(offsets.span(token, token).start()));
      unit(token);
      tokens.add(token);
      int type = token.getType();
      nots = type == PlantParser.NOT ? nots + 1 : 0;
      if (type == PlantParser.LEFT || type == PlantParser.LEFT_BRACE) {
        depth++;
      } else if (type == PlantParser.RIGHT || type == PlantParser.RIGHT_BRACE) {
        depth = Math.max(0, depth - 1);
      } else if (type == PlantParser.ODD && ++odd > MAX_ODD) {
        reject(
            token,
            Code.NOT_TEXT,
            "this is not a plant text",
            "too many characters that have no meaning in one",
            "");
      }
      if (depth + nots > MAX_DEPTH) {
        reject(
            token,
            Code.TOO_DEEP,
            "nested more than " + MAX_DEPTH + " deep",
            "",
            "give parts of it a name of their own: signal x = ...");
      }
    } while (readable && token.getType() != Token.EOF);
    begins();
    return readable ? tokens : List.of();
  }

  private void begins() {
    boolean inLogic = false;
    int depth = 0;
    for (int i = 0; i + 1 < tokens.size(); i++) {
      int type = tokens.get(i).getType();
      boolean first = i == 0 || tokens.get(i - 1).getLine() < tokens.get(i).getLine();
      boolean logic = type == PlantParser.LOGIC && typeAt(i + 1) == PlantParser.LEFT_BRACE;
      if (logic || (first && Recovery.DECLARING.contains(type))) {
        inLogic = type == PlantParser.LOGIC;
        depth = 0;
      } else if (type == PlantParser.LEFT_BRACE) {
        depth++;
      } else if (type == PlantParser.RIGHT_BRACE) {
        depth = Math.max(0, depth - 1);
        inLogic &= depth > 0;
      } else if (type == PlantParser.NAME && isPath(i)) {
        boolean open = typeAt(i + 1) == PlantParser.PATH;
        ((CommonToken) tokens.get(i)).setType(open ? PlantParser.OPEN : PlantParser.FLOW);
      } else if (type == PlantParser.NAME && typeAt(i + 1) == PlantParser.TAG) {
        int then = typeAt(i + 2);
        boolean described =
            then == PlantParser.STRING || then == PlantParser.LEFT_BRACE || then == PlantParser.BY;
        boolean listed = i > 0 && LISTING.contains(typeAt(i - 1));
        int before = i == 0 ? Token.EOF : typeAt(i - 1);
        boolean begins =
            first || before == PlantParser.LEFT_BRACE || before == PlantParser.SEMICOLON;
        boolean drives = then == PlantParser.WHEN || (begins && !listed && then != PlantParser.BY);
        if (inLogic && drives) {
          ((CommonToken) tokens.get(i)).setType(PlantParser.VERB);
        } else if (first && !listed && (depth == 0 || described)) {
          ((CommonToken) tokens.get(i)).setType(PlantParser.KIND);
          depth = 0;
        }
      }
    }
  }

  /** Whether {@code open} before {@code path}, or {@code flow} before {@code from}, stands here. */
  private boolean isPath(int i) {
    String word = tokens.get(i).getText();
    int next = typeAt(i + 1);
    if (typeAt(i + 2) == PlantParser.NUMBER) {
      // count flow from 0 to 8, 3 of flow from 201: there it is a name.
      return false;
    }
    return tokens.get(i).getLine() == tokens.get(Math.min(i + 1, tokens.size() - 1)).getLine()
        && ((word.equals("open") && next == PlantParser.PATH)
            || (word.equals("flow") && next == PlantParser.FROM));
  }

  private int typeAt(int i) {
    return i < tokens.size() ? tokens.get(i).getType() : Token.EOF;
  }

  private void unit(Token token) {
    if (tokens.isEmpty()) {
      return;
    }
    Token before = tokens.getLast();
    int type = token.getType();
    boolean word =
        type == PlantParser.NAME || type == PlantParser.WORD || type == PlantParser.PERCENT;
    if (before.getType() == PlantParser.NUMBER && word && before.getLine() == token.getLine()) {
      ((CommonToken) token).setType(PlantParser.UNIT);
    }
  }

  private void reject(Token at, Code code, String message, String why, String fix) {
    Span span = offsets.span(at, at);
    diagnostics.add(Diagnostic.of(code, span, message).withWhy(why).withFix(fix));
    readable = false;
  }
}
