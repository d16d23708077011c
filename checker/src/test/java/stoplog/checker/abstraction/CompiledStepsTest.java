package stoplog.checker.abstraction;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertNotSame;
import static org.junit.jupiter.api.Assertions.assertSame;
import static org.junit.jupiter.api.Assertions.assertTrue;
import static stoplog.checker.testkit.ModelBuilder.choose;
import static stoplog.checker.testkit.ModelBuilder.value;

import java.lang.classfile.Attributes;
import java.lang.classfile.ClassFile;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.BitSet;
import java.util.HashSet;
import java.util.List;
import java.util.Random;
import java.util.Set;
import org.jspecify.annotations.Nullable;
import org.junit.jupiter.api.Test;
import stoplog.checker.differential.RandomModel;
import stoplog.checker.explore.Budget;
import stoplog.checker.explore.Progress;
import stoplog.checker.explore.Search;
import stoplog.checker.pack.Packing;
import stoplog.checker.testkit.ModelBuilder;
import stoplog.checker.testkit.ModelBuilder.Var;
import stoplog.model.Assignment;
import stoplog.model.Claim;
import stoplog.model.Expr;
import stoplog.model.Model;
import stoplog.model.Role;

/**
 * Compiled steps hand out what interpreted ones do, in the same order: for random programs over nodes
 * of every kind, for random models with any part of them hidden, and for whole searches. Each is also
 * cut into the smallest methods. {@code -Dseeds=N} tries N models, {@code -Dseed=S} starts at S.
 */
class CompiledStepsTest {
  private static final int[] METHOD_BYTES = {2_000, 150, 20};
  private static final int MOST_STATES = 300;

  @Test
  void randomProgramsGiveTheSameResults() {
    int results = 0;
    int compiled = 0;
    for (long seed = 1; seed <= 2000; seed++) {
      var program = new NodePrograms(seed);
      var system = program.system();
      for (int bytes : METHOD_BYTES) {
        var steps = CompiledSteps.of(system, bytes);
        compiled += steps.count();
        for (int i = 0; steps.count() > 0 && i < 20; i++) {
          int[] values = program.values();
          List<List<Long>> expected = program.interpreted(values);
          assertEquals(expected, program.compiled(steps, values), "seed " + seed + ", " + bytes);
          results += expected.size();
        }
      }
    }
    assertTrue(compiled > 1500, "only " + compiled + " programs were compiled");
    assertTrue(results > 10_000, "only " + results + " results");
  }

  @Test
  void randomModelsTakeTheSameStepsInTheSameOrder() {
    long first = Long.getLong("seed", 1);
    long count = Long.getLong("seeds", 300);
    int compiled = 0;
    int interpreted = 0;
    for (long seed = first; seed < first + count; seed++) {
      Model model = RandomModel.of(seed);
      var reads = new Reads(model);
      var random = new Random(seed);
      for (Kept kept : List.of(Kept.everything(reads), some(reads, random), some(reads, random))) {
        for (Claim claim : Arrays.asList(null, model.claims().getFirst())) {
          var slow = new KeptSystem(reads, claim, kept);
          var fast = new KeptSystem(reads, claim, kept);
          CompilableSystem system = fast.compilable();
          var steps =
              CompiledSteps.of(system, METHOD_BYTES[random.nextInt(METHOD_BYTES.length)]);
          fast.use(steps);
          compiled += steps.count();
          interpreted += system.units().size() - steps.count();
          walkBoth(slow, fast, "seed " + seed + ", kept " + kept, MOST_STATES);
        }
      }
    }
    assertTrue(compiled > 10 * count, "only " + compiled + " steps were compiled");
    assertTrue(interpreted > count, "only " + interpreted + " steps were left as they are");
  }

