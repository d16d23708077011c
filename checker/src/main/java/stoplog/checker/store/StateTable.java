package stoplog.checker.store;

import java.util.Arrays;

/**
 * A set of fixed-length records of {@code long} words that gives each record a dense index from 0 in
 * order of arrival.
 *
 * <p>Open addressing with linear probing over an {@code int[]} of indices, at most three quarters
 * full, that grows by a quarter once it is large; the records stand one after another in segments.
 * Records are compared word by word: the hash decides only where to look. Insertion and look-up take
 * O(words) expected time; memory is {@code 8 * words + 5.4 to 6.7} bytes a record. While the indices
 * are laid out anew the old ones are already gone, so growing needs no more than what comes of it.
 *
 * <p>Any number of threads may look up while none adds.
 */
public final class StateTable {
  private static final int SEGMENT_BITS = 12;
  private static final int IN_SEGMENT = (1 << SEGMENT_BITS) - 1;
  private static final int FIRST = 64;

  /** Up to here the indices double. */
  private static final int SMALL = 1 << 16;

  private final int words;
  private long[][] segments;
  private int[] slots;
  private int size;
  private int most;

  public StateTable(int words) {
    this.words = words;
    this.segments = new long[1][words * FIRST];
    layOut(256);
  }

  public int size() {
    return size;
  }

  public int words() {
    return words;
  }

  /** Index of the record, which is added if it is new. */
  public int add(long[] record) {
    int at = place(hash(record, 0));
    while (slots[at] != 0) {
      if (same(slots[at] - 1, record, 0)) {
        return slots[at] - 1;
      }
      at = at + 1 == slots.length ? 0 : at + 1;
    }
    append(record);
    slots[at] = size;
    if (size > most) {
      layOut(grown(slots.length));
    }
    return size - 1;
  }

  /** Index of the record that stands in the array from there on, or -1 if it is not in the table. */
  public int find(long[] array, int from) {
    int at = place(hash(array, from));
    while (slots[at] != 0) {
      if (same(slots[at] - 1, array, from)) {
        return slots[at] - 1;
      }
      at = at + 1 == slots.length ? 0 : at + 1;
    }
    return -1;
  }

  private void append(long[] record) {
    int segment = size >> SEGMENT_BITS;
    if (segment == segments.length) {
      segments = Arrays.copyOf(segments, segment * 2);
    }
    int base = (size & IN_SEGMENT) * words;
    if (segment > 0 && base == 0) {
      segments[segment] = new long[words << SEGMENT_BITS];
    } else if (base + words > segments[segment].length) {
      segments[segment] = Arrays.copyOf(segments[segment], segments[segment].length * 2);
    }
    System.arraycopy(record, 0, segments[segment], base, words);
    size++;
  }

  private static int grown(int length) {
    long next = length < SMALL ? length * 2L : length + length / 4L;
    if (next > Integer.MAX_VALUE - 16L) {
      throw new OutOfMemoryError("a state table of " + length + " places is full");
    }
    return (int) next;
  }

  /** Copies record {@code index} into {@code target}. */
  public void get(int index, long[] target) {
    System.arraycopy(
        segments[index >> SEGMENT_BITS], (index & IN_SEGMENT) * words, target, 0, words);
  }

  /** Bytes of the arrays held, the indices as large as they will be when they next grow. */
  public long bytes() {
    long records = Math.max(FIRST, size + (long) Math.min(size, 1 << SEGMENT_BITS));
    return 8L * words * records + 4L * segments.length + 5L * slots.length;
  }

  private boolean same(int index, long[] array, int from) {
    long[] segment = segments[index >> SEGMENT_BITS];
    int base = (index & IN_SEGMENT) * words;
    for (int i = 0; i < words; i++) {
      if (segment[base + i] != array[from + i]) {
        return false;
      }
    }
    return true;
  }

  private void layOut(int length) {
    // The old ones go first: everything in them is found again from the records.
    slots = new int[0];
    slots = new int[length];
    most = (int) (length / 4 * 3L);
    for (int id = 0; id < size; id++) {
      int at = place(hash(segments[id >> SEGMENT_BITS], (id & IN_SEGMENT) * words));
      while (slots[at] != 0) {
        at = at + 1 == length ? 0 : at + 1;
      }
      slots[at] = id + 1;
    }
  }

  /** Spreads the hash over any number of places. */
  private int place(long hash) {
    return (int) ((hash >>> 32) * slots.length >>> 32);
  }

  private long hash(long[] array, int from) {
    long h = 0x9E3779B97F4A7C15L;
    for (int i = 0; i < words; i++) {
      h = mix(h ^ array[from + i]);
    }
    return h;
  }

  /** A bijection of 64 bits in which every input bit moves about half of the upper output bits. */
  private static long mix(long x) {
    long h = x * 0xD6E8FEB86659FD93L;
    h ^= h >>> 32;
    return h * 0xD6E8FEB86659FD93L;
  }
}
