package stoplog.checker.cli;

import java.io.PrintStream;
import java.util.LinkedHashSet;
import java.util.Locale;
import java.util.function.BooleanSupplier;
import stoplog.checker.explore.Progress;

/**
 * How far the search has come, as one line of a terminal that is written over again and again. Silent
 * if nobody watches. Of several claims that are decided at a time it tells of the one begun first. May
 * be used by any thread.
 */
final class ProgressLine implements Progress {
  private static final long NANOS_BETWEEN = 100_000_000;
  private static final String ERASE = "\r\u001b[K";

  private final PrintStream terminal;
  private final boolean watched;
  private final BooleanSupplier stopped;
  private final LinkedHashSet<String> underWay = new LinkedHashSet<>();
  private long lastNanos;
  private boolean written;
  private int threads = 1;

  /** What was told last, for the rate. */
  private String lastClaim = "";

  private long lastStates;

  ProgressLine(PrintStream terminal, boolean watched, BooleanSupplier stopped) {
    this.terminal = terminal;
    this.watched = watched;
    this.stopped = stopped;
    this.lastNanos = System.nanoTime();
  }

  /** How many threads there are for all claims. */
  synchronized void threads(int all) {
    threads = all;
  }

  /** The threads that claims do not use, shared among those under way. */
  @Override
  public synchronized int spareThreads() {
    int claims = Math.max(1, underWay.size());
    return Math.max(0, (threads - claims) / claims);
  }

  /** A claim begins to be decided. */
  synchronized void begins(String claim) {
    underWay.add(claim);
  }

  @Override
  public synchronized void at(String claim, int level, long states, int kept) {
    // A new search begins at fewer states again; of that no rate is known yet.
    double seconds = (System.nanoTime() - lastNanos) / 1e9;
    boolean goesOn = claim.equals(lastClaim) && states > lastStates && seconds > 0;
    long rate = goesOn ? Math.round((states - lastStates) / seconds) : 0;
    boolean told =
        tell(
            claim,
            "%,d events deep, %,d states%s, %,d variables kept",
            level,
            states,
            goesOn ? String.format(Locale.ROOT, " (%,d a second)", rate) : "",
            kept);
    if (told) {
      lastClaim = claim;
      lastStates = states;
    }
  }

  /** So much of the certificate of a claim is checked. */
  synchronized void checking(String claim, long checked, long states) {
    tell(claim, "certificate, %,d of %,d states checked", checked, states);
  }

  /** Returns whether it was told: not if nobody watches, nor so soon after the last. */
  private boolean tell(String claim, String format, Object... numbers) {
    long now = System.nanoTime();
    boolean first = !underWay.isEmpty() && underWay.getFirst().equals(claim);
    boolean told = watched && first && now - lastNanos >= NANOS_BETWEEN;
    if (told) {
      lastNanos = now;
      written = true;
      int others = underWay.size() - 1;
      String beside =
          others == 0 ? "" : others == 1 ? "; 1 other claim" : "; " + others + " other claims";
      terminal.print(
          ERASE + claim + ": " + String.format(Locale.ROOT, format, numbers) + beside);
      terminal.flush();
    }
    return told;
  }

  @Override
  public boolean stopped() {
    return stopped.getAsBoolean();
  }

  /** A claim is decided; takes the line away. */
  synchronized void ends(String claim) {
    underWay.remove(claim);
    if (written) {
      terminal.print(ERASE);
      terminal.flush();
      written = false;
    }
  }
}
