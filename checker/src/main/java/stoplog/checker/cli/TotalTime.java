package stoplog.checker.cli;

import java.time.Duration;
import org.jspecify.annotations.Nullable;
import stoplog.checker.explore.Budget;
import stoplog.checker.explore.Progress;

/** The wall time for all claims together, running from when it is made. */
final class TotalTime {
  static final String USED_UP = "the time for all claims is used up";

  private final long startNanos = System.nanoTime();
  private final long nanos;

  /** @param time null for no limit */
  TotalTime(@Nullable Duration time) {
    this.nanos = time == null ? Long.MAX_VALUE : time.toNanos();
  }

  boolean over() {
    return left() <= 0;
  }

  private long left() {
    return nanos == Long.MAX_VALUE ? nanos : nanos - (System.nanoTime() - startNanos);
  }

  /** The budget of a claim begun now. */
  Budget within(Budget budget) {
    Duration left = Duration.ofNanos(Math.max(0, left()));
    return left.compareTo(budget.time()) >= 0
        ? budget
        : new Budget(budget.states(), budget.bytes(), left);
  }

  /** The same progress, which also stops when the time is up. */
  Progress stopping(Progress progress) {
    return new Progress() {
      @Override
      public void at(String claim, int level, long states, int kept) {
        progress.at(claim, level, states, kept);
      }

      @Override
      public boolean stopped() {
        return over() || progress.stopped();
      }

      @Override
      public int spareThreads() {
        return progress.spareThreads();
      }

      @Override
      public int worthSharing() {
        return progress.worthSharing();
      }
    };
  }
}
