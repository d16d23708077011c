package stoplog.dsl.format;

import java.util.ArrayList;
import java.util.List;
import java.util.function.IntPredicate;
import org.jspecify.annotations.Nullable;
import stoplog.dsl.format.Line.Cell;
import stoplog.dsl.syntax.Outline;
import stoplog.dsl.syntax.Outline.Block;
import stoplog.dsl.syntax.Outline.Comment;
import stoplog.dsl.syntax.Outline.Entry;
import stoplog.dsl.syntax.Outline.Gap;
import stoplog.dsl.syntax.Outline.Piece;

/** From the outline of a text to its lines. Which breaks it makes depends on no break it made. */
final class Layout {
  /** Lines longer than this are broken where they can be. */
  static final int WIDTH = 110;

  private static final int STEP = 2;

  private final List<Line> lines = new ArrayList<>();

  List<Line> lines(Outline outline) {
    outline.entries().forEach(e -> entry(e, 0));
    comments(outline.end(), 0, 2);
    return lines;
  }

  private void entry(Entry entry, int indent) {
    Gap before = entry.pieces().getFirst().gap();
    int most = indent == 0 ? 2 : 1;
    comments(before, indent, most);
    blank(before.lines(), most);
    Line whole = whole(entry, indent);
    if (whole != null) {
      lines.add(whole);
      return;
    }
    Block block = entry.block();
    broken(entry.pieces(), indent, block == null ? STEP : 2 * STEP, block == null ? 0 : 2);
    if (block != null) {
      block(block, indent);
    }
  }

  private void block(Block block, int indent) {
    comments(block.open(), indent, 0);
    boolean behindComment = !block.open().comments().isEmpty();
    String open = behindComment ? "{" : " {";
    boolean empty = block.entries().isEmpty() && block.close().comments().isEmpty();
    String text = empty ? open + " }" : open;
    if (behindComment) {
      lines.add(Line.plain(indent, text));
    } else {
      lines.add(lines.removeLast().extended(text));
    }
    if (!empty) {
      block.entries().forEach(e -> entry(e, indent + STEP));
      comments(block.close(), indent + STEP, 1);
      lines.add(Line.plain(indent, "}"));
    }
  }

  /** The comments of a gap: behind the last line where they trail it, else on lines of their own. */
  private void comments(Gap gap, int indent, int mostBlank) {
    for (Comment c : gap.comments()) {
      if (c.lines() == 0 && !lines.isEmpty()) {
        lines.add(lines.removeLast().withComment(c.text()));
      } else {
        blank(c.lines(), mostBlank);
        lines.add(Line.plain(indent, c.text()));
      }
    }
  }

  /** Blank lines for so many line ends; none at the begin of the text or of a block. */
  private void blank(int lineEnds, int most) {
    if (!lines.isEmpty() && !lines.getLast().opens()) {
      for (int i = 1; i < Math.min(lineEnds, most + 1); i++) {
        lines.add(Line.BLANK);
      }
    }
  }

  /** The entry on one line, if it may and can stand there. */
  private static @Nullable Line whole(Entry entry, int indent) {
    Block block = entry.block();
    if (!onOneLine(entry.pieces(), 1) || (block != null && !mayBeOneLine(block))) {
      return null;
    }
    var cells = new ArrayList<Cell>();
    int width = indent;
    for (Cell c : cells(entry.pieces())) {
      cells.add(c);
      width += 1 + Columns.width(c.text());
    }
    if (block != null) {
      String text = oneLine(block);
      width += 1 + Columns.width(text);
      if (block.column() > cells.getLast().column()) {
        cells.add(new Cell(block.column(), text));
      } else {
        Cell last = cells.removeLast();
        cells.add(new Cell(last.column(), last.text() + " " + text));
      }
    }
    return width - 1 <= WIDTH ? new Line(indent, entry.rule(), cells, null) : null;
  }

  private static boolean mayBeOneLine(Block block) {
    return block.mayBeOneLine()
        && block.open().comments().isEmpty()
        && block.close().comments().isEmpty()
        && block.entries().stream()
            .allMatch(e -> e.block() == null && onOneLine(e.pieces(), 0));
  }

  /** Whether the author leaves no break among these pieces. */
  private static boolean onOneLine(List<Piece> pieces, int from) {
    for (int i = from; i < pieces.size(); i++) {
      if (!pieces.get(i).gap().comments().isEmpty() || (i > 0 && chosen(pieces.get(i)))) {
        return false;
      }
    }
    return true;
  }

