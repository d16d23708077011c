package stoplog.model;

/**
 * An end of a time window.
 *
 * @param quanta a number of the model's quanta, 0 to {@link #MAX_QUANTA}
 * @param closed whether the end itself belongs to the window
 */
public record Bound(long quanta, boolean closed) {
  /** Larger spans do not fit the packed difference bounds of the explorer. */
  public static final long MAX_QUANTA = 1L << 28;

  public Bound {
    if (quanta < 0 || quanta > MAX_QUANTA) {
      throw new IllegalArgumentException(quanta + " quanta");
    }
  }

  public static Bound at(long quanta) {
    return new Bound(quanta, true);
  }

  public static Bound open(long quanta) {
    return new Bound(quanta, false);
  }
}
