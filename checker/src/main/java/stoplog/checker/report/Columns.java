package stoplog.checker.report;

import java.util.ArrayList;
import java.util.List;

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
    for (String word : clean(text).split(" +")) {
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
    for (String item : clean(text).split("(?<=,) ")) {
      tied.append(tied.isEmpty() ? "" : " ");
      tied.append(length(item) <= width ? item.replace(' ', '\u00a0') : item);
    }
    return wrap(tied.toString(), width).stream().map(l -> l.replace('\u00a0', ' ')).toList();
  }

  /** With a dot for each control or formatting character, so that no plant writes to the terminal. */
  static String clean(String text) {
    var clean = new StringBuilder(text.length());
    text.codePoints().forEach(c -> clean.appendCodePoint(strange(c) ? '\u00b7' : c));
    return clean.toString();
  }

  private static boolean strange(int c) {
    int type = Character.getType(c);
    return type == Character.CONTROL || type == Character.FORMAT || type == Character.SURROGATE;
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
