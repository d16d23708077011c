package stoplog.checker.abstraction;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.ArrayList;
import java.util.BitSet;
import java.util.Collections;
import java.util.List;
import java.util.Random;
import java.util.Set;
import java.util.TreeSet;
import org.junit.jupiter.api.Test;
import stoplog.checker.differential.RandomExpr;
import stoplog.checker.explore.CutShort;
import stoplog.model.Assignment;
import stoplog.model.Controller;
import stoplog.model.Definition;
import stoplog.model.Expr;
import stoplog.model.Model;
import stoplog.model.Role;
import stoplog.model.Variable;
import stoplog.source.Span;

/**
 * Random programs with some variables hidden: the results are those of trying every value of every
 * hidden variable, and every value again after each assignment to it.
 */
class StepProgramTest {
  private static final int VARIABLES = 5;

  @Test
  void resultsAreThoseOfTryingEveryHiddenValue() {
    int several = 0;
    for (long seed = 1; seed <= 2000; seed++) {
      var program = new RandomProgram(seed);
      Set<List<Integer>> expected = program.tried();
      assertEquals(expected, program.run(null), "seed " + seed);
      assertEquals(expected, program.run(new BitSet()), "seed " + seed + ", leaning told");
      for (boolean declared : new boolean[] {false, true}) {
        String how = "seed " + seed + ", all choices at once, declared first: " + declared;
        assertEquals(expected, program.atOnce(declared, null), how);
        assertEquals(expected, program.atOnce(declared, new BitSet()), how + ", told");
      }
      several += expected.size() > 1 ? 1 : 0;
    }
    assertTrue(several > 200, "only " + several + " programs had several results");
  }

  /** Nothing but its results counts of a step for which what it reads of hidden values was worked out beforehand. */
  @Test
  void aCondensedStepHasTheSameResults() {
    int smaller = 0;
    int several = 0;
    for (long seed = 1; seed <= 1500; seed++) {
      var program = new RandomProgram(seed, seed % 3 == 0 ? VARIABLES : 2 * VARIABLES);
      StepProgram condensed = HiddenParts.condensed(program.step);
      if (condensed != program.step) {
        Set<List<Integer>> expected = program.tried();
        smaller++;
        several += expected.size() > 1 ? 1 : 0;
        assertEquals(expected, program.oneByOne(condensed), "seed " + seed);
        for (boolean declared : new boolean[] {false, true}) {
          String how = "seed " + seed + ", all choices at once, declared first: " + declared;
          assertEquals(expected, program.atOnce(condensed, declared, null), how);
        }
      }
    }
    assertTrue(smaller > 600 && several > 200, smaller + " were condensed, " + several + " with several results");
  }

  /** The values that the hidden variables leaned on took are all it takes to get the same result. */
  @Test
  void whatAResultDidNotLeanOnDoesNotMatter() {
    for (long seed = 1; seed <= 500; seed++) {
      var program = new RandomProgram(seed);
      var leaned = new BitSet();
      program.step.run(program.values(), leaned, () -> {
        if (leaned.isEmpty()) {
          assertEquals(1, program.tried().size(), "a choice decided it, but none is told");
        }
        assertTrue(KeptSystem.isWithin(leaned, program.hidden), "leans on a kept variable");
      });
      assertTrue(leaned.isEmpty(), "seed " + seed);
      int all = program.tried().size();
      SymbolicRun.run(program.step, seed % 2 == 0, program.values(), leaned, StepLimits.STANDARD, () -> {
        if (leaned.isEmpty()) {
          assertEquals(1, all, "a choice decided it, but none is told");
        }
        assertTrue(KeptSystem.isWithin(leaned, program.hidden), "leans on a kept variable");
      });
      assertTrue(leaned.isEmpty(), "seed " + seed);
    }
  }

  /** Whatever the limits are: all results, or it is said that they are not all. */
  @Test
  void whatDoesNotSufficeSaysSo() {
    int sufficed = 0;
    int cut = 0;
    for (long seed = 1; seed <= 2000; seed++) {
      var program = new RandomProgram(seed);
      var random = new Random(seed);
      var limits =
          new StepLimits(1 + random.nextInt(12), 2 + random.nextInt(8), 1 + random.nextInt(40), () -> false);
      Set<List<Integer>> expected = program.tried();
      try {
        assertEquals(expected, program.within(limits), "seed " + seed);
        sufficed++;
      } catch (CutShort e) {
        assertTrue(e.reason().startsWith("a step has "), e.reason());
        cut++;
      }
    }
    assertTrue(sufficed > 200 && cut > 200, sufficed + " sufficed, " + cut + " did not");
  }

