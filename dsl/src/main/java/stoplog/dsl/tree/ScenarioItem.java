package stoplog.dsl.tree;

import java.util.List;
import org.jspecify.annotations.Nullable;
import stoplog.source.Span;

/** An entry of a scenario. */
public sealed interface ScenarioItem {
  Span span();

  /** {@code given mode is auto and not oxidant}: how the plant is at the start. */
  record Given(Expression condition, Span span) implements ScenarioItem {}

  /** {@code at 5 s: press start, oxidant starts}. */
  record Happens(Quantity at, List<Event> events, Span span) implements ScenarioItem {
    public Happens {
      events = List.copyOf(events);
    }
  }

  /** {@code at 5 s see E}: E holds then. */
  record SeenAt(Quantity at, Expression condition, Span span) implements ScenarioItem {}

  /** {@code from 5 s to 8 s see E}: E holds all that time. */
  record SeenThroughout(Quantity from, Quantity to, Expression condition, Span span)
      implements ScenarioItem {}

  /** {@code by 5 s see E}: E holds at some time from the entry before on, up to then. */
  record SeenBy(Quantity by, Expression condition, Span span) implements ScenarioItem {}

  /** Something that happens. */
  record Event(Deed deed, Word subject, @Nullable Word state, Span span) {}

  /** What can happen to something. */
  enum Deed {
    /** A button. */
    PRESS,
    /** A hold-button. */
    HOLD,
    /** A hold-button. */
    RELEASE,
    /** A selector, key or piece of equipment moved by hand, to a state. */
    TURN,
    /** A condition. */
    START,
    /** A condition. */
    END,
    /** A fault, named by the state, strikes. */
    FAULT,
    POWER_FAILS,
    POWER_RETURNS
  }
}
