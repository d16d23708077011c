package stoplog.checker.abstraction;

/** Signals that one step from one state has so many results that nothing comes of looking at each. */
final class TooManyResults extends RuntimeException {
  private static final long serialVersionUID = 1;

  TooManyResults() {
    super(null, null, false, false);
  }
}
