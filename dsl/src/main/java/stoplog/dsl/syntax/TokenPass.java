package stoplog.dsl.syntax;

import java.util.ArrayList;
import java.util.List;
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
 * begins the next line is never taken for one.
 */
final class TokenPass {
  /** Ten rules of the parser a level: far from any stack limit, far beyond any readable plant. */
  static final int MAX_DEPTH = 100;

  private static final int MAX_ODD = 20;

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
      unit(token);
      tokens.add(token);
      int type = token.getType();
      nots = type == PlantParser.NOT ? nots + 1 : 0;
      if (type == PlantParser.LEFT || type == PlantParser.LEFT_BRACE) {
        depth++;
      } else if (type == PlantParser.RIGHT || type == PlantParser.RIGHT_BRACE) {
        depth = Math.max(0, depth - 1);
      } else if (type == PlantParser.ODD && ++odd > MAX_ODD) {
        reject(token, Code.NOT_TEXT, "this is not a plant text",
            "too many characters that have no meaning in one", "");
      }
      if (depth + nots > MAX_DEPTH) {
        reject(token, Code.TOO_DEEP, "nested more than " + MAX_DEPTH + " deep",
            "", "give parts of it a name of their own: signal x = ...");
      }
    } while (readable && token.getType() != Token.EOF);
    return readable ? tokens : List.of();
  }

  private void unit(Token token) {
    if (tokens.isEmpty()) {
      return;
    }
    Token before = tokens.getLast();
    int type = token.getType();
    boolean word = type == PlantParser.NAME || type == PlantParser.WORD || type == PlantParser.PERCENT;
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