  /** Of a step that takes long it is asked in the middle whether there is still time. */
  @Test
  void aStepEndsWithTheTime() {
    Expr even = Expr.TRUE;
    for (int v = 2; v < 16; v++) {
      even = new Expr.Same(even, new Expr.Read(v));
    }
    StepProgram step = wide(even, Expr.not(even));
    var asked = new int[1];
    StepLimits limits = StepLimits.STANDARD.until(() -> ++asked[0] > 0);
    // What results lean on is told of the step as it is, of which nothing was worked out beforehand.
    assertThrows(CutShort.class, () -> step.run(new int[42], new BitSet(), limits, () -> {}));
    assertEquals(1, asked[0]);
  }

  /** Far more choices than results: one for each of forty hidden values, and three results. */
  @Test
  void aStepCostsWhatItsResultsAre() {
    var all = new ArrayList<Expr>();
    for (int v = 2; v < 42; v++) {
      all.add(new Expr.Read(v));
    }
    assertEquals(Set.of("0 0", "0 1", "1 1"), results(new Expr.All(all), new Expr.Any(all)));
  }

  /** The first value is open until all hidden ones are chosen; one result comes of the last choice alone. */
  @Test
  void aStepWithMoreChoicesThanAreTriedLosesNoResult() {
    var all = new ArrayList<Expr>();
    Expr even = Expr.TRUE;
    for (int v = 2; v < 16; v++) {
      all.add(new Expr.Read(v));
      even = new Expr.Same(even, new Expr.Read(v));
    }
    assertEquals(Set.of("0 0", "1 0", "1 1"), results(even, new Expr.All(all)));
  }

  /** What two kept variables may be after a step that assigns them these, the other forty hidden. */
  private static Set<String> results(Expr first, Expr second) {
    var results = new TreeSet<String>();
    int[] values = new int[42];
    wide(first, second).run(values, null, () -> results.add(values[0] + " " + values[1]));
    return results;
  }

  private static StepProgram wide(Expr first, Expr second) {
    var variables = new ArrayList<Variable>();
    for (int v = 0; v < 42; v++) {
      variables.add(
          new Variable(v, "v" + v, Role.PROCESS, List.of("", ""), 3, "", Span.NONE));
    }
    var model =
        new Model(
            "wide", 1, variables, List.of(), List.of(), List.of(), Controller.none(), List.of(),
            List.of(), List.of(), List.of(), List.of());
    BitSet both = new BitSet();
    both.set(0, 2);
    return new StepCompiler(model, new Kept(both, false))
        .assign(List.of(new Assignment(0, first), new Assignment(1, second)))
        .done();
  }

  private static final class RandomProgram {
    private final Random random;
    private final Model model;
    private final List<Assignment> assignments = new ArrayList<>();
    private final Expr guard;
    private final Kept kept;
    private final BitSet hidden = new BitSet();
    private final StepProgram step;
    private final int[] start;

    RandomProgram(long seed) {
      this(seed, VARIABLES);
    }

    RandomProgram(long seed, int count) {
      start = new int[count];
      random = new Random(seed);
      var variables = new ArrayList<Variable>();
      for (int v = 0; v < count; v++) {
        int size = 2 + random.nextInt(2);
        variables.add(
            new Variable(v, "v" + v, Role.PROCESS, Collections.nCopies(size, ""), 1, "", Span.NONE));
        start[v] = random.nextInt(size);
        hidden.set(v, random.nextInt(5) < (count > VARIABLES ? 3 : 2));
      }
      var definitions = new ArrayList<Definition>();
      var expressions = new RandomExpr(random, variables, definitions);
      for (int d = 0; d < 3; d++) {
        Expr value =
            d > 0 && random.nextInt(3) == 0
                ? new Expr.Same(new Expr.Use(0), expressions.truth(count, 1))
                : expressions.truth(count, 2);
        definitions.add(new Definition(d, "d" + d, value, "", Span.NONE));
      }
      guard = random.nextBoolean() ? expressions.truth(count, 2) : Expr.TRUE;
      for (int i = random.nextInt(5); i > 0; i--) {
        int target = random.nextInt(count);
        Expr value =
            random.nextInt(3) == 0 ? twoUses() : expressions.value(target, count, 3);
        assignments.add(new Assignment(target, value));
      }
      model =
          new Model(
              "program", 1, variables, definitions, List.of(), List.of(), Controller.none(),
              List.of(), List.of(), List.of(), List.of(), List.of());
      BitSet rest = (BitSet) hidden.clone();
      rest.flip(0, count);
      kept = new Kept(rest, false);
      step = new StepCompiler(model, kept).guard(guard).assign(assignments).done();
    }

