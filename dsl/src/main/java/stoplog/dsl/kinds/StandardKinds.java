package stoplog.dsl.kinds;

import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import org.jspecify.annotations.Nullable;
import stoplog.dsl.kinds.Kind.Answer;
import stoplog.dsl.kinds.Kind.Fail;
import stoplog.dsl.kinds.Kind.Motion;
import stoplog.dsl.kinds.Kind.Passage;
import stoplog.dsl.kinds.Kind.Wanted;

/** The kinds of equipment that every plant knows. */
public final class StandardKinds {
  private StandardKinds() {}

  /**
   * On/off valve. 0 closed, 1 opening, 2 open, 3 closing, 4 opening after a reversal or from
   * part-way, 5 closing after the same, 6 stopped part-way.
   */
  private static final Kind VALVE =
      new Kind(
          "valve",
          "open",
          List.of("closed", "open"),
          List.of("closed", "opening", "open", "closing", "opening", "closing", "stopped part-way"),
          ordered(
              Map.entry("open", bits(2)),
              Map.entry("closed", bits(0)),
              Map.entry("opening", bits(1, 4)),
              Map.entry("closing", bits(3, 5))),
          ordered(Map.entry("open", "ZSO"), Map.entry("closed", "ZSC")),
          List.of("travel"),
          List.of(
              new Answer(Wanted.ON, bits(0), 1),
              new Answer(Wanted.ON, bits(3, 5, 6), 4),
              new Answer(Wanted.OFF, bits(2), 3),
              new Answer(Wanted.OFF, bits(1, 4, 6), 5),
              new Answer(Wanted.STAY, bits(1, 3, 4, 5), 6)),
          List.of(
              new Motion(1, 2, "travel", true, "open"),
              new Motion(3, 0, "travel", true, "closed"),
              new Motion(4, 2, "travel", false, "open"),
              new Motion(5, 0, "travel", false, "closed")),
          List.of(
              new Fail("closed", Wanted.OFF, bits(0)),
              new Fail("open", Wanted.ON, bits(2)),
              new Fail("in place", Wanted.STAY, bits(0, 2))),
          List.of(bits(1, 2, 3, 4, 5, 6), bits(2)),
          List.of(),
          List.of(new Passage(null, null, true, bits(1, 2, 3, 4, 5, 6))),
          0);

  /**
   * Pump that is on or off. 0 at rest, 1 starting, 2 running, 3 coasting, 4 starting from part
   * speed, 5 coasting from part speed. Without power it coasts.
   */
  private static final Kind PUMP =
      new Kind(
          "pump",
          "run",
          List.of("off", "on"),
          List.of("at rest", "starting", "running", "coasting", "starting", "coasting"),
          ordered(
              Map.entry("turning", bits(1, 2, 3, 4, 5)),
              Map.entry("running", bits(2)),
              Map.entry("starting", bits(1, 4)),
              Map.entry("coasting", bits(3, 5)),
              Map.entry("at rest", bits(0))),
          ordered(
              Map.entry("running", "YS"), Map.entry("turning", "ZS"), Map.entry("at rest", "SS")),
          List.of("ramp", "coast"),
          List.of(
              new Answer(Wanted.ON, bits(0), 1),
              new Answer(Wanted.ON, bits(3, 5), 4),
              new Answer(Wanted.OFF, bits(2), 3),
              new Answer(Wanted.OFF, bits(1, 4), 5)),
          List.of(
              new Motion(1, 2, "ramp", true, "at speed"),
              new Motion(3, 0, "coast", true, "at rest"),
              new Motion(4, 2, "ramp", false, "at speed"),
              new Motion(5, 0, "coast", false, "at rest")),
          List.of(new Fail("", Wanted.OFF, bits(0))),
          List.of(bits(1, 2, 3, 4, 5)),
          List.of(),
          List.of(new Passage(null, null, true, bits(0, 1, 2, 3, 4, 5))),
          bits(1, 2, 3, 4, 5));

  private static final List<Kind> ALL = List.of(VALVE, PUMP);

  /** All of them. */
  public static List<Kind> all() {
    return ALL;
  }

  /** The kind that a plant text calls this, or {@code null}. */
  public static @Nullable Kind named(String word) {
    for (Kind k : ALL) {
      if (k.word().equals(word)) {
        return k;
      }
    }
    return null;
  }

  private static long bits(int... positions) {
    long set = 0;
    for (int p : positions) {
      set |= 1L << p;
    }
    return set;
  }

  @SafeVarargs
  private static <V> Map<String, V> ordered(Map.Entry<String, V>... entries) {
    var map = new LinkedHashMap<String, V>();
    for (Map.Entry<String, V> e : entries) {
      map.put(e.getKey(), e.getValue());
    }
    return map;
  }
}
