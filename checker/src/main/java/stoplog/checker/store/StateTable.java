package stoplog.checker.store;

import java.util.Arrays;

/**
 * A set of fixed-length records of {@code long} words that gives each record a dense index from 0 in
 * order of arrival.
 *
 * <p>Open addressing with linear probing over an {@code int[]} of indices, at most half full; the
 * records stand one after another in one array. Records are compared word by word: the hash decides
 * only where to look. Insertion and look-up take O(words) expected time; memory is {@code 8 * words +
 * 8 to 16} bytes a record, up to twice that while an array grows.
 */
public final class StateTable {
  private final int words;
  private long[] records;
  private int[] slots;
  private int size;

  public StateTable(int words) {
    this.words = words;
    this.records = new long[Math.max(1, words) * 64];
    this.slots = new int[256];
  }

  public int size() {
    return size;
  }

  public int words() {
    return words;
  }

  /** Index of the record, which is added if it is new. */
  public int add(long[] record) {
    int mask = slots.length - 1;
    int at = hash(record) & mask;
    while (slots[at] != 0) {
      if (same(slots[at] - 1, record)) {
        return slots[at] - 1;
      }
      at = (at + 1) & mask;
    }
    if ((long) (size + 1) * words > records.length) {
      records = Arrays.copyOf(records, grown(records.length));
    }
    System.arraycopy(record, 0, records, size * words, words);
    slots[at] = ++size;
    if (size * 2 > slots.length) {
      rehash();
    }
    return size - 1;
  }

  private static int grown(int length) {
    long next = Math.min(length * 2L, Integer.MAX_VALUE - 16L);
    if (next <= length) {
      throw new OutOfMemoryError("a state table of " + length + " words is full");
    }
    return (int) next;
  }

  /** Copies record {@code index} into {@code target}. */
  public void get(int index, long[] target) {
    System.arraycopy(records, index * words, target, 0, words);
  }

  /** Bytes of the arrays now held. */
  public long bytes() {
    return 8L * records.length + 4L * slots.length;
  }

  private boolean same(int index, long[] record) {
    int base = index * words;
    for (int i = 0; i < words; i++) {
      if (records[base + i] != record[i]) {
        return false;
      }
    }
    return true;
  }

  private void rehash() {
    int[] wider = new int[slots.length * 2];
    int mask = wider.length - 1;
    for (int id = 0; id < size; id++) {
      int at = hash(id * words) & mask;
      while (wider[at] != 0) {
        at = (at + 1) & mask;
      }
      wider[at] = id + 1;
    }
    slots = wider;
  }

  private int hash(int base) {
    long h = 0x9E3779B97F4A7C15L;
    for (int i = 0; i < words; i++) {
      h = mix(h ^ records[base + i]);
    }
    return (int) (h >>> 32);
  }

  private int hash(long[] record) {
    long h = 0x9E3779B97F4A7C15L;
    for (int i = 0; i < words; i++) {
      h = mix(h ^ record[i]);
    }
    return (int) (h >>> 32);
  }

  /** A bijection of 64 bits in which every input bit moves about half of the upper output bits. */
  private static long mix(long x) {
    long h = x * 0xD6E8FEB86659FD93L;
    h ^= h >>> 32;
    return h * 0xD6E8FEB86659FD93L;
  }
}
