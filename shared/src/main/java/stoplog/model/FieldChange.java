package stoplog.model;

import java.util.List;
import org.jspecify.annotations.Nullable;
import stoplog.source.Span;

/**
 * Something that may happen outside the controller's scan: a travel completes, a timer expires, a
 * condition starts, the operator acts, a fault strikes, power fails.
 *
 * <p>It may happen at any instant at which its guard holds, its clock (if it has one) runs and lies in
 * the window, and, for a fault, the claim's fault budget is not used up. It never must happen, except
 * that time cannot pass beyond the limit of a running clock. With a reaction time of 0 it must also
 * not be one more than {@link Controller#coincident()} changes since the last scan (see there).
 *
 * @param id its index in {@link Model#changes()}
 * @param text what happens, as told in a trace ({@code "FV-101 open"}, {@code "start pressed"})
 * @param cause who or what does it
 * @param guard when it may happen
 * @param timing the clock it waits for; {@code null} if it does not wait
 * @param effects what it assigns, in order; the model's reactions follow
 */
public record FieldChange(
    int id,
    String text,
    Cause cause,
    Expr guard,
    @Nullable Timing timing,
    List<Assignment> effects,
    Span origin) {
  public FieldChange {
    effects = List.copyOf(effects);
  }

  /** Who or what makes a field change. A {@link #FAULT} uses up one of the claim's fault budget. */
  public enum Cause {
    OPERATOR,
    PROCESS,
    EQUIPMENT,
    INSTRUMENT,
    TIMER,
    FAULT,
    POWER
  }

  /**
   * A window on a running clock.
   *
   * @param clock index in {@link Model#clocks()}
   * @param earliest the clock must be at or beyond this
   * @param latest the clock must be at or before this; {@code null} for no such end
   */
  public record Timing(int clock, Bound earliest, @Nullable Bound latest) {
    /** Whether it is open when the clock stands at this limit of its own, or comes as near to it as it may. */
    public boolean isOpenAt(Bound limit) {
      long at = limit.quanta();
      boolean both = earliest.closed() && limit.closed();
      return (earliest.quanta() < at || (earliest.quanta() == at && both))
          && (latest == null
              || latest.quanta() > at
              || (latest.quanta() == at && (latest.closed() || !limit.closed())));
    }
  }
}
