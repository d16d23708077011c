package stoplog.checker.explore;

import java.util.Arrays;
import org.jspecify.annotations.Nullable;
import stoplog.checker.store.StateTable;

/**
 * The successors of some states, worked out by one thread while nobody adds to the table of states, in
 * the order in which the system hands them out.
 *
 * <p>A record is the step, the number of the target if it has one already or -1, the place of its running clocks,
 * and the target's words. There is a limit to what is noted; states beyond it are left to the thread
 * that takes the notes in.
 */
final class Successors {
  /** Words noted at most by one thread, but for the last state: 8 MiB. */
  private static final int MOST_WORDS = 1 << 20;

  private final TimedSystem system;
  private final StateTable states;
  private final int record;
  private final long[] scratch;
  private long[] words = new long[1024];
  private int used;
  private int[] @Nullable [] running = new int[64][];
  private int runningCount;

  Successors(TimedSystem system, StateTable states) {
    this.system = system;
    this.states = states;
    this.record = system.words() + 2;
    this.scratch = new long[system.words()];
  }

  /** The notes of one state. */
  record Of(Successors notes, int from, int to) {
    /** Hands them out; the target is written into {@code scratch}. */
    void each(long[] scratch, Sink sink) {
      for (int at = from; at < to; at += notes.record) {
        System.arraycopy(notes.words, at + 2, scratch, 0, scratch.length);
        long head = notes.words[at];
        int place = (int) (head >>> 32) - 1;
        sink.edge((int) head, scratch, place < 0 ? null : notes.running[place], (int) notes.words[at + 1]);
      }
    }
  }

  /** Receives what was noted: either the target's number or, with clocks, those that run there. */
  interface Sink {
    void edge(int step, long[] target, int @Nullable [] running, int found);
  }

  /** Makes room for the next batch; what was handed out before is gone. */
  void begin() {
    used = 0;
    Arrays.fill(running, 0, runningCount, null);
    runningCount = 0;
  }

  /**
   * Works out the successors of a state; null if there is no more room, or if that fails. Then it fails
   * again for the thread that takes the notes in, if the search comes to that state at all: it may find
   * its goal before.
   */
  @Nullable Of of(int id) {
    if (used > MOST_WORDS) {
      return null;
    }
    int from = used;
    try {
      note(id, from);
    } catch (RuntimeException _) {
      used = from;
      return null;
    }
    return new Of(this, from, used);
  }

  private void note(int id, int from) {
    states.get(id, scratch);
    system.successors(scratch, this::note);
    for (int at = from; at < used && system.clocks() > 0; at += record) {
      if (words[at + 1] < 0) {
        System.arraycopy(words, at + 2, scratch, 0, scratch.length);
        if (runningCount == running.length) {
          running = Arrays.copyOf(running, runningCount * 2);
        }
        running[runningCount++] = system.running(scratch);
        words[at] |= (long) runningCount << 32;
      }
    }
  }

  private void note(int step, long[] target) {
    if (used + record > words.length) {
      words = Arrays.copyOf(words, words.length * 2 + record);
    }
    System.arraycopy(target, 0, words, used + 2, target.length);
    words[used] = step;
    words[used + 1] = states.find(words, used + 2);
    used += record;
  }
}
