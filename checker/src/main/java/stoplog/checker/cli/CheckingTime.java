package stoplog.checker.cli;

import java.time.Duration;
import stoplog.checker.certificate.Patience;

/** How long the certificate of one claim may be checked; shows how far that has come. */
final class CheckingTime implements Patience {
  private static final int ASKED_BETWEEN = 256;

  private final String claim;
  private final ProgressLine progress;
  private final TotalTime total;
  private final long startNanos = System.nanoTime();
  private final long nanos;
  private int asked;
  private boolean over;

  CheckingTime(String claim, Duration time, TotalTime total, ProgressLine progress) {
    this.claim = claim;
    this.nanos = time.toNanos();
    this.total = total;
    this.progress = progress;
  }

  @Override
  public boolean lasts(long checked, long states) {
    if (asked++ % ASKED_BETWEEN == 0) {
      progress.checking(claim, checked, states);
      over |= System.nanoTime() - startNanos >= nanos || total.over() || progress.stopped();
    }
    return !over;
  }

  /** Why the certificate is not checked. */
  String why() {
    return progress.stopped()
        ? "interrupted"
        : total.over() ? TotalTime.USED_UP : "the time budget is used up";
  }
}
