package stoplog.checker.testkit;

import java.util.concurrent.atomic.AtomicInteger;
import stoplog.checker.explore.Progress;

/** Lends so many further threads to whoever asks, and never stops anything. */
public final class Helped implements Progress {
  private final int helpers;
  private final int worthSharing;
  private final AtomicInteger asked = new AtomicInteger();

  /** @param worthSharing how many nodes must be left in a level for them to be called */
  public Helped(int helpers, int worthSharing) {
    this.helpers = helpers;
    this.worthSharing = worthSharing;
  }

  /** How often somebody asked for threads. */
  public int asked() {
    return asked.get();
  }

  @Override
  public void at(String claim, int level, long states, int kept) {}

  @Override
  public boolean stopped() {
    return false;
  }

  @Override
  public int spareThreads() {
    asked.incrementAndGet();
    return helpers;
  }

  @Override
  public int worthSharing() {
    return worthSharing;
  }
}
