package stoplog.plants.outside;

import java.util.ArrayList;
import java.util.List;
import java.util.stream.LongStream;

/** Stretches of whole seconds in which a signal is on, drawn as {@code 0-8 12-15}; empty for never. */
final class Intervals {
  private Intervals() {}

  /** The second in which the last of them ends; 0 if there are none. */
  static int lastEnd(String intervals) {
    List<int[]> all = intervals(intervals);
    return all.isEmpty() ? 0 : all.getLast()[1];
  }

  static boolean within(String intervals, int second) {
    for (int[] interval : intervals(intervals)) {
      if (second >= interval[0] && second < interval[1]) {
        return true;
      }
    }
    return false;
  }

  /** When the signal turns, in quanta. */
  static long[] times(String intervals, long second) {
    return intervals(intervals).stream()
        .flatMapToLong(i -> LongStream.of(i[0] * second, i[1] * second))
        .toArray();
  }

  private static List<int[]> intervals(String text) {
    List<int[]> intervals = new ArrayList<>();
    if (!text.isBlank()) {
      for (String interval : text.strip().split(" ")) {
        String[] ends = interval.split("-");
        intervals.add(new int[] {Integer.parseInt(ends[0]), Integer.parseInt(ends[1])});
      }
    }
    return intervals;
  }
}
