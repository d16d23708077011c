package stoplog.dsl.syntax;

import java.util.ArrayList;
import java.util.HashSet;
import java.util.List;
import java.util.Set;
import org.antlr.v4.runtime.CommonTokenStream;
import org.antlr.v4.runtime.ListTokenSource;
import org.antlr.v4.runtime.Token;
import org.antlr.v4.runtime.atn.PredictionMode;
import stoplog.diag.Code;
import stoplog.diag.Diagnostic;
import stoplog.dsl.tree.Declaration;
import stoplog.dsl.tree.PlantTree;
import stoplog.source.SourceFile;
import stoplog.source.Span;

/** Reads one plant text into its syntax tree. */
public final class TreeReader {
  /** So many errors are told of one file; a file with more is no plant that someone is writing. */
  static final int MAX_ERRORS = 20;

  private TreeReader() {}

  /**
   * The tree of everything that could be read; what could not is told in {@code diagnostics}.
   * Linear in the size of the text.
   */
  public static PlantTree read(SourceFile file, List<Diagnostic> diagnostics) {
    var offsets = new Offsets(file);
    var found = new ArrayList<Diagnostic>();
    List<Token> tokens = new TokenPass(file, offsets, found).run();
    if (tokens.isEmpty()) {
      diagnostics.addAll(found);
      return new PlantTree(file, List.of(), Set.of(""));
    }
    var messages = new SyntaxMessages(tokens, offsets, found);
    var stream = new CommonTokenStream(new ListTokenSource(tokens));
    stream.fill();
    var parser = new PlantParser(stream);
    parser.removeErrorListeners();
    // Each choice of the grammar is made on one or two tokens, so the faster mode decides the same.
    parser.getInterpreter().setPredictionMode(PredictionMode.SLL);
    var recovery = new Recovery(tokens, messages);
    parser.setErrorHandler(recovery);
    var read = new ArrayList<PlantParser.DeclarationContext>();
    while (stream.LA(1) != Token.EOF && found.size() <= MAX_ERRORS) {
      read.add(parser.declaration());
    }
    var builder = new TreeBuilder(offsets, recovery, found);
    var declarations = new ArrayList<Declaration>();
    for (PlantParser.DeclarationContext d : read) {
      if (builder.isWhole(d)) {
        builder.declare(d, declarations);
      }
    }
    var unread = new HashSet<>(recovery.unread());
    if (found.size() > MAX_ERRORS) {
      Span from = found.get(MAX_ERRORS).span();
      found.subList(MAX_ERRORS, found.size()).clear();
      Span rest = new Span(file, from.start(), from.start());
      found.add(
          Diagnostic.of(
              Code.TOO_MANY, rest, "too many errors; the text from here on was not read"));
      unread.add("");
    }
    diagnostics.addAll(found);
    return new PlantTree(file, declarations, unread);
  }
}
