package stoplog.checker.store;

import java.util.Arrays;

/**
 * A set of fixed-length records of {@code long} words that gives each record a dense index from 0 in
 * order of arrival.
 *
 * <p>Open addressing with linear probing over {@code int} slots; the records stand one after another in
 * segments. A slot holds the index, with 1 added, in its lower bits and some bits of the hash above: as
 * many as the indices leave, one fewer each time the number of records doubles. Nearly always they tell
 * that a record is another one without a look at it, which would be a miss of the cache. Records are
 * compared word by word all the same: the hash decides only where to look.
 *
 * <p>Insertion and look-up take O(words) expected time. A large table is in parts by the upper bits of
 * the hash, each at most seven tenths full, which double at different times: so the memory grows evenly, by
 * about {@code 8 * words + 8} bytes a record, and growing needs little beside it.
 *
 * <p>Any number of threads may look up while none adds.
 */
public final class StateTable {
  private static final int SEGMENT_BITS = 14;
  private static final int IN_SEGMENT = (1 << SEGMENT_BITS) - 1;
  private static final int FIRST = 64;

  private static final int PART_BITS = 6;

  /** With so many slots the table falls into parts. */
  private static final int ONE_PART = 1 << 14;

  /** How many slots move to a larger array together. */
  private static final int LAID_AT_ONCE = 128;

  private static final int FIRST_SLOTS = 256;
  private static final int FIRST_INDEX_BITS = 16;

  private final int words;
  private long[][] segments;
  private int size;

  // A part with its number of records, and how many it takes before it grows.
  private int[][] parts = new int[1][FIRST_SLOTS];
  private int[] held = new int[1];
  private int[] most = {most(FIRST_SLOTS)};
  private long slots = FIRST_SLOTS;

  /** Bits of a slot that are not of the hash. */
  private int indexBits = FIRST_INDEX_BITS;

  public StateTable(int words) {
    this.words = words;
    this.segments = new long[1][words * FIRST];
  }

  public int size() {
    return size;
  }

  public int words() {
    return words;
  }

  /** Index of the record, which is added if it is new. */
  public int add(long[] record) {
    return add(record, 0, hash(record, 0));
  }

  /**
   * Index of the record that stands in the array from there on, which is added if it is new.
   *
   * @param hash its hash, as {@link #findAll} tells it
   */
  public int add(long[] array, int from, long hash) {
    int found = seek(array, from, hash);
    return found >= 0 ? found : append(array, from, hash, part(hash), -1 - found);
  }

  /**
   * Index of the record that stands in the array from there on, or if it is not in the table the place in
   * its part where it belongs, subtracted from -1.
   */
  private int seek(long[] array, int from, long hash) {
    int[] table = parts[part(hash)];
    int at = place(hash, table.length);
    int tag = tag(hash);
    for (int slot = table[at]; slot != 0; slot = table[at]) {
      if ((slot ^ tag) >>> indexBits == 0) {
        int index = indexIn(slot);
        if (same(index, array, from)) {
          return index;
        }
      }
      at = at + 1 == table.length ? 0 : at + 1;
    }
    return -1 - at;
  }

  /**
   * Looks up records that stand one after another from the beginning of an array.
   *
   * @param hashes receives the hash of each
   * @param found receives the index of each, or -1
   */
  public void findAll(long[] array, int count, long[] hashes, int[] found) {
    findMost(array, count, hashes, found);
    for (int i = 0; i < count; i++) {
      if (found[i] < 0) {
        found[i] = Math.max(-1, seek(array, i * words, hashes[i]));
      }
    }
  }

  /**
   * The same but for some records in the table of which it may say -1: those that do not stand in
   * the place that their hash tells. {@link #add(long[], int, long)} finds them, for whom that is
   * soon enough.
   *
   * <p>What takes time is fetching slots and records that the cache lacks. So the slots are read
   * for all records first, by a loop that does little else and has no branch that waits for them:
   * then many are fetched side by side. Records are compared where the slot makes it nearly certain
   * that they are equal, so that the processor goes on to the next meanwhile.
   */
  public void findMost(long[] array, int count, long[] hashes, int[] found) {
    for (int i = 0; i < count; i++) {
      hashes[i] = hash(array, i * words);
    }
    for (int i = 0; i < count; i++) {
      int[] table = parts[part(hashes[i])];
      found[i] = table[place(hashes[i], table.length)];
    }
    for (int i = 0; i < count; i++) {
      int slot = found[i];
      int index = -1;
      if (slot != 0 && (slot ^ tag(hashes[i])) >>> indexBits == 0) {
        index = indexIn(slot);
        if (!same(index, array, i * words)) {
          index = -1;
        }
      }
      found[i] = index;
    }
  }

