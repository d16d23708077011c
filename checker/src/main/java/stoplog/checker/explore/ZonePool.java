package stoplog.checker.explore;

import java.util.Arrays;
import org.jspecify.annotations.Nullable;

/**
 * Zones by their content: equal zones are one array. Compared in full.
 *
 * <p>INVARIANT (shared-zones): an array that was handed out stands for many nodes, and is never
 * written to again.
 */
final class ZonePool {
  private int @Nullable [][] places = new int[64][];
  private int size;
  private long bytes;

  /** The zone of this content; takes the array over if there is none yet. */
  int[] shared(int[] zone) {
    int mask = places.length - 1;
    int at = Arrays.hashCode(zone) * 0x9E3779B9;
    at = (at ^ at >>> 15) & mask;
    for (int[] there = places[at]; there != null; there = places[at]) {
      if (Arrays.equals(there, zone)) {
        return there;
      }
      at = at + 1 & mask;
    }
    places[at] = zone;
    bytes += 16 + 4L * zone.length;
    if (++size * 2 > places.length) {
      grow();
    }
    return zone;
  }

  private void grow() {
    int[][] wider = new int[places.length * 2][];
    int mask = wider.length - 1;
    for (int[] zone : places) {
      if (zone != null) {
        int at = Arrays.hashCode(zone) * 0x9E3779B9;
        at = (at ^ at >>> 15) & mask;
        while (wider[at] != null) {
          at = at + 1 & mask;
        }
        wider[at] = zone;
      }
    }
    places = wider;
  }

  int size() {
    return size;
  }

  /** Bytes of the zones and of the table, with room for it to grow. */
  long bytes() {
    return bytes + 8L * 3 * places.length / (size < places.length / 3 ? 3 : 1);
  }
}
