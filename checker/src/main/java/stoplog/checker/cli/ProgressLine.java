package stoplog.checker.cli;

import java.io.PrintStream;
import java.util.Locale;
import java.util.function.BooleanSupplier;
import stoplog.checker.explore.Progress;

/**
 * How far the search has come, as one line of a terminal that is written over again and again. Silent
 * if nobody watches. Used by the deciding thread only.
 */
final class ProgressLine implements Progress {
  private static final long NANOS_BETWEEN = 100_000_000;
  private static final String ERASE = "\r\u001b[K";

  private final PrintStream terminal;
  private final boolean watched;
  private final BooleanSupplier stopped;
  private long lastNanos;
  private boolean written;

  ProgressLine(PrintStream terminal, boolean watched, BooleanSupplier stopped) {
    this.terminal = terminal;
    this.watched = watched;
    this.stopped = stopped;
    this.lastNanos = System.nanoTime();
  }

  @Override
  public void at(String claim, int level, long states, int kept) {
    long now = System.nanoTime();
    if (watched && now - lastNanos >= NANOS_BETWEEN) {
      lastNanos = now;
      written = true;
      terminal.print(
          ERASE
              + String.format(
                  Locale.ROOT,
                  "%s: %,d events deep, %,d states, %,d variables kept",
                  claim, level, states, kept));
      terminal.flush();
    }
  }

  @Override
  public boolean stopped() {
    return stopped.getAsBoolean();
  }

  /** Takes the line away. */
  void clear() {
    if (written) {
      terminal.print(ERASE);
      terminal.flush();
      written = false;
    }
  }
}
