package stoplog.dsl.format;

import java.util.ArrayList;
import java.util.List;
import org.jspecify.annotations.Nullable;

/**
 * A line on its way to the page.
 *
 * @param rule the rule of the entry that this line holds whole; empty for anything else, which
 *     stands in no columns
 * @param cells texts and the columns they begin; empty for a blank line
 */
record Line(int indent, String rule, List<Cell> cells, @Nullable String comment) {
  Line {
    cells = List.copyOf(cells);
  }

  /** A text and the column it begins, 0 for none. */
  record Cell(int column, String text) {}

  static final Line BLANK = new Line(0, "", List.of(), null);

  static Line plain(int indent, String text) {
    return new Line(indent, "", List.of(new Cell(0, text)), null);
  }

  /** Whether a block begins behind this line. */
  boolean opens() {
    String last = cells.isEmpty() ? "" : cells.getLast().text();
    return last.endsWith("{") && !last.startsWith("--");
  }

  Line withComment(String text) {
    return new Line(indent, rule, cells, text);
  }

  /** With more text at its end. */
  Line extended(String text) {
    var more = new ArrayList<>(cells);
    more.set(more.size() - 1, new Cell(more.getLast().column(), more.getLast().text() + text));
    return new Line(indent, rule, more, comment);
  }
}
