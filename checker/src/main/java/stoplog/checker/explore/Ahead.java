package stoplog.checker.explore;

import java.util.ArrayList;
import java.util.List;
import java.util.concurrent.CountDownLatch;
import java.util.concurrent.ExecutorService;
import java.util.concurrent.Executors;
import java.util.concurrent.atomic.AtomicInteger;
import java.util.concurrent.atomic.AtomicReference;
import org.jspecify.annotations.Nullable;

/**
 * Works out with several threads the successors of the next nodes of a wide level; one thread takes
 * them in afterwards, in the order of nodes, so that what is found does not depend on how many
 * threads there are, nor on which was faster.
 *
 * <p>While they work nothing is added to the tables. Notes take about 32 MiB at most and are not
 * counted against the budget, since what a search finds must not depend on the number of threads.
 */
final class Ahead {
  private static final int BATCH = 4096;
  private static final int CHUNK = 64;

  /** Words of targets that are noted of a chunk, about: 256 KiB. */
  private static final int NOTED_WORDS = 1 << 15;

  /** Daemons: after Ctrl-C nothing waits for a search that does not stop. */
  private static final ExecutorService HELPERS =
      Executors.newCachedThreadPool(work -> DeepThread.of("search", work));

  /** Of the notes of one chunk; more are noted anew by the thread that takes them in. */
  private static final long MOST_BYTES = 1L << 25;

  private final Explored explored;
  private final Progress progress;
  private final List<TimedSystem> views = new ArrayList<>();
  private final List<Successors> chunks = new ArrayList<>();
  private int from;
  private int to;
  private boolean shared;

  Ahead(Explored explored, Progress progress) {
    this.explored = explored;
    this.progress = progress;
    views.add(explored.system);
  }

  /**
   * Notes that hold the steps of a node, or null.
   *
   * @param end the first node after its level
   */
  @Nullable Successors of(int node, int end) {
    if (node >= to) {
      decide(node, end);
    }
    if (!shared) {
      return null;
    }
    Successors chunk = chunks.get((node - from) / CHUNK);
    return chunk.has(node) ? chunk : null;
  }

  private void decide(int node, int end) {
    from = node;
    to = node;
    shared = false;
    int wide = progress.worthSharing();
    if (end - node < wide) {
      return;
    }
    int helpers = progress.spareThreads();
    if (helpers > 0) {
      to = Math.min(end, node + BATCH);
      shared = true;
      work(helpers);
    } else {
      // Asked again after a while.
      to = node + Math.min(BATCH, Math.min(wide, end - node));
    }
  }

  private void work(int helpers) {
    while (views.size() <= helpers) {
      views.add(explored.system.forAnotherThread());
    }
    while (chunks.size() * CHUNK < to - from) {
      chunks.add(new Successors(explored, MOST_BYTES));
    }
    var next = new AtomicInteger();
    var failed = new AtomicReference<Throwable>();
    var done = new CountDownLatch(helpers);
    for (int h = 1; h <= helpers; h++) {
      TimedSystem view = views.get(h);
      HELPERS.execute(
          () -> {
            try {
              note(view, next);
            } catch (RuntimeException | Error e) {
              failed.compareAndSet(null, e);
            } finally {
              done.countDown();
            }
          });
    }
    try {
      note(views.getFirst(), next);
    } finally {
      await(done);
    }
    switch (failed.get()) {
      case null -> {}
      case Error e -> throw e;
      case RuntimeException e -> throw e;
      case Throwable e -> throw new IllegalStateException(e);
    }
  }

  private void note(TimedSystem view, AtomicInteger next) {
    for (int c = next.getAndIncrement(); from + c * CHUNK < to; c = next.getAndIncrement()) {
      int first = from + c * CHUNK;
      chunks.get(c).note(view, explored, first, Math.min(to, first + CHUNK), NOTED_WORDS);
    }
  }

  private static void await(CountDownLatch done) {
    boolean interrupted = false;
    boolean ended = false;
    while (!ended) {
      try {
        done.await();
        ended = true;
      } catch (InterruptedException _) {
        interrupted = true;
      }
    }
    if (interrupted) {
      Thread.currentThread().interrupt();
    }
  }
}
