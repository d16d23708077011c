package stoplog.source;

import java.util.Arrays;
import java.util.function.UnaryOperator;
import org.jspecify.annotations.Nullable;

/**
 * One text file of a plant, with the offsets at which its lines begin.
 *
 * <p>Offsets count UTF-16 units from 0; lines and columns count from 1 and columns count code points,
 * so that a caret printed under a line stands where an editor puts its cursor. Line ends are LF,
 * CR LF or a lone CR. A look-up costs O(log lines).
 */
public final class SourceFile {
  private final String name;
  private final String text;
  private final int[] lineStarts;
  private final @Nullable Span use;
  private final UnaryOperator<String> filled;
  private final SourceFile original;

  /**
   * @param name the path as a reader should see it, relative to where the command was given
   * @param text the whole decoded text
   */
  public SourceFile(String name, String text) {
    this.name = name;
    this.text = text;
    this.lineStarts = lineStarts(text);
    this.use = null;
    this.filled = UnaryOperator.identity();
    this.original = this;
  }

  private SourceFile(SourceFile original, Span use, UnaryOperator<String> filled) {
    this.name = original.name;
    this.text = original.text;
    this.lineStarts = original.lineStarts;
    this.use = use;
    this.filled = filled;
    this.original = original;
  }

  /**
   * The same text, read once more for one use of a part of it, such as a template. Places in it are
   * shown as those of the original; they are equal only to places of the same use. O(1).
   *
   * @param at what uses it
   * @param filledThere what becomes of a passage in this use
   */
  public SourceFile usedAt(Span at, UnaryOperator<String> filledThere) {
    return new SourceFile(original, at, filledThere);
  }

  /** What uses this text; {@code null} if it is read for itself. */
  public @Nullable Span use() {
    return use;
  }

  /** A passage as this use means it. */
  String passage(int start, int end) {
    return filled.apply(text.substring(start, end));
  }

  /** The file as it was read for itself. */
  public SourceFile original() {
    return original;
  }

  private static int[] lineStarts(String text) {
    int[] starts = new int[16];
    int count = 1;
    for (int i = 0; i < text.length(); i++) {
      char c = text.charAt(i);
      boolean ends = c == '\n' || (c == '\r' && (i + 1 == text.length() || text.charAt(i + 1) != '\n'));
      if (ends) {
        if (count == starts.length) {
          starts = Arrays.copyOf(starts, count * 2);
        }
        starts[count++] = i + 1;
      }
    }
    return Arrays.copyOf(starts, count);
  }

  public String name() {
    return name;
  }

  public String text() {
    return text;
  }

  public int lineCount() {
    return lineStarts.length;
  }

  /** The line that holds this offset, from 1. */
  public int lineOf(int offset) {
    int found = Arrays.binarySearch(lineStarts, offset);
    return found >= 0 ? found + 1 : -found - 1;
  }

  /** The column of this offset in its line, in code points from 1. */
  public int columnOf(int offset) {
    int start = lineStarts[lineOf(offset) - 1];
    return text.codePointCount(start, Math.min(offset, text.length())) + 1;
  }

  /** The offset at which a line begins. */
  public int startOf(int line) {
    return lineStarts[line - 1];
  }

  /** The offset behind the last character of a line, its line end not counted. */
  public int endOf(int line) {
    int start = lineStarts[line - 1];
    int end = line < lineStarts.length ? lineStarts[line] : text.length();
    while (end > start && (text.charAt(end - 1) == '\n' || text.charAt(end - 1) == '\r')) {
      end--;
    }
    return end;
  }

  @Override
  public String toString() {
    return name;
  }
}
