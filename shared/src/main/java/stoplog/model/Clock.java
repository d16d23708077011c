package stoplog.model;

import org.jspecify.annotations.Nullable;
import stoplog.source.Span;

/**
 * A stop watch that runs exactly while a condition holds.
 *
 * <p>It starts at 0 when a step makes the condition hold, and has no value while it does not. This is
 * the only way a clock is ever set: there is no other reset.
 *
 * <p>A clock is compared with numbers, never with another clock. Searches rely on it: they forget what
 * only such a comparison could tell.
 *
 * @param id its index in {@link Model#clocks()}
 * @param running when it runs
 * @param limit the deadline: while it runs, time may not pass beyond this; {@code null} for none. A
 *     model is expected to have, whenever the clock stands at its limit, a change that stops it;
 *     otherwise the plant is blocked there.
 * @param setting the adjustable setpoint that gives the time for which it runs, {@code null} if none
 *     does. It has no influence on behaviour: the setpoint may be edited at any time, so that each use
 *     is a window of its own. Used by traces to say where one depends on such an edit.
 */
public record Clock(
    int id,
    String name,
    Expr running,
    @Nullable Bound limit,
    @Nullable String setting,
    Span origin) {
  /** One whose time no setpoint gives. */
  public Clock(int id, String name, Expr running, @Nullable Bound limit, Span origin) {
    this(id, name, running, limit, null, origin);
  }
}
