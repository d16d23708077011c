package stoplog.checker.abstraction;

import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.BitSet;
import java.util.List;
import java.util.Optional;
import java.util.SplittableRandom;
import org.junit.jupiter.api.Test;
import stoplog.checker.differential.RandomModel;
import stoplog.checker.explore.Budget;
import stoplog.checker.explore.Progress;
import stoplog.checker.testkit.ModelBuilder;
import stoplog.model.Claim;
import stoplog.model.Expr;
import stoplog.model.FieldChange.Cause;
import stoplog.model.Model;
import stoplog.model.Role;
import stoplog.model.Verdict;

final class ReachableTest {
  private static final Budget SMALL = Budget.standard().withStates(20_000);

  /** A whole search finds nothing outside of what three variables were said to be together. */
  @Test
  void nothingLiesOutside() {
    int told = 0;
    for (long seed = 1; seed <= 300; seed++) {
      Model model = RandomModel.of(seed);
      var random = new SplittableRandom(seed);
      BitSet some = new BitSet();
      for (int i = 0; i < 3; i++) {
        int v = random.nextInt(model.variables().size());
        some.set(model.variable(v).role() == Role.MONITOR ? 0 : v);
      }
      int faults = model.claims().getFirst().faultBudget();
      Optional<Expr> together =
          Reachable.of(new Reads(model), some, faults, SMALL, Progress.NONE);
      if (together.isEmpty()) {
        continue;
      }
      Claim outside =
          new Claim(
              "outside", "", Claim.Kind.HAZARD, Expr.not(together.get()), 0, List.of(), faults,
              model.claims().getFirst().origin());
      Verdict verdict = Decider.decideWhole(model, outside, SMALL, Progress.NONE);
      assertFalse(verdict instanceof Verdict.Reached, "seed " + seed + ": " + together.get());
      told += verdict instanceof Verdict.Proved ? 1 : 0;
    }
    assertTrue(told > 100, "told and searched: " + told);
  }

  @Test
  void whatNeverMeetsIsLeftOut() {
    var m = new ModelBuilder("follower");
    ModelBuilder.Var leader = m.comesAndGoes("leader");
    ModelBuilder.Var follower = m.bit("follower", Role.PROCESS);
    m.reactions(follower.to(leader.read()));
    m.change("nothing").by(Cause.PROCESS).when(follower.on()).does();
    m.hazard("H-01", follower.on());
    Model model = m.build();
    BitSet both = new BitSet();
    both.set(leader.id());
    both.set(follower.id());
    Expr together = Reachable.of(new Reads(model), both, 0, SMALL, Progress.NONE).orElseThrow();
    Expr apart = Expr.all(leader.on(), follower.off());
    assertTrue(PrimeCover.of(model, Expr.all(together, apart)).orElseThrow().isEmpty());
    assertFalse(PrimeCover.of(model, Expr.all(together, leader.on())).orElseThrow().isEmpty());
  }

  @Test
  void whatWasNotSearchedToTheEndIsNotTold() {
    var m = new ModelBuilder("two counts");
    BitSet both = new BitSet();
    for (String name : List.of("first", "second")) {
      ModelBuilder.Var count = m.number(name, Role.PROCESS, 40);
      m.change(name + " rises").when(Expr.not(count.is(39))).does(count.to(ModelBuilder.shift(count.read(), 1)));
      both.set(count.id());
    }
    m.hazard("H-01", Expr.FALSE);
    var reads = new Reads(m.build());
    assertTrue(Reachable.of(reads, both, 0, SMALL, Progress.NONE).isPresent());
    assertTrue(Reachable.of(reads, both, 0, SMALL.withStates(100), Progress.NONE).isEmpty());
  }
}
