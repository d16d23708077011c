package stoplog.dsl.resolve;

import java.util.List;
import java.util.function.BiConsumer;
import java.util.function.Consumer;
import stoplog.model.FieldChange.Cause;
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

  /** Something that is to be seen; the term is what. */
  public sealed interface Seen extends Entry {
    Term condition();
  }

  /** The condition holds at this time. */
  public record SeenAt(long micros, Term condition, Span span) implements Seen {}

  /** The condition holds all the time between the two. */
  public record SeenThroughout(long fromMicros, long toMicros, Term condition, Span span)
      implements Seen {}

  /** The condition holds at some moment from the one time to the other. */
  public record SeenBy(long fromMicros, long micros, Term condition, Span span) implements Seen {}

  /**
   * Something that happens: a variable of the model takes a value, by the change of this cause that
   * does so.
   *
   * @param variable the name of the variable
   * @param words what happens, as told if nothing comes of it
   */
  public record Event(Cause cause, String variable, int value, String words, Span span) {}

  /** Every time of the scenario with the entry that names it. */
  public void eachTime(BiConsumer<Long, Span> visitor) {
    for (Entry e : entries) {
      switch (e) {
        case Given g -> {}
        case Happens h -> visitor.accept(h.micros(), h.span());
        case SeenAt s -> visitor.accept(s.micros(), s.span());
        case SeenBy s -> visitor.accept(s.micros(), s.span());
        case SeenThroughout s -> {
          visitor.accept(s.fromMicros(), s.span());
          visitor.accept(s.toMicros(), s.span());
        }
      }
    }
  }

  /** Every term of the scenario. */
  public void eachTerm(Consumer<Term> visitor) {
    for (Entry e : entries) {
      switch (e) {
        case Given g -> visitor.accept(g.condition());
        case Seen s -> visitor.accept(s.condition());
        case Happens h -> {}
      }
    }
  }
}
