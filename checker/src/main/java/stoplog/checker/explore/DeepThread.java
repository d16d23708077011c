package stoplog.checker.explore;

/**
 * Threads in which steps may be carried out. Those of a large plant are followed by recursion as deep as
 * they have assignments, which the stack that Java gives by itself does not hold. A stack takes memory only
 * as far as it is used.
 */
public final class DeepThread {
  private static final long STACK_BYTES = 256L << 20;

  private DeepThread() {}

  /** One that does not keep the process alive, not yet started. */
  public static Thread of(String name, Runnable work) {
    var thread = new Thread(null, work, name, STACK_BYTES);
    thread.setDaemon(true);
    return thread;
  }

  /** Does the work in such a thread and comes back when it is done. An interruption does not end it. */
  public static void runIn(String name, Runnable work) {
    Thread thread = of(name, work);
    thread.start();
    join(thread);
  }

  /** Waits for the end of a thread. An interruption does not end the waiting. */
  public static void join(Thread thread) {
    boolean ended = false;
    while (!ended) {
      try {
        thread.join();
        ended = true;
      } catch (InterruptedException _) {
        // Nobody interrupts the command's own threads; the join must not end early.
      }
    }
  }
}