  private static boolean chosen(Piece piece) {
    return piece.keeps() && piece.gap().lines() > 0;
  }

  private static String oneLine(Block block) {
    var all = new ArrayList<String>();
    block.entries().forEach(e -> all.add(text(e.pieces(), 0, e.pieces().size())));
    return all.isEmpty() ? "{ }" : "{ " + String.join("; ", all) + " }";
  }

  private static List<Cell> cells(List<Piece> pieces) {
    var cells = new ArrayList<Cell>();
    int begin = 0;
    for (int i = 1; i <= pieces.size(); i++) {
      int column = i < pieces.size() ? pieces.get(i).column() : 1;
      if (column > pieces.get(begin).column() || i == pieces.size()) {
        cells.add(new Cell(begin == 0 ? 0 : pieces.get(begin).column(), text(pieces, begin, i)));
        begin = i;
      }
    }
    return cells;
  }

  private static String text(List<Piece> pieces, int from, int to) {
    var text = new StringBuilder();
    for (int i = from; i < to; i++) {
      Piece p = pieces.get(i);
      text.append(i > from && p.spaced() ? " " : "").append(p.text());
    }
    return text.toString();
  }

  /** Pieces on several lines; {@code reserve} columns stay free behind the last. */
  private void broken(List<Piece> pieces, int indent, int further, int reserve) {
    var ends = new int[pieces.size() + 1];
    for (int i = 0; i < pieces.size(); i++) {
      Piece p = pieces.get(i);
      ends[i + 1] = ends[i] + (p.spaced() ? 1 : 0) + Columns.width(p.text());
    }
    ends[pieces.size()] += reserve;
    var breaks = new Breaks(pieces, ends, indent, further);
    int begin = 0;
    for (int end : breaks.all()) {
      Gap gap = pieces.get(begin).gap();
      if (begin > 0) {
        comments(gap, indent + further, 0);
      }
      lines.add(Line.plain(begin == 0 ? indent : indent + further, text(pieces, begin, end)));
      begin = end;
    }
  }

  /**
   * Where an entry is broken: where the author or a comment says so; what is still too long, at all
   * places the author may choose; what is still too long, before all clauses; what is still too
   * long, at the last of the loosest places that fit.
   *
   * @param ends how wide all pieces up to each are
   */
  private record Breaks(List<Piece> pieces, int[] ends, int indent, int further) {
    /** The ends of all lines, as numbers of pieces. */
    List<Integer> all() {
      var found = new ArrayList<Integer>();
      split(
          0,
          pieces.size(),
          i -> !pieces.get(i).gap().comments().isEmpty() || chosen(pieces.get(i)),
          (begin, end) ->
              choices(begin, end, found));
      return found;
    }

    private interface Stretch {
      void of(int begin, int end);
    }

    private static void split(int begin, int end, IntPredicate at, Stretch then) {
      int from = begin;
      for (int i = begin + 1; i <= end; i++) {
        if (i == end || at.test(i)) {
          then.of(from, i);
          from = i;
        }
      }
    }

    private void choices(int begin, int end, List<Integer> found) {
      if (fits(begin, end)) {
        found.add(end);
      } else {
        split(begin, end, i -> pieces.get(i).keeps(), (b, e) -> clauses(b, e, found));
      }
    }

    private void clauses(int begin, int end, List<Integer> found) {
      if (fits(begin, end)) {
        found.add(end);
      } else {
        split(begin, end, i -> pieces.get(i).breaking() == 1, (b, e) -> filled(b, e, found));
      }
    }

    private void filled(int begin, int end, List<Integer> found) {
      int from = begin;
      while (!fits(from, end)) {
        int best = -1;
        for (int i = from + 1; i < end && (best < 0 || fits(from, i)); i++) {
          int level = pieces.get(i).breaking();
          if (level > 0 && (best < 0 || level <= pieces.get(best).breaking())) {
            best = i;
          }
        }
        if (best < 0) {
          break;
        }
        found.add(best);
        from = best;
      }
      found.add(end);
    }

    private boolean fits(int begin, int end) {
      int spaced = begin > 0 && pieces.get(begin).spaced() ? 1 : 0;
      int width = ends[end] - ends[begin] - spaced;
      return (begin == 0 ? indent : indent + further) + width <= WIDTH;
    }
  }
}
