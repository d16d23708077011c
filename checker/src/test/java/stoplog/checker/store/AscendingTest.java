package stoplog.checker.store;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.ArrayList;
import java.util.List;
import java.util.Random;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

class AscendingTest {
  @ParameterizedTest
  @ValueSource(ints = {1, 2, 5, 300})
  void givesBackWhatWasAdded(int step) {
    var random = new Random(step);
    var ascending = new Ascending();
    List<Integer> expected = new ArrayList<>();
    int value = -1;
    for (int i = 0; i < 20_000; i++) {
      ascending.add(value);
      expected.add(value);
      value += random.nextInt(3) == 0 ? random.nextInt(step + 1) : 0;
    }
    assertEquals(expected.size(), ascending.size());
    for (int i = 0; i < expected.size(); i++) {
      assertEquals(expected.get(i), ascending.get(i), "entry " + i);
    }
  }

  @Test
  void takesAQuarterOfAByteWhereEachNumberComesOnce() {
    var ascending = new Ascending();
    for (int i = 0; i < 1_000_000; i++) {
      ascending.add(i);
    }
    assertTrue(ascending.bytes() < 420_000, ascending.bytes() + " bytes");
  }

  @Test
  void refusesALesserNumber() {
    var ascending = new Ascending();
    ascending.add(3);
    assertThrows(IllegalArgumentException.class, () -> ascending.add(2));
  }
}
