package stoplog.checker.store;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.HashMap;
import java.util.List;
import java.util.Random;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

class StateTableTest {
  @ParameterizedTest
  @ValueSource(ints = {1, 2, 3, 7})
  void givesTheIndicesThatAHashMapGives(int words) {
    var random = new Random(words);
    var table = new StateTable(words);
    var map = new HashMap<List<Long>, Integer>();
    var records = new ArrayList<long[]>();
    for (int i = 0; i < 60_000; i++) {
      boolean again = i > 0 && random.nextInt(3) == 0;
      long[] record =
          again ? records.get(random.nextInt(records.size())) : anyRecord(random, words);
      Integer known = map.putIfAbsent(Arrays.stream(record).boxed().toList(), map.size());
      int index = table.add(record);
      assertEquals(known == null ? records.size() : known, index, "record " + i);
      if (known == null) {
        records.add(record);
      }
      assertEquals(map.size(), table.size());
    }
    long[] back = new long[words];
    for (int i = 0; i < records.size(); i++) {
      table.get(i, back);
      assertArrayEquals(records.get(i), back);
    }
  }

  @ParameterizedTest
  @ValueSource(ints = {1, 2, 3})
  void manyLookedUpAtOnceAreFoundAsOneByOne(int words) {
    var random = new Random(words);
    var table = new StateTable(words);
    var map = new HashMap<List<Long>, Integer>();
    int most = 0;
    int all = 0;
    for (int round = 0; round < 600; round++) {
      int count = random.nextInt(200);
      long[] records = new long[count * words];
      for (int i = 0; i < count; i++) {
        System.arraycopy(anyRecord(random, words), 0, records, i * words, words);
      }
      long[] hashes = new long[count];
      int[] found = new int[count];
      table.findMost(records, count, hashes, found);
      for (int i = 0; i < count; i++) {
        List<Long> key =
            Arrays.stream(records, i * words, (i + 1) * words).boxed().toList();
        if (found[i] >= 0) {
          assertEquals(map.get(key), found[i], "record " + i + " of round " + round);
          most++;
        }
      }
      table.findAll(records, count, hashes, found);
      for (int i = 0; i < count; i++) {
        List<Long> key =
            Arrays.stream(records, i * words, (i + 1) * words).boxed().toList();
        assertEquals(map.getOrDefault(key, -1), found[i], "record " + i + " of round " + round);
        all += found[i] >= 0 ? 1 : 0;
      }
      for (int i = 0; i < count; i++) {
        List<Long> key =
            Arrays.stream(records, i * words, (i + 1) * words).boxed().toList();
        if (found[i] < 0) {
          Integer known = map.putIfAbsent(key, map.size());
          int index = table.add(records, i * words, hashes[i]);
          assertEquals(known == null ? map.size() - 1 : known, index);
        }
      }
    }
    assertTrue(most > all / 2, "only " + most + " of " + all + " were found at once");
  }

  /** Every few records the memory is looked at: it never grows much at once. */
  @Test
  void aLargeTableGrowsEvenly() {
    var table = new StateTable(1);
    long[] record = new long[1];
    long before = 0;
    for (int i = 0; i < 2_000_000; i++) {
      record[0] = i * 7L;
      table.add(record);
      if (i >= 200_000 && i % 1000 == 0) {
        assertTrue(before == 0 || table.bytes() < before * 1.05, i + " records");
        before = table.bytes();
        assertTrue(before < 18L * i, i + " records in " + before + " bytes");
        assertTrue(before > 13L * i, i + " records in no more than " + before + " bytes");
      }
    }
  }

  /** Records like packed states: few bits in use, in low, high or far apart places. */
  private static long[] anyRecord(Random random, int words) {
    long[] record = new long[words];
    for (int w = 0; w < words; w++) {
      record[w] =
          switch (random.nextInt(4)) {
            case 0 -> random.nextInt(16);
            case 1 -> (long) random.nextInt(256) << 56;
            case 2 -> 1L << random.nextInt(64);
            default -> random.nextInt(4) == 0 ? random.nextLong() : 0;
          };
    }
    return record;
  }

  @ParameterizedTest
  @ValueSource(ints = {8, 24, 40, 56})
  void recordsThatDifferInAFewBitsOnlyAreToldApartFast(int shift) {
    var table = new StateTable(2);
    int count = 1 << 18;
    long before = System.nanoTime();
    for (int i = 0; i < count; i++) {
      table.add(new long[] {(long) (i & 255) << shift, i >> 8});
    }
    assertEquals(count, table.size());
    assertTrue(System.nanoTime() - before < 20_000_000_000L, "the hash clusters");
  }
}
