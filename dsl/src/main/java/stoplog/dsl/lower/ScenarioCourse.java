package stoplog.dsl.lower;

import java.math.BigDecimal;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import java.util.TreeMap;
import org.jspecify.annotations.Nullable;
import stoplog.dsl.resolve.Scenario;
import stoplog.dsl.resolve.Scenario.Entry;
import stoplog.dsl.resolve.Scenario.Event;
import stoplog.model.FieldChange.Cause;
import stoplog.source.Span;

/**
 * The stages that a scenario goes through: a new one with each written event and with each time that is
 * looked at, once all that is written for that time has happened.
 */
final class ScenarioCourse {
  /** The stage of starts that are not as given. */
  static final int NEVER = 0;

  static final int FIRST = 1;

  private final List<Moment> moments = new ArrayList<>();

  /** The stage that a looked-at time begins. */
  private final Map<Long, Integer> looks = new HashMap<>();

  /** What leads from one stage to the next: an event, or a time that is looked at. */
  record Moment(long micros, @Nullable Event event, Span span) {
    String words() {
      return event == null ? seconds(micros) + " after the start" : event.words();
    }

    private static String seconds(long micros) {
      BigDecimal seconds = BigDecimal.valueOf(micros, 6).stripTrailingZeros();
      return (seconds.scale() < 0 ? seconds.setScale(0) : seconds).toPlainString() + " s";
    }
  }

  ScenarioCourse(Scenario scenario) {
    plan(scenario);
  }

  /** Entries of one time happen in the order written; what is seen then, is seen after all of them. */
  private void plan(Scenario scenario) {
    var times = new TreeMap<Long, Span>();
    var looked = new TreeMap<Long, Span>();
    for (Entry e : scenario.entries()) {
      switch (e) {
        case Scenario.Given g -> {}
        case Scenario.Happens h -> times.put(h.micros(), h.span());
        case Scenario.SeenAt s -> looked.put(s.micros(), s.span());
        case Scenario.SeenBy s -> {
          looked.put(s.fromMicros(), s.span());
          looked.put(s.micros(), s.span());
        }
        case Scenario.SeenThroughout s -> {
          looked.put(s.fromMicros(), s.span());
          looked.put(s.toMicros(), s.span());
        }
      }
    }
    times.putAll(looked);
    for (long time : times.keySet()) {
      for (Entry e : scenario.entries()) {
        if (e instanceof Scenario.Happens h && h.micros() == time) {
          h.events().forEach(v -> moments.add(new Moment(time, v, v.span())));
        }
      }
      Span at = looked.get(time);
      if (at != null) {
        moments.add(new Moment(time, null, at));
        looks.put(time, FIRST + moments.size());
      }
    }
  }

  /** What ends each stage but the last, from the first on. */
  List<Moment> moments() {
    return moments;
  }

  /** How many faults strike. */
  int faults() {
    int faults = 0;
    for (Moment m : moments) {
      faults += m.event() != null && m.event().cause() == Cause.FAULT ? 1 : 0;
    }
    return faults;
  }

  /** The stage that begins when this time is looked at. */
  int look(long micros) {
    return Objects.requireNonNull(looks.get(micros));
  }

  /** The last stage. */
  int end() {
    return FIRST + moments.size();
  }

  /**
   * The first stage that begins no sooner than this time and after all its events. The look itself may
   * come late in its instant, when something that followed an event is over again.
   */
  int beginning(long micros) {
    int look = look(micros);
    boolean sooner =
        look - 1 == FIRST ? micros == 0 : moments.get(look - FIRST - 2).micros() == micros;
    return sooner ? look - 1 : look;
  }
}
