package stoplog.checker.explore;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.concurrent.CountDownLatch;
import java.util.concurrent.atomic.AtomicInteger;
import java.util.concurrent.atomic.AtomicReference;
import org.jspecify.annotations.Nullable;

/**
 * Works out with several threads the successors of the next nodes of a wide level; one thread takes
 * them in afterwards, in the order of nodes, so that what is found does not depend on how many
 * threads there are, nor on which was faster.
 *
 * <p>While they work nothing is added to the tables. Notes take at most 8 MiB a thread and are not
 * counted against the budget, since what a search finds must not depend on the number of threads.
 */
final class Ahead {
  private static final int BATCH = 4096;
  private static final int CHUNK = 64;

  private final Explored explored;
  private final Progress progress;
  private final List<Successors> notes = new ArrayList<>();
  private Successors.@Nullable Of[] batch = new Successors.Of[BATCH];
  private int from;
  private int to;

  Ahead(Explored explored, Progress progress) {
    this.explored = explored;
    this.progress = progress;
  }

  /**
   * What is known of the successors of a node, or null.
   *
   * @param end the first node after its level
   */
  Successors.@Nullable Of of(int node, int end) {
    if (node >= to) {
      from = node;
      to = node;
      int wide = progress.worthSharing();
      if (end - node >= wide) {
        int helpers = progress.spareThreads();
        if (helpers > 0) {
          to = Math.min(end, node + BATCH);
          work(helpers + 1);
        } else {
          // Asked again after a while.
          to = node + Math.min(BATCH, Math.min(wide, end - node));
          Arrays.fill(batch, null);
        }
      }
    }
    return node < to ? batch[node - from] : null;
  }

  private void work(int threads) {
    while (notes.size() < threads) {
      notes.add(new Successors(explored.system.forAnotherThread(), explored.states));
    }
    Arrays.fill(batch, null);
    var next = new AtomicInteger(from);
    var failed = new AtomicReference<Throwable>();
    var done = new CountDownLatch(threads - 1);
    for (int t = 1; t < threads; t++) {
      Successors own = notes.get(t);
      // Daemons: after Ctrl-C nothing waits for a search that does not stop.
      Thread.ofPlatform()
          .daemon()
          .name("search " + t)
          .start(
              () -> {
                try {
                  chunks(own, next);
                } catch (RuntimeException | Error e) {
                  failed.compareAndSet(null, e);
                } finally {
                  done.countDown();
                }
              });
    }
    try {
      chunks(notes.getFirst(), next);
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

  private void chunks(Successors own, AtomicInteger next) {
    own.begin();
    for (int at = next.getAndAdd(CHUNK); at < to; at = next.getAndAdd(CHUNK)) {
      for (int node = at; node < Math.min(to, at + CHUNK); node++) {
        int id = explored.nodes.state(node);
        if (!explored.nodes.dead(node) && explored.rememberedFrom(id) == null) {
          batch[node - from] = own.of(id);
        }
      }
    }
  }
}
