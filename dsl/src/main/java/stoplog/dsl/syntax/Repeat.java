package stoplog.dsl.syntax;

import org.jspecify.annotations.Nullable;

/**
 * The range of numbers in one element of a list, {@code FS-{1..8}}, and which of them it is now.
 * All ranges of an element are the same and count together.
 */
final class Repeat {
  /** No plant has so many of anything. */
  static final int MAX_NUMBERS = 1_000;

  private String range = "";
  private int number;
  private int last;
  private int width;

  /** What stands for the range now; {@code null} if the element has another range already. */
  @Nullable String fill(String written) {
    if (range.isEmpty()) {
      String[] ends = ends(written);
      range = written;
      width = ends[0].length();
      number = Integer.parseInt(ends[0]);
      last = Integer.parseInt(ends[1]);
    }
    return range.equals(written) ? padded(number, width) : null;
  }

  /** On to the next number; false at the end, and where there was no range. */
  boolean next() {
    return !range.isEmpty() && number++ < last;
  }

  /** Whether a range counts up from a number to one not far above. */
  static boolean isSound(String written) {
    String[] ends = ends(written);
    if (ends[0].length() > 8 || ends[1].length() > 8) {
      return false;
    }
    int count = Integer.parseInt(ends[1]) - Integer.parseInt(ends[0]);
    return count >= 0 && count < MAX_NUMBERS;
  }

  private static String[] ends(String written) {
    return written.substring(1, written.length() - 1).split("\\.\\.");
  }

  /** With leading zeros: 01 to 08. */
  static String padded(int number, int width) {
    String digits = Integer.toString(number);
    return "0".repeat(Math.max(0, width - digits.length())) + digits;
  }
}
