package stoplog.dsl.syntax;

import java.util.ArrayList;
import java.util.List;
import java.util.Set;
import org.antlr.v4.runtime.ParserRuleContext;
import org.antlr.v4.runtime.Token;
import org.antlr.v4.runtime.tree.ParseTree;
import org.antlr.v4.runtime.tree.TerminalNode;
import org.jspecify.annotations.Nullable;
import stoplog.diag.Diagnostic;
import stoplog.dsl.syntax.Outline.Block;
import stoplog.dsl.syntax.Outline.Comment;
import stoplog.dsl.syntax.Outline.Entry;
import stoplog.dsl.syntax.Outline.Gap;
import stoplog.dsl.syntax.Outline.Piece;
import stoplog.source.SourceFile;

/**
 * Reads a plant text into its outline. Works on what the parser read, so that it knows every entry
 * of the grammar, with or without a meaning. Semicolons between entries leave no trace; those that
 * belong inside an entry are put in where they were left out.
 */
public final class OutlineReader {
  private static final Set<String> BLOCKS_OF_ONE_LINE =
      Set.of("equipmentBlock", "answerBlock", "stepBlock", "causeBlock", "levelBlock");

  /** A panel of several entries is a list to look at, one of a single entry is not. */
  private static final String ONE_LINE_FOR_ONE_ENTRY = "panelBlock";

  private final SourceFile file;
  private final Offsets offsets;
  private final List<Diagnostic> diagnostics;

  /** Where the last token ended, in UTF-16 units. */
  private int behind;

  /** White space and comments around semicolons that were dropped since the last piece. */
  private String carried = "";

  private List<Piece> pieces = new ArrayList<>();
  private @Nullable Block block;
  private String rule = "";
  private Places.Lead lead = Places.Lead.NONE;
  private int parentheses;

  private OutlineReader(SourceFile file, Offsets offsets, List<Diagnostic> diagnostics) {
    this.file = file;
    this.diagnostics = diagnostics;
    this.offsets = offsets;
  }

  /** The outline, or {@code null} with the errors of spelling and grammar told. Linear. */
  public static @Nullable Outline read(SourceFile file, List<Diagnostic> diagnostics) {
    var found = new ArrayList<Diagnostic>();
    ParsedText parsed = ParsedText.of(file, TreeReader.MAX_ERRORS, found);
    if (!found.isEmpty()) {
      diagnostics.addAll(found);
      return null;
    }
    var reader = new OutlineReader(file, parsed.offsets(), found);
    var entries = new ArrayList<Entry>();
    for (PlantParser.DeclarationContext d : parsed.declarations()) {
      entries.add(reader.entry(d));
    }
    int end = file.text().length();
    diagnostics.addAll(found);
    return found.isEmpty() ? new Outline(entries, reader.gap(end, end)) : null;
  }

  private Entry entry(ParserRuleContext context) {
    List<Piece> outerPieces = pieces;
    String outerRule = rule;
    pieces = new ArrayList<>();
    block = null;
    lead = Places.Lead.NONE;
    parentheses = 0;
    boolean wraps =
        context.getChildCount() == 1 && context.getChild(0) instanceof ParserRuleContext;
    rule = Places.rule(wraps ? (ParserRuleContext) context.getChild(0) : context);
    visit(context);
    var entry = new Entry(rule, pieces, block);
    block = null;
    pieces = outerPieces;
    rule = outerRule;
    return entry;
  }

  private void visit(ParserRuleContext context) {
    if (Places.rule(context).endsWith("Block")) {
      block = block(context);
      return;
    }
    if (Places.beginsBehindSemicolon(context)) {
      semicolon();
    }
    lead = lead.or(Places.lead(context, rule, pieces.size()));
    for (ParseTree child : context.children) {
      if (child instanceof ParserRuleContext c) {
        visit(c);
      } else if (child instanceof TerminalNode t) {
        piece(t.getSymbol(), context);
      }
    }
  }

  private Block block(ParserRuleContext context) {
    String name = Places.rule(context);
    int column = Places.column(rule, "{");
    var entries = new ArrayList<Entry>();
    Gap open = gap(((TerminalNode) context.getChild(0)).getSymbol());
    Gap close = new Gap(List.of(), 0);
    if (!name.equals("templateBlock")) {
      TreeBuilder.separated(
          context.getRuleContexts(ParserRuleContext.class), offsets, diagnostics);
    }
    for (int i = 1; i < context.getChildCount(); i++) {
      ParseTree child = context.getChild(i);
      if (child instanceof ParserRuleContext c) {
        entries.add(entry(c));
      } else if (child instanceof TerminalNode t) {
        if (i == context.getChildCount() - 1) {
          close = gap(t.getSymbol());
        } else {
          drop(t.getSymbol());
        }
      }
    }
    boolean oneLine =
        BLOCKS_OF_ONE_LINE.contains(name)
            || (name.equals(ONE_LINE_FOR_ONE_ENTRY) && entries.size() == 1);
    return new Block(open, oneLine, column, entries, close);
  }

  private void piece(Token token, ParserRuleContext context) {
    if (token.getType() == PlantParser.SEMICOLON) {
      drop(token);
      return;
    }
    if (token.getType() == PlantParser.RIGHT) {
      parentheses--;
    }
    String text = token.getText();
    if (Places.followsSemicolon(context, text)) {
      semicolon();
    }
    String before = pieces.isEmpty() ? "" : pieces.getLast().text();
    Places.Lead here =
        lead.or(Places.lead(context, text, before, pieces.size(), parentheses))
            .or(Places.columnLead(context, text, rule, token.getType(), pieces.size()));
    pieces.add(
        new Piece(
            text,
            gap(token),
            Places.spaced(context, before, text),
            here.breaking(),
            here.keeps(),
            here.column()));
    lead = Places.Lead.NONE;
    if (token.getType() == PlantParser.LEFT) {
      parentheses++;
    }
  }

  private void semicolon() {
    pieces.add(new Piece(";", new Gap(List.of(), 0), false, 0, false, 0));
  }

  private void drop(Token token) {
    int start = offsets.span(token, token).start();
    carried += file.text().substring(behind, start);
    behind = start + 1;
  }

  private Gap gap(Token token) {
    var span = offsets.span(token, token);
    return gap(span.start(), span.end());
  }

  /** What stands before {@code start}; goes on behind {@code end}. */
  private Gap gap(int start, int end) {
    String between = carried + file.text().substring(behind, start);
    carried = "";
    behind = end;
    var comments = new ArrayList<Comment>();
    int lines = 0;
    for (int i = 0; i < between.length(); i++) {
      char c = between.charAt(i);
      if (c == '-') {
        int stop = i;
        while (stop < between.length() && between.charAt(stop) != '\n' && between.charAt(stop) != '\r') {
          stop++;
        }
        comments.add(new Comment(between.substring(i, stop).stripTrailing(), lines));
        lines = 0;
        i = stop - 1;
      } else if (c == '\n' || (c == '\r' && !between.startsWith("\n", i + 1))) {
        lines++;
      }
    }
    return new Gap(comments, lines);
  }
}
