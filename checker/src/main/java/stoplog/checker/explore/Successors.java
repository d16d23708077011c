package stoplog.checker.explore;

import java.util.Arrays;
import org.jspecify.annotations.Nullable;
import stoplog.checker.store.StateTable;

/**
 * The steps from some successive nodes, worked out while nobody adds to the table of states, in the
 * order in which the system hands them out; of each the target's words and, if it is in the table,
 * its number (if states have no zones, of most: the others are found when they are added).
 *
 * <p>All of it lies in a few arrays that are used again and again: nothing is allocated for a node
 * or a step. Nodes for which there is no more room are left for later.
 */
final class Successors implements TimedSystem.Sink {
  /** Instead of the number of a node's first step: it was passed over. */
  private static final int PASSED = -1;

  /** Of each step, beside the target's words. */
  private static final long BYTES_BESIDE = 20;

  private final StateTable states;
  private final boolean plain;
  private final int words;
  private final long[] scratch;
  private final long mostBytes;

  private int first;
  private int noted;
  private int[] starts = new int[16];
  private int[] ends = new int[16];

  int count;
  int[] steps = new int[64];
  long[] targets;
  long[] hashes = new long[64];
  int[] found = new int[64];
  private int[] @Nullable [] running = new int[0][];

  /** @param mostBytes that they may take */
  Successors(Explored explored, long mostBytes) {
    this.mostBytes = mostBytes;
    this.states = explored.states;
    this.plain = explored.plain;
    this.words = states.words();
    this.scratch = new long[words];
    this.targets = new long[64 * words];
  }

  /** The first node of which nothing is noted any more. */
  int end() {
    return first + noted;
  }

  /** Whether the node's steps are noted. */
  boolean has(int node) {
    return node >= first && node < end() && starts[node - first] != PASSED;
  }

  /** The number of a node's first step. */
  int from(int node) {
    return starts[node - first];
  }

  /** The number after that of its last step. */
  int to(int node) {
    return ends[node - first];
  }

  /** The clocks that run in the target of a step if that has been found out, else null. */
  int @Nullable [] running(int step) {
    return plain || step >= running.length ? null : running[step];
  }

  /**
   * Notes the steps of nodes up to one, exclusive; fewer if there is no more room, or if that fails for
   * one of them. Then it fails again for the thread that takes the notes in, if the search comes to that
   * node at all: it may find its goal before.
   *
   * @param mostWords no further node is noted when the targets have more words
   */
  void note(TimedSystem system, Explored explored, int from, int to, int mostWords) {
    begin(from, to);
    for (int node = from; node < to && count * words <= mostWords; node++) {
      int before = count;
      try {
        note(system, explored, node);
      } catch (RuntimeException _) {
        count = before;
        break;
      }
    }
    try {
      look(system);
    } catch (RuntimeException _) {
      noted = 0;
    }
  }

  /** Notes the steps of a state as if it were node 0. */
  void note(TimedSystem system, int id) {
    begin(0, 1);
    stepsFrom(system, id, 0);
    look(system);
  }

  private void begin(int from, int to) {
    first = from;
    noted = 0;
    count = 0;
    if (starts.length < to - from) {
      starts = new int[to - from];
      ends = new int[to - from];
    }
  }

  private void note(TimedSystem system, Explored explored, int node) {
    int id = explored.nodes.state(node);
    if (explored.nodes.dead(node) || explored.rememberedFrom(id) != null) {
      starts[noted++] = PASSED;
    } else {
      stepsFrom(system, id, explored.asleep.of(node));
    }
  }

  private void stepsFrom(TimedSystem system, int id, long asleep) {
    states.get(id, scratch);
    starts[noted] = count;
    system.successors(scratch, asleep, this);
    ends[noted++] = count;
  }

  @Override
  public void edge(int step, long[] state) {
    int at = count;
    if (at == steps.length) {
      grow();
    }
    steps[at] = step;
    for (int i = 0, to = at * words; i < words; i++) {
      targets[to + i] = state[i];
    }
    count = at + 1;
  }

  private void grow() {
    int wider = steps.length * 2;
    if (wider * BYTES_BESIDE + 8L * wider * words > mostBytes) {
      throw CutShort.tooManyResults();
    }
    steps = Arrays.copyOf(steps, wider);
    targets = Arrays.copyOf(targets, wider * words);
    hashes = new long[wider];
    found = new int[wider];
  }

  /** Looks the targets up, and of those not known yet what clocks run there. */
  private void look(TimedSystem system) {
    if (plain) {
      states.findMost(targets, count, hashes, found);
      return;
    }
    states.findAll(targets, count, hashes, found);
    if (running.length < steps.length) {
      running = new int[steps.length][];
    }
    for (int i = 0; i < count; i++) {
      if (found[i] < 0) {
        System.arraycopy(targets, i * words, scratch, 0, words);
        running[i] = system.running(scratch);
      } else {
        running[i] = null;
      }
    }
  }
}
