package stoplog.checker.store;

import java.util.Arrays;

/**
 * A growing list of numbers from -1 up of which none is less than the one before it, in little more
 * than one bit an entry and one bit for each number that is passed.
 *
 * <p>The bits say, from the first: "one greater" (0) or "entry" (1). An entry is found from one whose place
 * is noted, every 256th; that takes time in proportion to the bits between them.
 */
public final class Ascending {
  private static final int NOTED_BITS = 8;

  private long[] bits = new long[4];
  private int[] noted = new int[4];
  private int size;
  private int used;

  public int size() {
    return size;
  }

  public void add(int value) {
    // The ones used are the entries, and so the zeros used are 1 more than the last number.
    int at = size + value + 1;
    if (at < used) {
      throw new IllegalArgumentException(value + " is less than the number before it");
    }
    if (at >> 6 >= bits.length) {
      bits = Arrays.copyOf(bits, Math.max((at >> 6) + 1, bits.length + bits.length / 2));
    }
    bits[at >> 6] |= 1L << at;
    if ((size & (1 << NOTED_BITS) - 1) == 0) {
      int note = size >> NOTED_BITS;
      if (note == noted.length) {
        noted = Arrays.copyOf(noted, note + note / 2);
      }
      noted[note] = at;
    }
    used = at + 1;
    size++;
  }

  public int get(int index) {
    int from = noted[index >> NOTED_BITS];
    // So many more entries to pass, beginning with the one noted.
    int left = index & (1 << NOTED_BITS) - 1;
    int word = from >> 6;
    long rest = bits[word] & -1L << from;
    while (Long.bitCount(rest) <= left) {
      left -= Long.bitCount(rest);
      rest = bits[++word];
    }
    for (; left > 0; left--) {
      rest &= rest - 1;
    }
    return (word << 6) + Long.numberOfTrailingZeros(rest) - index - 1;
  }

  /** Bytes now held. */
  public long bytes() {
    return 8L * bits.length + 4L * noted.length;
  }
}
