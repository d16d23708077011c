package stoplog.dsl.syntax;

import org.antlr.v4.runtime.Token;
import stoplog.source.SourceFile;
import stoplog.source.Span;

/**
 * ANTLR counts code points, spans count UTF-16 units. The two differ only in texts with characters
 * outside the basic plane, and only those pay for a table of 4 bytes a character.
 */
final class Offsets {
  private final SourceFile file;
  private final int[] unitOfCodePoint;

  Offsets(SourceFile file) {
    this.file = file;
    String text = file.text();
    int points = text.codePointCount(0, text.length());
    unitOfCodePoint = points == text.length() ? new int[0] : new int[points + 1];
    for (int point = 0, unit = 0; point < unitOfCodePoint.length; point++) {
      unitOfCodePoint[point] = unit;
      unit += unit < text.length() ? Character.charCount(text.codePointAt(unit)) : 0;
    }
  }

  private Offsets(SourceFile view, Offsets original) {
    this.file = view;
    this.unitOfCodePoint = original.unitOfCodePoint;
  }

  /** The same for a view of the same text. O(1). */
  Offsets in(SourceFile view) {
    return new Offsets(view, this);
  }

  private int unit(int point) {
    return unitOfCodePoint.length == 0 ? point : unitOfCodePoint[point];
  }

  /** From the begin of one token to the end of another. The end of the file has no width. */
  Span span(Token first, Token last) {
    int start = unit(first.getStartIndex());
    int end =
        last.getType() == Token.EOF ? unit(last.getStartIndex()) : unit(last.getStopIndex() + 1);
    return new Span(file, start, Math.max(start, end));
  }
}
