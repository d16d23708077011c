package stoplog.dsl.syntax;

import java.util.List;
import org.jspecify.annotations.Nullable;

/**
 * A plant text as entries and blocks of entries: what a layout needs to know of it, and all of its
 * words and comments. White space is gone but for the line breaks that are the author's.
 *
 * @param entries the declarations
 * @param end what stands behind the last of them
 */
public record Outline(List<Entry> entries, Gap end) {
  public Outline {
    entries = List.copyOf(entries);
  }

  /**
   * A declaration, or one entry of a block.
   *
   * @param rule the name of its rule in the grammar: entries of one rule can stand in columns
   * @param pieces its words, at least one
   * @param block what stands in braces at its end
   */
  public record Entry(String rule, List<Piece> pieces, @Nullable Block block) {
    public Entry {
      pieces = List.copyOf(pieces);
    }
  }

  /**
   * Entries in braces.
   *
   * @param open what stands between the entry's last word and the opening brace
   * @param mayBeOneLine whether a short one is written on one line
   * @param column the column at which the opening brace stands, or 0
   * @param close what stands between the last entry and the closing brace
   */
  public record Block(
      Gap open, boolean mayBeOneLine, int column, List<Entry> entries, Gap close) {
    public Block {
      entries = List.copyOf(entries);
    }
  }

  /**
   * A word or sign.
   *
   * @param gap what stands between it and the piece before it
   * @param spaced whether a space goes before it on a line
   * @param breaking how tightly it is bound to the piece before: 0 never apart; 1 it begins a
   *     clause; larger numbers stand for places further inside an expression
   * @param keeps whether a line break before it is the author's choice
   * @param column the number of the column it begins, or 0 for none
   */
  public record Piece(
      String text, Gap gap, boolean spaced, int breaking, boolean keeps, int column) {}

  /**
   * What stands between two pieces.
   *
   * @param comments in order
   * @param lines line ends behind the last comment, or in all if there is none
   */
  public record Gap(List<Comment> comments, int lines) {
    public Gap {
      comments = List.copyOf(comments);
    }
  }

  /**
   * A comment.
   *
   * @param text from its dashes to its last visible character
   * @param lines line ends between it and what stands before: 0 if it trails on the same line
   */
  public record Comment(String text, int lines) {}
}
