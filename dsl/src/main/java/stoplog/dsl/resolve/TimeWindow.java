package stoplog.dsl.resolve;

import stoplog.source.Span;

/** From and to a time, both in microseconds and both included. */
public record TimeWindow(long lowMicros, long highMicros, Span span) {
  /** Stands in for a window that was told to be wrong. */
  static TimeWindow broken(Span span) {
    return new TimeWindow(0, 1_000_000, span);
  }
}
