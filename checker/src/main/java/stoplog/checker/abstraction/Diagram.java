package stoplog.checker.abstraction;

import java.util.Arrays;
import java.util.HashMap;
import java.util.Map;

/**
 * Truth functions over numbered bits as ordered, reduced decision diagrams: equal functions have equal
 * numbers. {@link #FALSE} is 0 and {@link #TRUE} is 1. For one thread, one step at a time.
 *
 * <p>Node n tests bit {@code bit[n]} and goes on to {@code low[n]} or {@code high[n]}; bits ascend on
 * every way down. INVARIANT (reduced): {@code low[n] != high[n]}, and no two nodes are alike. {@link
 * #either} costs at most the product of its operands' sizes; its results are remembered in a table that
 * forgets (a collision costs time, never an answer).
 *
 * <p>Written anew rather than taken from a library: a step needs three operations, and to start afresh
 * thousands of times a second at the cost of the nodes used.
 */
final class Diagram {
  static final int FALSE = 0;
  static final int TRUE = 1;

  /** Nodes beyond which a step counts as too intricate. */
  static final int MOST_NODES = 1 << 20;

  /** Signals that a step is too intricate to be followed in this way. */
  static final class TooIntricate extends RuntimeException {
    private static final long serialVersionUID = 1;

    TooIntricate() {
      super(null, null, false, false);
    }
  }

  /** Results remembered at first, and at most. */
  private static final int FEWEST_REMEMBERED = 1 << 10;

  private static final int MOST_REMEMBERED = 1 << 16;

  /** Functions worked out, for each node there may be, beyond which a step counts as too intricate. */
  private static final int WORK_FOR_NODE = 64;

  /** After how many functions it is asked whether there is time left. */
  private static final int CHECK_EVERY = 1 << 14;

  private StepLimits limits = StepLimits.STANDARD;
  private long work;

  private int[] bit = new int[256];
  private int[] low = new int[256];
  private int[] high = new int[256];
  private int nodes;
  private int[] table = new int[1024];
  private int[] memo = new int[FEWEST_REMEMBERED * 4];

  Diagram() {
    bit[FALSE] = Integer.MAX_VALUE;
    bit[TRUE] = Integer.MAX_VALUE;
    nodes = 2;
  }

  /** Forgets all functions, and goes on within these limits. O(nodes made since the last time). */
  void clear(StepLimits within) {
    limits = within;
    work = 0;
    if (table.length > 1 << 14) {
      table = new int[1024];
      memo = new int[FEWEST_REMEMBERED * 4];
    } else {
      Arrays.fill(table, 0);
      Arrays.fill(memo, 0);
    }
    nodes = 2;
  }

  /** The function that is true where the bit is set. */
  int bit(int number) {
    return node(number, FALSE, TRUE);
  }

  int not(int f) {
    return either(f, FALSE, TRUE);
  }

  int and(int f, int g) {
    return either(f, g, FALSE);
  }

  int or(int f, int g) {
    return either(f, TRUE, g);
  }

  /** Where {@code f} holds {@code then}, elsewhere {@code otherwise}. */
  int either(int f, int then, int otherwise) {
    if (f == TRUE || then == otherwise) {
      return then;
    }
    if (f == FALSE) {
      return otherwise;
    }
    if (then == TRUE && otherwise == FALSE) {
      return f;
    }
    int at = (f * 0x9E3779B1 ^ then * 0x85EBCA6B ^ otherwise * 0xC2B2AE35) >>> 7;
    int[] memory = memo;
    at = (at & memory.length / 4 - 1) * 4;
    if (memory[at] == f && memory[at + 1] == then && memory[at + 2] == otherwise) {
      return memory[at + 3];
    }
    // What is forgotten may have to be worked out again: that costs time, but no nodes.
    if ((++work & CHECK_EVERY - 1) == 0) {
      limits.check();
      if (work / WORK_FOR_NODE > limits.nodes()) {
        throw new TooIntricate();
      }
    }
    int top = Math.min(bit[f], Math.min(bit[then], bit[otherwise]));
    int l = either(below(f, top, low), below(then, top, low), below(otherwise, top, low));
    int h = either(below(f, top, high), below(then, top, high), below(otherwise, top, high));
    int result = node(top, l, h);
    memory[at] = f;
    memory[at + 1] = then;
    memory[at + 2] = otherwise;
    memory[at + 3] = result;
    return result;
  }

  // What has more values than two: a function for each value, true where it has it; those beyond are false.

  static int at(int[] values, int value) {
    return value >= 0 && value < values.length ? values[value] : FALSE;
  }

