package stoplog.checker.abstraction;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertNotSame;
import static org.junit.jupiter.api.Assertions.assertSame;
import static org.junit.jupiter.api.Assertions.assertTrue;
import static stoplog.checker.testkit.ModelBuilder.choose;
import static stoplog.checker.testkit.ModelBuilder.value;

import java.lang.classfile.Attributes;
import java.lang.classfile.ClassFile;
import java.nio.charset.StandardCharsets;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.BitSet;
import java.util.HashSet;
import java.util.List;
import java.util.Random;
import java.util.Set;
import org.junit.jupiter.api.Test;
import stoplog.checker.differential.RandomModel;
import stoplog.checker.explore.Budget;
import stoplog.checker.explore.Progress;
import stoplog.checker.explore.Search;
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
      var program = new RandomStep(seed);
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
    byte[] file = new StepCodeWriter(system, commuting(system), 2_000).write(plain, true);
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
    byte[] file = new StepCodeWriter(system, commuting(system), 2_000).write(List.of(), true);
    byte[] other = new StepCodeWriter(system, commuting(system), 2_000).write(List.of(), false);
    StepCode code = LoadedCode.of(file);
    assertSame(code, LoadedCode.of(file.clone()));
    assertNotSame(code, LoadedCode.of(other));
  }

  /** What is loaded once is found by its content, so that must not depend on anything else. */
  @Test
  void equalSystemsGiveEqualClassFiles() {
    int files = 0;
    for (long seed = 1; seed <= 50; seed++) {
      var program = new RandomStep(seed);
      var again = new RandomStep(seed);
      if (CompiledSteps.of(program.system()).count() > 0) {
        assertArrayEquals(written(program.system()), written(again.system()), "seed " + seed);
        files++;
      }
    }
    assertTrue(files > 20, "only " + files + " programs were compiled");
  }

  private static Commuting commuting(CompilableSystem system) {
    return Commuting.of(system, new PlainNodes(system.domains()));
  }

  private static byte[] written(CompilableSystem system) {
    return new StepCodeWriter(system, commuting(system), 20).write(system.units(), true);
  }

  /** Two class files with the same hash: one letter of the name is 1 more, the next 31 less. */
  @Test
  void codeIsKnownByItsContentAndNotByItsHash() {
    var reads = new Reads(RandomModel.of(1));
    var system = new KeptSystem(reads, null, Kept.everything(reads)).compilable();
    byte[] file = new StepCodeWriter(system, commuting(system), 2_000).write(List.of(), true);
    String text = new String(file, StandardCharsets.ISO_8859_1);
    byte[] other =
        text.replace("/Steps", "/StfQs").getBytes(StandardCharsets.ISO_8859_1);
    assertEquals(Arrays.hashCode(file), Arrays.hashCode(other));
    assertFalse(Arrays.equals(file, other));
    assertNotSame(LoadedCode.of(file), LoadedCode.of(other));
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
}
