package stoplog.checker.explore;

import java.util.Arrays;
import org.jspecify.annotations.Nullable;

/**
 * The sleeping steps of the nodes still to be visited, as {@link SleepSets} says: eight bytes for
 * each of them, none for those before.
 */
final class Asleep {
  private static final int SEGMENT_BITS = 9;
  private static final int IN_SEGMENT = (1 << SEGMENT_BITS) - 1;

  private @Nullable SleepSets sets;

  /** The first node of which something is known, and the one after the last. */
  private int from;

  private int to;
  private long[] @Nullable [] segments = new long[1][];

  /** Segments up to here, exclusive, are of nodes that have been visited. */
  private int visited;

  /** One of those, to be used again. */
  private long @Nullable [] spare;
  private long bytes;

  /** From now on, for nodes that are not there yet; those before have nothing asleep. */
  void begin(SleepSets known, int nodes) {
    sets = known;
    from = nodes;
    to = nodes;
  }

  boolean hasBegun() {
    return sets != null;
  }

  /** The steps asleep in the state of a node that is still to be visited. */
  long of(int node) {
    if (node < from || sets == null) {
      return 0;
    }
    int at = node - from;
    return segments[at >> SEGMENT_BITS][at & IN_SEGMENT];
  }

  /** The next node has been found. */
  void add(int parent, int step) {
    if (sets == null) {
      return;
    }
    int at = to++ - from;
    int segment = at >> SEGMENT_BITS;
    if ((at & IN_SEGMENT) == 0) {
      if (segment == segments.length) {
        segments = Arrays.copyOf(segments, segment * 2);
      }
      bytes += spare == null ? 8L << SEGMENT_BITS : 0;
      segments[segment] = spare == null ? new long[1 << SEGMENT_BITS] : spare;
      spare = null;
    }
    segments[segment][at & IN_SEGMENT] = sets.after(step, of(parent));
  }

  /** Nodes before this one are not asked for any more. */
  void forgetBefore(int node) {
    if (sets == null) {
      return;
    }
    for (; visited < node - from >> SEGMENT_BITS; visited++) {
      bytes -= spare == null ? 0 : 8L << SEGMENT_BITS;
      spare = segments[visited];
      segments[visited] = null;
    }
  }

  long bytes() {
    return bytes + 4L * segments.length;
  }
}
