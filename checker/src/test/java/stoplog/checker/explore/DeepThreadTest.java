package stoplog.checker.explore;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.concurrent.atomic.AtomicBoolean;
import org.junit.jupiter.api.Test;

class DeepThreadTest {
  private static int sum(int n) {
    return n == 0 ? 0 : 1 + sum(n - 1);
  }

  @Test
  void holdsARecursionAsDeepAsALargePlant() {
    int[] sum = new int[1];
    DeepThread.runIn("deep", () -> sum[0] = sum(1_000_000));
    assertEquals(1_000_000, sum[0]);
  }

  @Test
  void interruptionDoesNotEndTheWaiting() {
    var done = new AtomicBoolean();
    Thread.currentThread().interrupt();
    DeepThread.runIn(
        "slow",
        () -> {
          long end = System.nanoTime() + 20_000_000;
          while (System.nanoTime() < end) {
            Thread.onSpinWait();
          }
          done.set(true);
        });
    Thread.interrupted();
    assertTrue(done.get());
  }
}
