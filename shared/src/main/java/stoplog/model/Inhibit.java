package stoplog.model;

import stoplog.source.Span;

/**
 * A permissive, interlock or trip, as a reader knows it. The scan program already holds its meaning;
 * this says which line of the plant it was, so that traces and reviews can name it.
 *
 * @param command the command variable it acts on
 * @param text its description, as the plant gives it
 * @param condition for permissives and interlocks what must hold; for trips what must not. Reads the
 *     values after the scan that evaluated it.
 */
public record Inhibit(Kind kind, int command, String text, Expr condition, Span origin) {
  /** See {@link Inhibit}. */
  public enum Kind {
    PERMISSIVE,
    INTERLOCK,
    TRIP
  }
}
