package stoplog.dsl.resolve;

import java.util.List;
import org.jspecify.annotations.Nullable;
import stoplog.source.Span;

/**
 * A course of events that is written down: what happens at which times from the start on, and what
 * is to be seen meanwhile.
 *
 * @param certain whether every run that takes this course must show what is to be seen; else some run
 *     must
 * @param entries in the order written
 */
public record Scenario(
    Symbol.Scenario label, boolean certain, List<Entry> entries, Span span) {
  public Scenario {
    entries = List.copyOf(entries);
  }

  /** Whether a fault is among its events. */
  public boolean hasFaults() {
    return entries.stream()
        .anyMatch(
            e -> e instanceof Happens h && h.events().stream().anyMatch(Strikes.class::isInstance));
  }

  /** An entry. Times are microseconds from the start. */
  public sealed interface Entry {
    Span span();
  }

  /** How the plant is at the start. */
  public record Given(Term condition, Span span) implements Entry {}

  /** What happens at one time, in the order written, all in one instant. */
  public record Happens(long micros, List<Event> events, Span span) implements Entry {
    public Happens {
      events = List.copyOf(events);
    }
  }

  /** The condition holds at this time, for longer than an instant from then. */
  public record SeenAt(long micros, Term condition, Span span) implements Entry {}

  /** The condition holds from one time to the other. */
  public record SeenThroughout(long fromMicros, long toMicros, Term condition, Span span)
      implements Entry {}

  /** The condition holds at some time after the entry before, up to this one. */
  public record SeenBy(long micros, Term condition, Span span) implements Entry {}

  /** Something that happens. */
  public sealed interface Event {
    Span span();
  }

  /** A button is pressed, or a hold-button is taken or let go. */
  public record Pushed(Symbol.Button button, boolean down, Span span) implements Event {}

  /** A selector is turned, or equipment moved by hand. */
  public record Turned(Symbol subject, int to, Span span) implements Event {}

  /** A condition starts or ends. */
  public record Comes(Symbol.Condition condition, boolean starts, Span span) implements Event {}

  /** A fault of something strikes. */
  public record Strikes(Symbol subject, String fault, Span span) implements Event {}

  /** Power fails or returns. */
  public record Power(boolean fails, @Nullable Span stated, Span span) implements Event {}
}
