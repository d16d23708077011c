package stoplog.dsl.syntax;

import java.util.ArrayList;
import java.util.List;
import org.antlr.v4.runtime.CommonTokenStream;
import org.antlr.v4.runtime.ListTokenSource;
import org.antlr.v4.runtime.Token;
import org.antlr.v4.runtime.atn.PredictionMode;
import stoplog.diag.Diagnostic;
import stoplog.source.SourceFile;

/**
 * What ANTLR made of a text.
 *
 * @param tokens all tokens, the last being the end of the file; empty for what is no text at all
 * @param declarations as far as they were read
 * @param recovery what was skipped
 */
record ParsedText(
    Offsets offsets,
    List<Token> tokens,
    List<PlantParser.DeclarationContext> declarations,
    Recovery recovery) {

  /** Reads until the end, or until more than so many errors are found. Linear. */
  static ParsedText of(SourceFile file, int maxErrors, List<Diagnostic> found) {
    var offsets = new Offsets(file);
    List<Token> tokens = new TokenPass(file, offsets, found).run();
    var messages = new SyntaxMessages(tokens, offsets, found);
    var recovery = new Recovery(tokens, messages);
    var declarations = new ArrayList<PlantParser.DeclarationContext>();
    if (tokens.isEmpty()) {
      return new ParsedText(offsets, tokens, declarations, recovery);
    }
    var stream = new CommonTokenStream(new ListTokenSource(tokens));
    stream.fill();
    var parser = new PlantParser(stream);
    parser.removeErrorListeners();
    // Each choice of the grammar is made on one or two tokens, so the faster mode decides the same.
    parser.getInterpreter().setPredictionMode(PredictionMode.SLL);
    parser.setErrorHandler(recovery);
    while (stream.LA(1) != Token.EOF && found.size() <= maxErrors) {
      declarations.add(parser.declaration());
    }
    return new ParsedText(offsets, tokens, declarations, recovery);
  }
}
