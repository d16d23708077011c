package stoplog.checker.pack;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;

import net.jqwik.api.ForAll;
import net.jqwik.api.Property;
import net.jqwik.api.constraints.IntRange;
import org.junit.jupiter.api.Test;
import stoplog.model.Variable;

class PackingTest {
  @Property(tries = 1000)
  void everyFieldComesBackAndNoOtherMoves(
      @ForAll @IntRange(max = 60) int fields, @ForAll long seed) {
    var random = new java.util.Random(seed);
    int[] sizes = random.ints(fields, 1, Variable.MAX_VALUES + 1).toArray();
    var packing = new Packing(sizes);
    int[] values = new int[sizes.length];
    long[] state = new long[packing.words()];
    for (int i = 0; i < sizes.length; i++) {
      values[i] = random.nextInt(3) == 0 ? sizes[i] - 1 : random.nextInt(sizes[i]);
      packing.put(state, i, values[i]);
    }
    int[] back = new int[sizes.length];
    int bits = 0;
    for (int i = 0; i < sizes.length; i++) {
      back[i] = packing.get(state, i);
      bits += 32 - Integer.numberOfLeadingZeros(sizes[i] - 1);
    }
    assertArrayEquals(values, back);
    assertEquals(bits, packing.bits());
    int set = 0;
    for (int value : values) {
      set += Integer.bitCount(value);
    }
    int inWords = 0;
    for (long word : state) {
      inWords += Long.bitCount(word);
    }
    assertEquals(set, inWords, "padding is zero");
  }

  @Test
  void fieldsThatFillAWordExactlyDoNotStraddle() {
    int[] sizes = new int[11];
    java.util.Arrays.fill(sizes, 64);
    var packing = new Packing(sizes);
    assertEquals(2, packing.words());
    int[] sixteen = new int[17];
    java.util.Arrays.fill(sixteen, 16);
    sixteen[16] = 1;
    var full = new Packing(sixteen);
    assertEquals(1, full.words());
    long[] state = new long[1];
    for (int i = 0; i < 16; i++) {
      full.put(state, i, 15);
    }
    full.put(state, 16, 0);
    assertEquals(-1L, state[0]);
    assertEquals(0, full.get(state, 16));
  }
}
