package stoplog.plants.bench;

import java.lang.management.ManagementFactory;
import java.lang.management.ThreadMXBean;
import java.util.Arrays;

/**
 * Measures work done in one thread, by the processor time of that thread: what else the machine does
 * hardly shows. Work of other threads, such as collecting garbage, is not in it.
 */
final class Clock {
  private static final ThreadMXBean THREADS = ManagementFactory.getThreadMXBean();

  private Clock() {}

  static long nanos() {
    return THREADS.getCurrentThreadCpuTime();
  }

  static double once(Runnable work) {
    long start = nanos();
    work.run();
    return nanos() - start;
  }

  /** The median of up to so many runs, in ns; fewer where one takes long. */
  static double median(int runs, Runnable work) {
    double[] took = new double[runs];
    double all = 0;
    int count = 0;
    while (count < runs && (count == 0 || all < 2e9)) {
      took[count] = once(work);
      all += took[count++];
    }
    Arrays.sort(took, 0, count);
    return Math.max(1, took[count / 2]);
  }
}
