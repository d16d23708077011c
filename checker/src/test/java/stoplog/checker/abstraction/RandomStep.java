package stoplog.checker.abstraction;

import static org.junit.jupiter.api.Assertions.assertEquals;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.BitSet;
import java.util.List;
import java.util.Random;
import stoplog.checker.pack.Packing;

/**
 * A random step over nodes of every kind: the one change of a system with fields of all sizes up to 64
 * values, on a few words.
 */
final class RandomStep {
  private static final int STORED = 9;
  private static final int VARIABLES = STORED + 2;

  private final Random random;
  private final long[] domains = new long[VARIABLES];
  private final int[] sizes = new int[VARIABLES];
  private final List<Node.Defined> definitions = new ArrayList<>();
  private final StepProgram program;
  private final Packing packing;
  private int readable = STORED;
  private int definedBefore;

  RandomStep(long seed) {
    random = new Random(seed);
    int[] fields = new int[STORED + 2];
    Arrays.fill(fields, 1);
    for (int v = 0; v < VARIABLES; v++) {
      sizes[v] = random.nextInt(3) == 0 ? 2 : 1 + random.nextInt(64);
      domains[v] = -1L >>> 64 - sizes[v];
      if (v < STORED) {
        fields[v] = sizes[v];
      }
    }
    // A field wider than its values come to, and one of a value only: both may stand at a word's end.
    packing = new Packing(fields);
    var operations = new ArrayList<StepProgram.Operation>();
    int length = 1 + random.nextInt(6);
    for (int i = 0; i < length; i++) {
      define();
      if (random.nextInt(3) == 0) {
        Node guard =
            random.nextInt(8) == 0
                ? new Node.Any(many(false))
                : definitions.size() > 1 ? usedTwice() : truth(3);
        operations.add(new StepProgram.Operation(-1, 0, guard));
      } else {
        int target = random.nextInt(readable < VARIABLES ? readable + 1 : VARIABLES);
        operations.add(new StepProgram.Operation(target, domains[target], number(3)));
        readable = Math.max(readable, target + 1);
      }
    }
    program =
        new StepProgram(
            operations.toArray(StepProgram.Operation[]::new),
            new long[0],
            new boolean[0],
            definedBefore);
  }

  /** New definitions for the next operation; the later ones may use the earlier. */
  private void define() {
    definitions.clear();
    for (int i = random.nextInt(5); i > 0; i--) {
      Node value = random.nextInt(4) == 0 ? small() : truth(2);
      definitions.add(new Node.Defined(definedBefore++, value));
    }
  }

  /** Whether two definitions, each looked at twice, differ or are both what they need not be. */
  private Node usedTwice() {
    Node one = definitions.get(0);
    Node other = definitions.get(1);
    Node same = new Node.Same(one, other);
    Node both = new Node.All(new Node[] {new Node.In(one, 2), new Node.In(other, 2), truth(1)});
    return new Node.Any(new Node[] {new Node.Not(same), both});
  }

  private Node small() {
    return new Node.Choose(
        truth(1), new Node.Fixed(1L << random.nextInt(64)), new Node.Fixed(1L << random.nextInt(3)));
  }

  private Node truth(int depth) {
    return switch (random.nextInt(depth == 0 ? 3 : 12)) {
      case 0, 1 -> new Node.In(read(), random.nextLong() & random.nextLong());
      case 2 -> one();
      case 3 -> new Node.Not(truth(depth - 1));
      case 4 -> new Node.All(truths(depth, true));
      case 5 -> new Node.Any(truths(depth, false));
      case 6 -> new Node.Same(number(depth - 1), number(depth - 1));
      case 7 -> new Node.Choose(truth(depth - 1), truth(depth - 1), truth(depth - 1));
      case 8 -> new Node.In(number(depth - 1), random.nextLong());
      default -> used(0, depth);
    };
  }

  /** Whether a variable has one value, or has it not. */
  private Node one() {
    Node.KeptRead read = read();
    long value = 1L << random.nextInt(sizes[read.variable()]);
    return switch (random.nextInt(3)) {
      case 0 -> new Node.In(read, value);
      case 1 -> new Node.In(read, ~value);
      default -> new Node.Fixed(1 + random.nextInt(2));
    };
  }

  private Node[] truths(int depth, boolean all) {
    if (random.nextInt(15) == 0) {
      return many(all);
    }
    Node[] operands = new Node[random.nextInt(4)];
    for (int i = 0; i < operands.length; i++) {
      operands[i] = truth(depth - 1);
    }
    return operands;
  }

  /** Very many operands of which each seldom decides anything. */
  private Node[] many(boolean all) {
    Node[] operands = new Node[10 + random.nextInt(60)];
    for (int i = 0; i < operands.length; i++) {
      Node.KeptRead read = read();
      long value = 1L << random.nextInt(sizes[read.variable()]);
      operands[i] = new Node.In(read, all ? ~value : value);
    }
    return operands;
  }

  private Node used(int kind, int depth) {
    if (definitions.isEmpty()) {
      return truth(depth - 1);
    }
    Node.Defined d = definitions.get(random.nextInt(definitions.size()));
    boolean truth = !(d.value() instanceof Node.Choose c && c.then() instanceof Node.Fixed);
    return kind == 1 || truth ? d : new Node.In(d, random.nextLong());
  }

  private Node number(int depth) {
    return switch (random.nextInt(depth <= 0 ? 2 : 8)) {
      case 0 -> read();
      case 1 -> new Node.Fixed(1L << random.nextInt(64));
      case 2 -> new Node.Choose(truth(depth - 1), number(depth - 1), number(depth - 1));
      case 3, 4 -> new Node.Shift(read(), random.nextInt(9) - 4);
      case 5 -> truth(depth - 1);
      default -> used(1, depth);
    };
  }

  private Node.KeptRead read() {
    return new Node.KeptRead(random.nextInt(readable));
  }

  int[] values() {
    int[] values = new int[VARIABLES];
    for (int v = 0; v < STORED; v++) {
      values[v] = random.nextInt(sizes[v]);
    }
    return values;
  }

  CompilableSystem system() {
    int[] stored = new int[STORED];
    for (int v = 0; v < STORED; v++) {
      stored[v] = v;
    }
    var always = new StepProgram(new StepProgram.Operation[0], new long[0], new boolean[0], 0);
    return new CompilableSystem(
        packing, stored, domains, false, 1, true, 0, new BitSet(), new BitSet(), always,
        List.of(new CompilableSystem.Unit.Change(7, false, program)), List.of());
  }

  private long[] packed(int[] values) {
    long[] words = new long[packing.words()];
    for (int v = 0; v < STORED; v++) {
      packing.put(words, v, values[v]);
    }
    return words;
  }

  List<List<Long>> interpreted(int[] values) {
    var results = new ArrayList<List<Long>>();
    int[] copy = values.clone();
    program.run(copy, null, () -> results.add(list(packed(copy))));
    return results;
  }

  List<List<Long>> compiled(CompiledSteps steps, int[] values) {
    var results = new ArrayList<List<Long>>();
    steps.successors(
        packed(values),
        new long[packing.words()],
        new long[steps.scratchWords()],
        0,
        (step, s) -> {
          assertEquals(7, step);
          results.add(list(s));
        },
        (step, s, sink) -> {
          throw new AssertionError("nothing is left to interpret");
        });
    return results;
  }

  private static List<Long> list(long[] words) {
    return Arrays.stream(words).boxed().toList();
  }
}
