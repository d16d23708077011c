package stoplog.checker.abstraction;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertNull;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Random;
import org.jspecify.annotations.Nullable;
import org.junit.jupiter.api.Test;
import stoplog.checker.explore.Budget;
import stoplog.checker.explore.Progress;
import stoplog.checker.explore.Search;
import stoplog.checker.explore.SleepSets;
import stoplog.checker.explore.SystemBeneath;
import stoplog.checker.explore.TimedSystem;
import stoplog.checker.testkit.Helped;
import stoplog.checker.testkit.ModelBuilder;
import stoplog.checker.testkit.ModelBuilder.Var;
import stoplog.model.Assignment;
import stoplog.model.Claim;
import stoplog.model.Expr;
import stoplog.model.FieldChange;
import stoplog.model.Model;
import stoplog.model.Role;

/**
 * Searches that let steps sleep find the same states as those that take all steps, in the same
 * order and from the same states by the same steps. {@code -Dseeds=N} tries N models,
 * {@code -Dseed=S} starts at S.
 */
class CommutingTest {
  @Test
  void randomModelsAreSearchedNodeForNodeAsWithoutSleep() {
    long first = Long.getLong("seed", 1);
    long count = Long.getLong("seeds", 1500);
    long[] handedOut = new long[2];
    int found = 0;
    for (long seed = first; seed < first + count; seed++) {
      Model model = RandomChanges.of(seed);
      var reads = new Reads(model);
      Kept kept = Kept.everything(reads);
      for (Claim claim : Arrays.asList(null, model.claims().getFirst())) {
        var fast = new KeptSystem(reads, claim, kept);
        fast.compile();
        Search slowly = search(new KeptSystem(reads, claim, kept), Progress.NONE);
        Search sleeping = search(fast, Progress.NONE);
        Search.Outcome expected = slowly.run();
        assertEquals(told(expected), told(sleeping.run()), "seed " + seed);
        assertSame(slowly, sleeping, "seed " + seed);
        found += expected instanceof Search.Outcome.Found ? 1 : 0;
        if (claim == null) {
          count(new KeptSystem(reads, null, kept), fast, handedOut);
        }
      }
    }
    assertTrue(found > count / 10, "only " + found + " searches found their goal");
    assertTrue(
        handedOut[1] < handedOut[0] * 3 / 4,
        "of " + handedOut[0] + " steps " + handedOut[1] + " are taken");
  }

  /** The steps become code in the middle of a search, and another thread helps with them. */
  @Test
  void longSearchesBeginToLetStepsSleepOnTheWay() {
    int counters = 5;
    int size = 7;
    var m = new ModelBuilder("counters").powered(Expr.FALSE);
    List<Var> counter = new ArrayList<>();
    for (int i = 0; i < counters; i++) {
      counter.add(m.number("counter " + i, Role.PROCESS, size));
    }
    for (Var c : counter) {
      m.change("up").does(c.to(ModelBuilder.shift(c.read(), 1)));
      m.change("down").does(c.to(ModelBuilder.shift(c.read(), -1)));
    }
    Model model = m.build();
    var reads = new Reads(model);
    for (int helpers = 0; helpers < 2; helpers++) {
      var system = new KeptSystem(reads, null, Kept.everything(reads));
      Search search = search(system, new Helped(helpers, 64));
      search.run();
      assertTrue(system.sleepSets() != null);
      assertEquals((int) Math.pow(size, counters), search.nodes());
      // The first counters are moved first: of the shortest ways the one of the smallest steps.
      for (int node = 0; node < search.nodes(); node++) {
        Search.Path path = search.pathTo(node);
        long[] state = path.states().getLast();
        var expected = new ArrayList<Integer>();
        for (int i = 0; i < counters; i++) {
          for (int up = 0; up < system.valueIn(state, i); up++) {
            expected.add(2 * i);
          }
        }
        assertArrayEquals(
            expected.stream().mapToInt(Integer::intValue).toArray(), path.steps(), "node " + node);
      }
    }
  }

  @Test
  void whatAScanMaySeeDoesNotSleep() {
    var m = new ModelBuilder("scans");
    Var one = m.bit("one", Role.PROCESS);
    Var other = m.bit("other", Role.PROCESS);
    Var lamp = m.bit("lamp", Role.MEMORY);
    m.change("one").does(one.to(Expr.not(one.on())));
    m.change("other").does(other.to(Expr.not(other.on())));
    m.scans(lamp.to(Expr.all(one.on(), other.on())));
    var reads = new Reads(m.build());
    var system = new KeptSystem(reads, null, Kept.everything(reads));
    system.compile();
    assertNull(system.sleepSets());
  }

  private static Search search(TimedSystem system, Progress progress) {
    long deadline = Long.MAX_VALUE / 2 + System.nanoTime();
    return new Search(
        system, Search.Zoning.FOR_REACHING, Budget.standard(), deadline, progress, "", 0);
  }

