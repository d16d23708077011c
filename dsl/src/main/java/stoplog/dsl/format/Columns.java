package stoplog.dsl.format;

import java.util.ArrayList;
import java.util.List;
import java.util.Objects;
import java.util.TreeMap;
import java.util.TreeSet;
import stoplog.dsl.format.Line.Cell;

/**
 * Sets lines beside each other that follow one another and hold entries of one rule: what begins a
 * column begins at one place. So do comments behind lines that follow one another.
 *
 * <p>A column that would push a line beyond {@link #WIDTH} is set apart for lines that have the column
 * before it and lines that do not; what is still too wide is left ragged.
 */
final class Columns {
  /** Wider than what is broken: a line that just fits may still be set in columns. */
  static final int WIDTH = 116;

  private Columns() {}

  static String print(List<Line> lines) {
    var texts = new ArrayList<StringBuilder>();
    for (int begin = 0; begin < lines.size(); ) {
      int end = begin + 1;
      while (end < lines.size() && together(lines.get(begin), lines.get(end))) {
        end++;
      }
      texts.addAll(set(lines.subList(begin, end)));
      begin = end;
    }
    for (int begin = 0; begin < lines.size(); ) {
      int end = begin + 1;
      if (lines.get(begin).comment() != null) {
        while (end < lines.size() && lines.get(end).comment() != null) {
          end++;
        }
        comments(lines.subList(begin, end), texts.subList(begin, end));
      }
      begin = end;
    }
    return String.join("\n", texts) + "\n";
  }

  private static boolean together(Line a, Line b) {
    return !a.rule().isEmpty() && a.rule().equals(b.rule()) && a.indent() == b.indent();
  }

  private static List<StringBuilder> set(List<Line> run) {
    var texts = new ArrayList<StringBuilder>();
    var columns = new TreeSet<Integer>();
    int[] next = new int[run.size()];
    for (int i = 0; i < run.size(); i++) {
      texts.add(new StringBuilder(" ".repeat(run.get(i).indent())));
      run.get(i).cells().forEach(c -> columns.add(c.column()));
    }
    for (int column : columns) {
      var all = new ArrayList<Integer>();
      var apart = new TreeMap<Integer, List<Integer>>();
      for (int i = 0; i < run.size(); i++) {
        List<Cell> cells = run.get(i).cells();
        if (next[i] < cells.size() && cells.get(next[i]).column() == column) {
          all.add(i);
          int before = next[i] == 0 ? -1 : cells.get(next[i] - 1).column();
          apart.computeIfAbsent(before, b -> new ArrayList<>()).add(i);
        }
      }
      if (!pad(all, run, next, texts)) {
        apart.values().forEach(some -> pad(some, run, next, texts));
      }
      for (int i : all) {
        texts.get(i).append(next[i] == 0 ? "" : " ").append(run.get(i).cells().get(next[i]++).text());
      }
    }
    return texts;
  }

  /** Brings some lines to one width, if what is still to come has room behind it. */
  private static boolean pad(
      List<Integer> some, List<Line> run, int[] next, List<StringBuilder> texts) {
    int at = some.stream().mapToInt(i -> width(texts.get(i))).max().orElse(0);
    if (some.stream().anyMatch(i -> at + rest(run.get(i), next[i]) > WIDTH)) {
      return false;
    }
    some.forEach(i -> texts.get(i).append(" ".repeat(at - width(texts.get(i)))));
    return true;
  }

  private static int rest(Line line, int from) {
    int width = 0;
    for (int i = from; i < line.cells().size(); i++) {
      width += 1 + width(line.cells().get(i).text());
    }
    return width;
  }

  private static void comments(List<Line> run, List<StringBuilder> texts) {
    int at = 0;
    int longest = 0;
    for (int i = 0; i < run.size(); i++) {
      at = Math.max(at, width(texts.get(i)));
      longest = Math.max(longest, width(Objects.requireNonNull(run.get(i).comment())));
    }
    for (int i = 0; i < run.size(); i++) {
      StringBuilder text = texts.get(i);
      int pad = at + 2 + longest <= WIDTH ? at - width(text) : 0;
      text.append(" ".repeat(pad)).append("  ").append(run.get(i).comment());
    }
  }

  /** Columns that a text takes on the page: its code points. */
  static int width(CharSequence text) {
    return Character.codePointCount(text, 0, text.length());
  }
}
