package stoplog.dsl.lower;

import stoplog.source.Span;

/** Expressions as their author wrote them. */
final class AsWritten {
  private AsWritten() {}

  /**
   * On one line, without comments, with spaces where the canonical layout has them: the layout of a
   * text is no part of its meaning.
   */
  static String oneLine(Span span) {
    return span.text()
        .replaceAll("--[^\\r\\n]*", " ")
        .replaceAll("\\s*([<>]=?)\\s*", " $1 ")
        .replaceAll("\\s*,\\s*", ", ")
        .replaceAll("\\s*\\.\\.\\s*", "..")
        .replaceAll("(?<![\\w.])(?<!\\w-)(\\d+(?:\\.\\d+)?)(?=[a-zA-Z%])", "$1 ")
        .replaceAll("\\s+", " ")
        .replaceAll("\\( ", "(")
        .replaceAll(" \\)", ")");
  }
}