  @Test
  void searchesEndTheSameNodeForNode() {
    long first = Long.getLong("seed", 1);
    long count = Long.getLong("seeds", 300);
    int found = 0;
    for (long seed = first; seed < first + count; seed++) {
      Model model = RandomModel.of(seed);
      var reads = new Reads(model);
      Kept kept = Kept.everything(reads);
      for (Search.Zoning zoning : Search.Zoning.values()) {
        var slow = search(new KeptSystem(reads, model.claims().getFirst(), kept), zoning);
        var system = new KeptSystem(reads, model.claims().getFirst(), kept);
        system.compile();
        var fast = search(system, zoning);
        Search.Outcome expected = slow.run();
        Search.Outcome outcome = fast.run();
        String name = "seed " + seed + ", " + zoning;
        assertEquals(told(expected), told(outcome), name);
        assertEquals(nodes(slow), nodes(fast), name);
        found += outcome instanceof Search.Outcome.Found ? 1 : 0;
      }
    }
    assertTrue(found > count / 5, "only " + found + " searches found their goal");
  }

  /** A scan switches the controller's own supply off: nothing is due then. */
  @Test
  void powerIsLookedAtAfterTheScanToo() {
    var m = new ModelBuilder("own supply");
    Var supply = m.bit("supply", Role.POWER).starts(1);
    Var button = m.bit("button", Role.PANEL);
    Var memory = m.number("memory", Role.MEMORY, 3);
    m.powered(supply.on());
    m.change("pressed").does(button.to(Expr.not(button.on())));
    m.change("supply back").when(supply.off()).does(supply.to(1));
    m.scans(memory.to(choose(button.on(), value(2), choose(memory.is(2), value(1), value(0)))));
    m.reactions(supply.to(Expr.all(supply.on(), Expr.not(memory.is(2)))));
    m.hazard("H-01", memory.is(1));
    Model model = m.build();
    var reads = new Reads(model);
    Claim claim = model.claims().getFirst();
    var fast = new KeptSystem(reads, claim, Kept.everything(reads));
    fast.compile();
    walkBoth(new KeptSystem(reads, claim, Kept.everything(reads)), fast, "supply", MOST_STATES);
  }

  /** Far more than a method or a class can hold, and expressions too deep to be walked through. */
  @Test
  void largePlantsAreCutToSize() {
    Model model = large(2_500);
    var reads = new Reads(model);
    Kept kept = Kept.everything(reads);
    var slow = new KeptSystem(reads, model.claims().getFirst(), kept);
    var fast = new KeptSystem(reads, model.claims().getFirst(), kept);
    fast.compile();
    CompilableSystem system = fast.compilable();
    int steps = CompiledSteps.of(system).count();
    assertEquals(system.units().size() - 1, steps, "all but the change whose guard is too deep");
    walkBoth(slow, fast, "large", 12);
    var plain = system.units().stream().filter(u -> u.step() != 0).toList();
    byte[] file = new StepCodeWriter(system, 2_000).write(plain, true);
    int methods = 0;
    for (var method : ClassFile.of().parse(file).methods()) {
      int bytes = method.findAttribute(Attributes.code()).orElseThrow().codeLength();
      assertTrue(bytes < 8_000, method.methodName() + " has " + bytes + " bytes");
      methods++;
    }
    assertTrue(methods > 300, "only " + methods + " methods");
  }

  @Test
  void equalCodeIsLoadedOnceAndOtherCodeIsNot() {
    var reads = new Reads(RandomModel.of(1));
    var system = new KeptSystem(reads, null, Kept.everything(reads)).compilable();
    byte[] file = new StepCodeWriter(system, 2_000).write(List.of(), true);
    byte[] other = new StepCodeWriter(system, 2_000).write(List.of(), false);
    StepCode code = LoadedCode.of(file);
    assertSame(code, LoadedCode.of(file.clone()));
    assertNotSame(code, LoadedCode.of(other));
  }

