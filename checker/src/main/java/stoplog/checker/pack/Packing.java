package stoplog.checker.pack;

/**
 * Where each field of a state stands in its words.
 *
 * <p>A field of n values takes {@code ceil(log2 n)} bits (none for n = 1) and never straddles two
 * words; fields fill the words in the order given. INVARIANT (padding-zero): unused bits are 0, so that
 * equal states have equal words.
 */
public final class Packing {
  private final int[] word;
  private final int[] shift;
  private final long[] mask;
  private final int words;
  private final int bits;

  /** Lays out fields with these numbers of values. */
  public Packing(int[] sizes) {
    word = new int[sizes.length];
    shift = new int[sizes.length];
    mask = new long[sizes.length];
    int at = 0;
    int used = 0;
    int total = 0;
    for (int i = 0; i < sizes.length; i++) {
      int width = 32 - Integer.numberOfLeadingZeros(sizes[i] - 1);
      if (used + width > 64) {
        at++;
        used = 0;
      }
      word[i] = at;
      shift[i] = used;
      mask[i] = (1L << width) - 1;
      used += width;
      total += width;
    }
    words = at + 1;
    bits = total;
  }

  public int words() {
    return words;
  }

  /** Bits that hold values. */
  public int bits() {
    return bits;
  }

  /** The word a field stands in. */
  public int word(int field) {
    return word[field];
  }

  /** The position of a field's lowest bit in its word. */
  public int shift(int field) {
    return shift[field];
  }

  /** The bits of a field, moved down to position 0. */
  public long mask(int field) {
    return mask[field];
  }

  public int get(long[] state, int field) {
    return (int) ((state[word[field]] >>> shift[field]) & mask[field]);
  }

  /** Adds a value to a field that is still 0. */
  public void put(long[] state, int field, int value) {
    state[word[field]] |= (long) value << shift[field];
  }
}
