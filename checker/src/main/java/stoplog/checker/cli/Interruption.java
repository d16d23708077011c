package stoplog.checker.cli;

import java.util.concurrent.CountDownLatch;
import java.util.concurrent.TimeUnit;
import java.util.concurrent.atomic.AtomicReference;

/**
 * Ctrl-C (or a request to terminate) while a command runs.
 *
 * <p>The search is asked to stop and the command then reports what it has, as at any other end. If
 * the search does not stop within the grace, its {@link #onStuck report so far} is written from here.
 * A shutdown hook is the one standard way to hear of the signal; once it runs, nothing but a halt can
 * set the exit status, so the hook halts.
 */
final class Interruption {
  private static final long GRACE_SECONDS = 5;
  private static final Runnable NOTHING = () -> {};

  private final CountDownLatch reported = new CountDownLatch(1);
  private final AtomicReference<Runnable> reportSoFar = new AtomicReference<>(NOTHING);
  private volatile boolean asked;
  private volatile int status = ExitStatus.UNDECIDED;

  /** Listens to the process's signals from now on. */
  static Interruption ofProcess() {
    var interruption = new Interruption();
    Runtime.getRuntime().addShutdownHook(new Thread(interruption::shutDown, "interruption"));
    return interruption;
  }

  private void shutDown() {
    if (reported.getCount() == 0) {
      return;
    }
    asked = true;
    try {
      if (!reported.await(GRACE_SECONDS, TimeUnit.SECONDS)) {
        reportSoFar.getAndSet(NOTHING).run();
      }
    } catch (InterruptedException _) {
      Thread.currentThread().interrupt();
    }
    Runtime.getRuntime().halt(status);
  }

  /** As if the user had pressed Ctrl-C. */
  void ask() {
    asked = true;
  }

  /** Whether the user wants the command to end. */
  boolean asked() {
    return asked;
  }

  /** What to write if the command does not end by itself soon after it was asked to. */
  void onStuck(Runnable report) {
    reportSoFar.set(report);
  }

  /**
   * Called by the command before it writes its report. False if the report was written from here
   * meanwhile: then it must not be written again.
   */
  boolean mayReport() {
    return reportSoFar.getAndSet(NOTHING) != NOTHING;
  }

  /** The command is over, with this status; its report is written. */
  void over(int exitStatus) {
    status = exitStatus;
    reported.countDown();
  }
}
