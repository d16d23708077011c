package stoplog.checker.abstraction;

import java.util.ArrayList;
import java.util.Arrays;
import stoplog.checker.explore.CutShort;
import stoplog.checker.explore.Search;
import stoplog.checker.explore.SystemBeneath;

/**
 * The runs of a system that follow a path found in another: struck down to the variables and groups that both
 * systems keep they pass through the states of the path, in order, with any number of steps in each.
 *
 * <p>A state carries the place on the path in one more word. Whether scans are due is not compared,
 * since the finer system sees more reasons for a scan.
 */
final class GuidedSystem extends SystemBeneath {
  /** Results of the steps from one state beyond which it is given up. */
  static final long MOST_RESULTS = 100_000;

  private final KeptSystem system;
  private final int[] compared;
  private final int[][] expected;
  private final int indexWord;
  private final long[] extended;
  private long results;

  GuidedSystem(KeptSystem system, KeptSystem coarser, Search.Path path) {
    super(system);
    this.system = system;
    int[] shared =
        Arrays.stream(coarser.stored()).filter(v -> here(system, coarser, v) >= 0).toArray();
    this.compared = Arrays.stream(shared).map(v -> here(system, coarser, v)).toArray();
    var distinct = new ArrayList<int[]>();
    for (long[] state : path.states()) {
      int[] values = Arrays.stream(shared).map(v -> coarser.valueIn(state, v)).toArray();
      // A step that leaves all that is compared as it was asks for no step here.
      if (distinct.isEmpty() || !Arrays.equals(distinct.getLast(), values)) {
        distinct.add(values);
      }
    }
    this.expected = distinct.toArray(int[][]::new);
    this.indexWord = system.words();
    this.extended = new long[indexWord + 1];
  }

  /** What another system stores by this number: the number by which it is stored here, or -1. */
  private static int here(KeptSystem system, KeptSystem coarser, int stored) {
    Group group = coarser.group(stored);
    return group != null ? system.numberOf(group) : system.stores(stored) ? stored : -1;
  }

  private GuidedSystem(GuidedSystem of, KeptSystem system) {
    super(system);
    this.system = system;
    this.compared = of.compared;
    this.expected = of.expected;
    this.indexWord = of.indexWord;
    this.extended = new long[indexWord + 1];
  }

  @Override
  public GuidedSystem forAnotherThread() {
    return new GuidedSystem(this, system.forAnotherThread());
  }

  private boolean matches(long[] state, int index) {
    int[] wanted = expected[index];
    for (int v = 0; v < compared.length; v++) {
      if (system.valueIn(state, compared[v]) != wanted[v]) {
        return false;
      }
    }
    return true;
  }

  @Override
  public void starts(Sink sink) {
    results = 0;
    system.starts((step, s) -> offer(step, s, 0, sink));
  }

  @Override
  public void successors(long[] state, Sink sink) {
    int index = (int) state[indexWord];
    results = 0;
    system.successors(
        state,
        (step, s) -> {
          offer(step, s, index, sink);
          if (index + 1 < expected.length) {
            offer(step, s, index + 1, sink);
          }
        });
  }

  private void offer(int step, long[] state, int index, Sink sink) {
    if (++results > MOST_RESULTS) {
      throw CutShort.tooManyResults();
    }
    if (matches(state, index)) {
      System.arraycopy(state, 0, extended, 0, indexWord);
      extended[indexWord] = index;
      sink.edge(step, extended);
    }
  }

  @Override
  public boolean goal(long[] state) {
    return state[indexWord] == expected.length - 1;
  }

  @Override
  public int words() {
    return indexWord + 1;
  }
}