  private int append(long[] array, int from, long hash, int part, int at) {
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
    long[] into = segments[segment];
    for (int i = 0; i < words; i++) {
      into[base + i] = array[from + i];
    }
    size++;
    if (size >>> indexBits != 0) {
      widenIndices();
    }
    parts[part][at] = tag(hash) & -1 << indexBits | size;
    if (++held[part] > most[part]) {
      grow(part);
    }
    return size - 1;
  }

  /** Copies record {@code index} into {@code target}. */
  public void get(int index, long[] target) {
    long[] segment = segments[index >> SEGMENT_BITS];
    int base = (index & IN_SEGMENT) * words;
    for (int i = 0; i < words; i++) {
      target[i] = segment[base + i];
    }
  }

  /** Bytes of the arrays held, with what growing will need next. */
  public long bytes() {
    long records = Math.max(FIRST, size + (long) Math.min(size, 1 << SEGMENT_BITS));
    return 8L * words * records + 4L * segments.length + 4 * slots + 8 * slots / parts.length;
  }

  private boolean same(int index, long[] array, int from) {
    long[] segment = segments[index >> SEGMENT_BITS];
    int base = (index & IN_SEGMENT) * words;
    if (segment[base] != array[from]) {
      return false;
    }
    for (int i = 1; i < words; i++) {
      if (segment[base + i] != array[from + i]) {
        return false;
      }
    }
    return true;
  }

  // ---- growing

  private static int most(int length) {
    return (int) (length * 7L / 10);
  }

  private void grow(int part) {
    int length = parts[part].length;
    if (parts.length == 1 && length >= ONE_PART) {
      fallApart();
      return;
    }
    long wider = length * 2L;
    if (wider > Integer.MAX_VALUE - 16L) {
      throw new OutOfMemoryError("a part of a state table of " + length + " places is full");
    }
    int[] old = parts[part];
    parts[part] = new int[(int) wider];
    most[part] = most((int) wider);
    slots += wider - length;
    lay(old);
  }

  /** From one part to many, each with another length, so that they do not grow all at once. */
  private void fallApart() {
    int[] old = parts[0];
    parts = new int[1 << PART_BITS][];
    held = new int[parts.length];
    most = new int[parts.length];
    int even = size / parts.length;
    slots = 0;
    for (int p = 0; p < parts.length; p++) {
      int length = (int) (even * 1.6 * Math.pow(2, (double) p / parts.length));
      parts[p] = new int[length];
      most[p] = most(length);
      slots += length;
    }
    for (int slot : old) {
      if (slot != 0) {
        held[part(hashOf(indexIn(slot)))]++;
      }
    }
    for (int p = 0; p < parts.length; p++) {
      if (held[p] > most[p]) {
        slots -= parts[p].length;
        parts[p] = new int[held[p] * 2];
        most[p] = most(parts[p].length);
        slots += parts[p].length;
      }
    }
    lay(old);
  }

  /**
   * Puts the slots of an array that is no longer in use where they belong now; some at a time,
   * whose records are read first, side by side.
   */
  private void lay(int[] old) {
    int[] slots = new int[LAID_AT_ONCE];
    long[] hashes = new long[LAID_AT_ONCE];
    for (int from = 0; from < old.length; from += LAID_AT_ONCE) {
      int to = Math.min(old.length, from + LAID_AT_ONCE);
      int count = 0;
      for (int i = from; i < to; i++) {
        slots[count] = old[i];
        count += old[i] == 0 ? 0 : 1;
      }
      for (int i = 0; i < count; i++) {
        hashes[i] = hashOf(indexIn(slots[i]));
      }
      for (int i = 0; i < count; i++) {
        lay(slots[i], hashes[i]);
      }
    }
  }

  private void lay(int slot, long hash) {
    int[] table = parts[part(hash)];
    int at = place(hash, table.length);
    while (table[at] != 0) {
      at = at + 1 == table.length ? 0 : at + 1;
    }
    table[at] = slot;
  }

  /** Gives one more bit of every slot to the index. */
  private void widenIndices() {
    for (int[] table : parts) {
      for (int at = 0; at < table.length; at++) {
        table[at] &= ~(1 << indexBits);
      }
    }
    indexBits++;
  }

  // ---- hashing: the upper bits tell the part, those below the place in it, the lowest go into the slot

  private int indexIn(int slot) {
    return (slot & (1 << indexBits) - 1) - 1;
  }

  private int part(long hash) {
    return (int) (hash >>> 64 - PART_BITS) & parts.length - 1;
  }

  /** Spreads the hash over any number of places. */
  private static int place(long hash, int length) {
    return (int) ((hash << PART_BITS >>> 32) * length >>> 32);
  }

  /** The bits of a slot that are of the hash, and others below them. */
  private static int tag(long hash) {
    return (int) hash << PART_BITS;
  }

  private long hashOf(int index) {
    return hash(segments[index >> SEGMENT_BITS], (index & IN_SEGMENT) * words);
  }

  private long hash(long[] array, int from) {
    long h = mix(0x9E3779B97F4A7C15L ^ array[from]);
    for (int i = 1; i < words; i++) {
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
