package stoplog.checker.report;

import java.util.ArrayList;
import java.util.List;
import stoplog.diag.Visible;

/** Text set in a page of 100 columns. Widths count code points. */
final class Columns {
  static final int WIDTH = 100;

  private Columns() {}

  /**
   * Breaks a text at blanks into lines of at most this width; a longer word gets a line of its own.
   * At least one line, possibly empty. {@link #clean Clean}.
   */
  static List<String> wrap(String text, int width) {
    var lines = new ArrayList<String>();
    var line = new StringBuilder();
    for (String word : Visible.of(text).split(" +")) {
      if (!line.isEmpty() && length(line) + 1 + length(word) > width) {
        lines.add(line.toString());
        line.setLength(0);
      }
      line.append(line.isEmpty() ? "" : " ").append(word);
    }
    lines.add(line.toString());
    return lines;
  }

  /** The same, but breaks after a comma where it can, so that what belongs together stays together. */
  static List<String> wrapAtCommas(String text, int width) {
    var tied = new StringBuilder();
    for (String item : Visible.of(text).split("(?<=,) ")) {
      tied.append(tied.isEmpty() ? "" : " ");
      tied.append(length(item) <= width ? item.replace(' ', '\u00a0') : item);
    }
    return wrap(tied.toString(), width).stream().map(l -> l.replace('\u00a0', ' ')).toList();
  }

  static String left(String text, int width) {
    return text + " ".repeat(Math.max(0, width - length(text)));
  }

  static String right(String text, int width) {
    return " ".repeat(Math.max(0, width - length(text))) + text;
  }

  private static int length(CharSequence text) {
    return Character.codePointCount(text, 0, text.length());
  }

  static int length(String text) {
    return length((CharSequence) text);
  }
}
