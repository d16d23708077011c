package stoplog.checker.certificate;

/** How long a check may take; asked again and again while it is under way. */
public interface Patience {
  /** Waits for ever. */
  Patience ENDLESS = (_, _) -> true;

  /** Whether to go on, after so many of the certificate's states. */
  boolean lasts(long checked, long states);
}