  private static Model large(int count) {
    var m = new ModelBuilder("large");
    List<Var> bits = new ArrayList<>();
    for (int i = 0; i < count; i++) {
      bits.add(m.bit("bit " + i, i % 2 == 0 ? Role.PROCESS : Role.MEMORY));
    }
    List<Expr> off = new ArrayList<>();
    Expr deep = Expr.TRUE;
    for (int i = 3; i < count; i++) {
      off.add(bits.get(i).off());
      deep = i < 600 ? choose(bits.get(i).on(), bits.get(i - 1).on(), deep) : deep;
    }
    Expr chain = bits.get(1).on();
    for (int i = 0; i < 100; i++) {
      chain = m.definition("sum " + i, choose(chain, bits.get(2 * i).off(), Expr.not(chain)));
    }
    var settled = new ArrayList<Assignment>();
    var program = new ArrayList<Assignment>();
    for (int i = 4; i < count; i++) {
      Expr value = Expr.any(bits.get(i - 1).on(), Expr.all(bits.get(i).on(), bits.get(i - 3).off()));
      (i % 2 == 0 ? settled : program).add(bits.get(i).to(value));
    }
    program.add(bits.get(3).to(choose(chain, bits.get(1).read(), bits.get(2).read())));
    m.change("deep").when(deep).does(bits.get(0).to(1));
    m.change("one").when(Expr.any(off)).does(bits.get(0).to(Expr.not(bits.get(0).on())));
    m.change("two").when(Expr.all(off.subList(0, 20))).does(bits.get(2).to(1));
    m.change("all").when(Expr.any(Expr.all(off), Expr.not(Expr.any(off)))).does(bits.get(4).to(0));
    m.scans(program.toArray(Assignment[]::new));
    m.reactions(settled.toArray(Assignment[]::new));
    m.hazard("H-01", Expr.all(bits.get(1).on(), Expr.any(off)));
    return m.build();
  }

  private static Search search(KeptSystem system, Search.Zoning zoning) {
    return new Search(
        system, zoning, Budget.standard().withStates(2000), Long.MAX_VALUE / 2 + System.nanoTime(),
        Progress.NONE, "", 0);
  }

  private static String told(Search.Outcome outcome) {
    return outcome instanceof Search.Outcome.Found(Search.Path path)
        ? Arrays.deepToString(path.states().toArray()) + Arrays.toString(path.steps())
        : outcome.toString();
  }

  private static List<String> nodes(Search search) {
    var all = new ArrayList<String>();
    for (int n = 0; n < search.nodes(); n++) {
      all.add(search.stateOf(n) + Arrays.toString(search.zoneOf(n)) + search.levelOf(n));
    }
    return all;
  }

  private static Kept some(Reads reads, Random random) {
    var kept = new BitSet();
    int share = 1 + random.nextInt(5);
    for (int v = 0; v < reads.model().variables().size(); v++) {
      kept.set(v, random.nextInt(6) < share);
    }
    kept.or(reads.of(reads.model().controller().powered()));
    return new Kept(kept, random.nextInt(3) > 0);
  }

  private record Edge(int step, List<Long> state) {}

  private static void walkBoth(KeptSystem slow, KeptSystem fast, String name, int most) {
    var open = new ArrayList<long[]>();
    Set<List<Long>> seen = new HashSet<>();
    slow.starts((step, s) -> reach(s, open, seen));
    for (int i = 0; i < open.size() && i < most; i++) {
      long[] state = open.get(i);
      var expected = new ArrayList<Edge>();
      slow.successors(
          state,
          (step, s) -> {
            expected.add(new Edge(step, list(s)));
            reach(s, open, seen);
          });
      var edges = new ArrayList<Edge>();
      fast.successors(state, (step, s) -> edges.add(new Edge(step, list(s))));
      assertEquals(expected, edges, name + ", state " + Arrays.toString(state));
      assertArrayEquals(slow.running(state), fast.running(state), name + ", clocks");
    }
  }

  private static void reach(long[] s, List<long[]> open, Set<List<Long>> seen) {
    if (seen.add(list(s))) {
      open.add(s.clone());
    }
  }

  private static List<Long> list(long[] s) {
    return Arrays.stream(s).boxed().toList();
  }

  /** One change of a system with fields of all sizes up to 64 values, on a few words. */
  private static final class NodePrograms {
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

    NodePrograms(long seed) {
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
          (step, s) -> {
            assertEquals(7, step);
            results.add(list(s));
          },
          (step, s, sink) -> {
            throw new AssertionError("nothing is left to interpret");
          });
      return results;
    }
  }
}