    /** Definitions, perhaps the same one, beside each other: what they read must agree. */
    private Expr twoUses() {
      Expr first = new Expr.Use(random.nextInt(3));
      Expr second = new Expr.Use(random.nextInt(3));
      return switch (random.nextInt(3)) {
        case 0 -> new Expr.Same(first, second);
        case 1 -> new Expr.All(List.of(first, new Expr.Not(second)));
        default -> new Expr.Any(List.of(first, new Expr.Not(second)));
      };
    }

    int[] values() {
      return start.clone();
    }

    Set<List<Integer>> run(BitSet leaned) {
      var results = results();
      int[] values = values();
      step.run(values, leaned, () -> results.add(keptOf(values)));
      assertEquals(keptOf(values()), keptOf(values), "values are restored");
      return results;
    }

    Set<List<Integer>> oneByOne(StepProgram program) {
      var results = results();
      int[] values = values();
      program.tryAll(values, null, StepLimits.STANDARD, () -> results.add(keptOf(values)));
      return results;
    }

    Set<List<Integer>> atOnce(boolean declared, BitSet leaned) {
      return atOnce(step, declared, leaned);
    }

    Set<List<Integer>> atOnce(StepProgram program, boolean declared, BitSet leaned) {
      var results = results();
      int[] values = values();
      SymbolicRun.run(
          program, declared, values, leaned, StepLimits.STANDARD,
          () -> assertTrue(results.add(keptOf(values)), "the same result twice"));
      assertEquals(keptOf(values()), keptOf(values), "values are restored");
      return results;
    }

    /** Not one choice after the other first, as where something is known that much may share. */
    Set<List<Integer>> within(StepLimits limits) {
      StepProgram entangled = new StepCompiler(model, kept).known(guard).assign(assignments).done();
      var results = results();
      int[] values = values();
      entangled.run(values, null, limits, () -> results.add(keptOf(values)));
      return results;
    }

    Set<List<Integer>> tried() {
      var results = results();
      tryFrom(-1, values(), hidden.nextSetBit(0), results);
      return results;
    }

    private static Set<List<Integer>> results() {
      return new TreeSet<>((a, b) -> a.toString().compareTo(b.toString()));
    }

    /** Gives each hidden variable from {@code free} on every value, then carries on. */
    private void tryFrom(int at, int[] values, int free, Set<List<Integer>> results) {
      if (free >= 0) {
        for (int value = 0; value < model.variable(free).size(); value++) {
          values[free] = value;
          tryFrom(at, values, hidden.nextSetBit(free + 1), results);
        }
      } else if (at < 0) {
        if (value(guard, values) == 1) {
          tryFrom(0, values.clone(), -1, results);
        }
      } else if (at == assignments.size()) {
        results.add(keptOf(values));
      } else {
        int target = assignments.get(at).variable();
        int[] after = values.clone();
        if (hidden.get(target)) {
          for (int value = 0; value < model.variable(target).size(); value++) {
            after[target] = value;
            tryFrom(at + 1, after.clone(), -1, results);
          }
        } else {
          after[target] = value(assignments.get(at).value(), values);
          tryFrom(at + 1, after, -1, results);
        }
      }
    }

    private List<Integer> keptOf(int[] values) {
      return kept.variables().stream().mapToObj(v -> values[v]).toList();
    }

    private int value(Expr e, int[] values) {
      return switch (e) {
        case Expr.Constant c -> c.value();
        case Expr.Read r -> values[r.variable()];
        case Expr.Use u -> value(model.definitions().get(u.definition()).value(), values);
        case Expr.Not n -> 1 - value(n.operand(), values);
        case Expr.All a -> a.operands().stream().mapToInt(o -> value(o, values)).min().orElse(1);
        case Expr.Any a -> a.operands().stream().mapToInt(o -> value(o, values)).max().orElse(0);
        case Expr.In i -> (int) (i.values() >> value(i.operand(), values) & 1);
        case Expr.Same s -> value(s.left(), values) == value(s.right(), values) ? 1 : 0;
        case Expr.Choose c ->
            value(value(c.condition(), values) == 1 ? c.then() : c.otherwise(), values);
        case Expr.Shift s -> value(s.operand(), values) + s.by();
      };
    }
  }
}