  /** Adds how many steps are handed out in all, and in a search that lets them sleep. */
  private static void count(KeptSystem slow, KeptSystem fast, long[] handedOut) {
    for (int i = 0; i < 2; i++) {
      var counted = new Counted(i == 0 ? slow : fast);
      search(counted, Progress.NONE).run();
      handedOut[i] += counted.steps;
    }
  }

  private static final class Counted extends SystemBeneath {
    private final KeptSystem system;
    long steps;

    Counted(KeptSystem system) {
      super(system);
      this.system = system;
    }

    @Override
    public void successors(long[] state, long asleep, Sink sink) {
      system.successors(
          state,
          asleep,
          (step, s) -> {
            steps++;
            sink.edge(step, s);
          });
    }

    @Override
    public @Nullable SleepSets sleepSets() {
      return system.sleepSets();
    }

    @Override
    public Counted forAnotherThread() {
      throw new AssertionError("nobody helps here");
    }
  }

  private static String told(Search.Outcome outcome) {
    return outcome instanceof Search.Outcome.Found(Search.Path path)
        ? Arrays.deepToString(path.states().toArray()) + Arrays.toString(path.steps())
        : outcome.toString();
  }

  private static void assertSame(Search expected, Search actual, String name) {
    assertEquals(expected.nodes(), actual.nodes(), name);
    for (int node = 0; node < expected.nodes(); node++) {
      Search.Path one = expected.pathTo(node);
      Search.Path other = actual.pathTo(node);
      assertArrayEquals(one.steps(), other.steps(), name);
      assertArrayEquals(one.states().toArray(), other.states().toArray(), name);
    }
  }

  /** Small models of changes only, that often have nothing in common or undo each other. */
  private static final class RandomChanges {
    private final Random random;
    private final ModelBuilder m;
    private final List<Var> variables = new ArrayList<>();
    private final List<Integer> sizes = new ArrayList<>();

    private RandomChanges(long seed) {
      random = new Random(seed);
      m = new ModelBuilder("seed " + seed).powered(Expr.FALSE);
    }

    static Model of(long seed) {
      return new RandomChanges(seed).model();
    }

    private Model model() {
      int count = 2 + random.nextInt(5);
      for (int i = 0; i < count; i++) {
        sizes.add(2 + random.nextInt(3));
        variables.add(m.number("v" + i, Role.PROCESS, sizes.get(i)));
      }
      int changes = 3 + random.nextInt(12);
      for (int i = 0; i < changes; i++) {
        switch (random.nextInt(4)) {
          case 0 -> upAndDown(i);
          case 1 -> swap(i);
          default -> any(i);
        }
      }
      m.hazard("H-01", Expr.all(test(), test(), test())).tolerating(random.nextInt(3));
      return m.build();
    }

    private int variable() {
      return random.nextInt(variables.size());
    }

    private Expr test() {
      int v = variable();
      Expr is = variables.get(v).is(random.nextInt(sizes.get(v)));
      return random.nextInt(3) == 0 ? is : Expr.not(is);
    }

    private void upAndDown(int number) {
      Var v = variables.get(variable());
      Expr guard = random.nextBoolean() ? Expr.TRUE : test();
      m.change("up " + number).when(guard).does(v.to(ModelBuilder.shift(v.read(), 1)));
      Expr back = random.nextInt(3) > 0 ? guard : test();
      m.change("down " + number).when(back).does(v.to(ModelBuilder.shift(v.read(), -1)));
    }

    /** As a tile moves into a blank cell, there and mostly back. */
    private void swap(int number) {
      int a = variable();
      int b = variable();
      if (a != b && sizes.get(a).equals(sizes.get(b))) {
        m.change("there " + number).when(variables.get(a).is(0)).does(moved(a, b));
        int blank = random.nextInt(4) == 0 ? a : b;
        m.change("back " + number).when(variables.get(blank).is(0)).does(moved(b, a));
      }
    }

    private Assignment[] moved(int to, int from) {
      return new Assignment[] {
        variables.get(to).to(variables.get(from).read()), variables.get(from).to(0)
      };
    }

    private void any(int number) {
      var change = m.change("any " + number);
      if (random.nextInt(4) == 0) {
        change.by(FieldChange.Cause.FAULT);
      }
      change.when(random.nextBoolean() ? test() : Expr.all(test(), test()));
      for (int i = random.nextInt(2); i >= 0; i--) {
        int v = variable();
        change.does(variables.get(v).to(value(v)));
      }
    }

    private Expr value(int v) {
      int from = variable();
      return switch (random.nextInt(3)) {
        case 0 -> ModelBuilder.value(random.nextInt(sizes.get(v)));
        case 1 -> variables.get(from).read();
        default -> ModelBuilder.choose(test(), ModelBuilder.value(0), ModelBuilder.value(1));
      };
    }
  }
}
