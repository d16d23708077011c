package stoplog.dsl.format;

import java.util.ArrayList;
import java.util.List;
import org.jspecify.annotations.Nullable;
import stoplog.diag.Diagnostic;
import stoplog.dsl.syntax.Outline;
import stoplog.dsl.syntax.OutlineReader;
import stoplog.source.SourceFile;

/**
 * Writes a plant text in the canonical layout: one entry a line, blocks set in by two, short blocks
 * of equipment on one line, similar lines in columns, lines that are too long broken before their
 * clauses and then before {@code or} and {@code and}.
 *
 * <p>The author's are: comments and whether they trail, blank lines (one; two between declarations),
 * and the line breaks behind the colon of a claim, before its options and before {@code holds when}.
 * All other white space is set anew. Formatting twice changes nothing more.
 */
public final class Formatter {
  private Formatter() {}

  /**
   * The text in its canonical layout, or {@code null} if it has errors of spelling or grammar, which
   * are told. Linear.
   *
   * @throws IllegalStateException if anything but white space and semicolons would change, a fault
   *     of this class
   */
  public static @Nullable String format(SourceFile file, List<Diagnostic> diagnostics) {
    Outline outline = OutlineReader.read(file, diagnostics);
    if (outline == null) {
      return null;
    }
    String text = Columns.print(new Layout().lines(outline));
    var set = new SourceFile(file.name(), text);
    Outline again = OutlineReader.read(set, new ArrayList<>());
    if (again == null || !words(outline).equals(words(again))) {
      throw new IllegalStateException("the layout of " + file.name() + " would change its words");
    }
    return text;
  }

  /** All words and comments in order, with the entries and blocks they stand in. */
  private static String words(Outline outline) {
    var all = new StringBuilder();
    outline.entries().forEach(e -> words(e, all));
    comments(outline.end(), all);
    return all.toString();
  }

  private static void words(Outline.Entry entry, StringBuilder all) {
    all.append('<').append(entry.rule());
    for (Outline.Piece p : entry.pieces()) {
      comments(p.gap(), all);
      all.append(' ').append(p.text());
    }
    if (entry.block() != null) {
      comments(entry.block().open(), all);
      all.append('{');
      entry.block().entries().forEach(e -> words(e, all));
      comments(entry.block().close(), all);
      all.append('}');
    }
    all.append('>');
  }

  private static void comments(Outline.Gap gap, StringBuilder all) {
    gap.comments().forEach(c -> all.append('\n').append(c.text()).append('\n'));
  }
}
