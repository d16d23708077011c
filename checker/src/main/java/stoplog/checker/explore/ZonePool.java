package stoplog.checker.explore;

import java.util.Arrays;
import stoplog.checker.store.References;

/**
 * Zones by their content, numbered from 0: equal zones are one array. Compared in full.
 *
 * <p>INVARIANT (shared-zones): an array that was handed out stands for many nodes, and is never
 * written to again.
 */
final class ZonePool {
  private final References<int[]> zones = new References<>();

  /** Numbers of zones with 1 added, each near the place of its hash. */
  private int[] places = new int[64];

  private long bytes;

  /** The number of the zone of this content; takes the array over if there is none yet. */
  int numberOf(int[] zone) {
    int at = place(zone);
    while (places[at] != 0) {
      if (Arrays.equals(zone(places[at] - 1), zone)) {
        return places[at] - 1;
      }
      at = at + 1 & places.length - 1;
    }
    int number = zones.size();
    zones.add(zone);
    places[at] = number + 1;
    bytes += 16 + 4L * zone.length;
    if (zones.size() * 2 > places.length) {
      grow();
    }
    return number;
  }

  /** Not to be changed. */
  int[] zone(int number) {
    int[] zone = zones.get(number);
    if (zone == null) {
      throw new IllegalArgumentException("no zone " + number);
    }
    return zone;
  }

  private int place(int[] zone) {
    int hash = Arrays.hashCode(zone) * 0x9E3779B9;
    return (hash ^ hash >>> 15) & places.length - 1;
  }

  private void grow() {
    places = new int[places.length * 2];
    for (int number = 0; number < zones.size(); number++) {
      int at = place(zone(number));
      while (places[at] != 0) {
        at = at + 1 & places.length - 1;
      }
      places[at] = number + 1;
    }
  }

  int size() {
    return zones.size();
  }

  /** Bytes of the zones and of the table, with room for it to grow. */
  long bytes() {
    return bytes + zones.bytes() + 4L * 3 * places.length / (size() < places.length / 3 ? 3 : 1);
  }
}
