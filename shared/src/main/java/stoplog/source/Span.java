package stoplog.source;

import org.jspecify.annotations.Nullable;

/**
 * A stretch of one file, {@code [start, end)} in UTF-16 offsets; the place a thing of the model comes
 * from. {@link #NONE} stands for things that nobody wrote down, such as models built by tests.
 */
public record Span(@Nullable SourceFile file, int start, int end) {
  public static final Span NONE = new Span(null, 0, 0);

  public Span {
    if (start < 0 || end < start) {
      throw new IllegalArgumentException("span " + start + ".." + end);
    }
  }

  public boolean isKnown() {
    return file != null;
  }

  /** {@code file:line:column}, or {@code (no source)}. */
  public String place() {
    return file == null
        ? "(no source)"
        : file.name() + ":" + file.lineOf(start) + ":" + file.columnOf(start);
  }

  /** The text the span covers, as the use means it that this is a place of; or the empty string. */
  public String text() {
    return file == null ? "" : file.passage(start, end);
  }

  @Override
  public String toString() {
    return place();
  }
}
