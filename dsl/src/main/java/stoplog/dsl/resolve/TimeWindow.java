package stoplog.dsl.resolve;

import org.jspecify.annotations.Nullable;
import stoplog.source.Span;

/**
 * From and to a time, both in microseconds and both included.
 *
 * @param setting the adjustable setpoint whose window it is, if it is one's
 */
public record TimeWindow(long lowMicros, long highMicros, @Nullable String setting, Span span) {
  public TimeWindow(long lowMicros, long highMicros, Span span) {
    this(lowMicros, highMicros, null, span);
  }

  /** Stands in for a window that was told to be wrong. */
  static TimeWindow broken(Span span) {
    return new TimeWindow(0, 1_000_000, span);
  }
}
