package stoplog.checker.store;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.Random;
import org.junit.jupiter.api.Test;

/** Columns of every width against an array, across several segments. */
class ColumnTest {
  @Test
  void holdsWhatWasPutIn() {
    for (int limit : new int[] {1, 255, 256, 65_535, 65_536, Integer.MAX_VALUE}) {
      var random = new Random(limit);
      var column = new Column(limit);
      int[] expected = new int[50_000];
      for (int i = 0; i < expected.length; i++) {
        expected[i] = i % 3 == 0 ? -1 : i % 3 == 1 ? limit - 1 : random.nextInt(limit);
        column.add(expected[i]);
      }
      for (int n = 0; n < 1000; n++) {
        int i = random.nextInt(expected.length);
        expected[i] = random.nextInt(limit);
        column.set(i, expected[i]);
      }
      for (int i = 0; i < expected.length; i++) {
        assertEquals(expected[i], column.get(i), "limit " + limit + ", entry " + i);
      }
      int width = limit < 256 ? 1 : limit < 65_536 ? 2 : 4;
      assertTrue(column.bytes() <= width * (expected.length + (1 << 14)) + 64, "limit " + limit);
    }
  }
}