  /** Where the value is one of a set. */
  int in(int[] values, long set) {
    int in = FALSE;
    for (int v = 0; v < values.length; v++) {
      if ((set >>> v & 1) == 1) {
        in = or(in, values[v]);
      }
    }
    return in;
  }

  /** Where both have the same value. */
  int same(int[] left, int[] right) {
    int same = FALSE;
    for (int v = 0; v < Math.min(left.length, right.length); v++) {
      same = or(same, and(left[v], right[v]));
    }
    return same;
  }

  /** Where {@code f} holds the values of {@code then}, elsewhere those of {@code otherwise}. */
  int[] either(int f, int[] then, int[] otherwise) {
    int[] values = new int[Math.max(then.length, otherwise.length)];
    for (int v = 0; v < values.length; v++) {
      values[v] = either(f, at(then, v), at(otherwise, v));
    }
    return values;
  }

  private int below(int f, int top, int[] branch) {
    return bit[f] == top ? branch[f] : f;
  }

  private int node(int number, int l, int h) {
    if (l == h) {
      return l;
    }
    int mask = table.length - 1;
    int at = slot(number, l, h) & mask;
    while (table[at] != 0) {
      int n = table[at];
      if (bit[n] == number && low[n] == l && high[n] == h) {
        return n;
      }
      at = at + 1 & mask;
    }
    if (nodes >= limits.nodes()) {
      throw new TooIntricate();
    }
    if (nodes == bit.length) {
      bit = Arrays.copyOf(bit, nodes * 2);
      low = Arrays.copyOf(low, nodes * 2);
      high = Arrays.copyOf(high, nodes * 2);
    }
    bit[nodes] = number;
    low[nodes] = l;
    high[nodes] = h;
    table[at] = nodes;
    if (nodes * 2 > table.length) {
      grow();
    }
    return nodes++;
  }

  private void grow() {
    table = new int[table.length * 2];
    if (memo.length / 4 < MOST_REMEMBERED && table.length > memo.length) {
      memo = new int[memo.length * 2];
    }
    int mask = table.length - 1;
    for (int n = 2; n <= nodes; n++) {
      int at = slot(bit[n], low[n], high[n]) & mask;
      while (table[at] != 0) {
        at = at + 1 & mask;
      }
      table[at] = n;
    }
  }

  private static int slot(int number, int l, int h) {
    int mixed = number * 0x9E3779B1 ^ l * 0x85EBCA6B ^ h * 0xC2B2AE35;
    return mixed ^ mixed >>> 15;
  }

  /**
   * A function, the smaller the better, that agrees with {@code f} wherever {@code care} holds: true if
   * {@code care} implies {@code f}. {@code care} must hold somewhere.
   */
  int restricted(int f, int care) {
    return restricted(f, care, new HashMap<>());
  }

  private int restricted(int f, int care, Map<Long, Integer> done) {
    if (care == TRUE || f <= TRUE) {
      return f;
    }
    if (f == care) {
      return TRUE;
    }
    long key = (long) f << 32 | care;
    Integer known = done.get(key);
    if (known != null) {
      return known;
    }
    int top = Math.min(bit[f], bit[care]);
    int careLow = below(care, top, low);
    int careHigh = below(care, top, high);
    int result;
    if (careLow == FALSE) {
      result = restricted(below(f, top, high), careHigh, done);
    } else if (careHigh == FALSE) {
      result = restricted(below(f, top, low), careLow, done);
    } else if (bit[f] > top) {
      result = restricted(f, or(careLow, careHigh), done);
    } else {
      result =
          node(top, restricted(low[f], careLow, done), restricted(high[f], careHigh, done));
    }
    done.put(key, result);
    return result;
  }

  /** Bits tested on a way to true that tests the fewest; {@code f} must not be false. */
  int[] fewestBits(int f) {
    int[] cost = new int[nodes];
    Arrays.fill(cost, -1);
    int length = cost(f, cost);
    int[] bits = new int[length];
    int at = f;
    for (int i = 0; i < length; i++) {
      bits[i] = bit[at];
      at = cost(low[at], cost) <= cost(high[at], cost) ? low[at] : high[at];
    }
    return bits;
  }

  private int cost(int f, int[] cost) {
    if (f <= TRUE) {
      return f == TRUE ? 0 : Integer.MAX_VALUE / 2;
    }
    if (cost[f] < 0) {
      cost[f] = 1 + Math.min(cost(low[f], cost), cost(high[f], cost));
    }
    return cost[f];
  }
}
