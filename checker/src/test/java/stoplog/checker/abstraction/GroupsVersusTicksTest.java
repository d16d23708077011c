package stoplog.checker.abstraction;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertNotNull;
import static org.junit.jupiter.api.Assertions.assertNull;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.time.Duration;
import java.util.ArrayList;
import java.util.BitSet;
import java.util.List;
import java.util.Random;
import java.util.function.LongFunction;
import org.junit.jupiter.api.Test;
import stoplog.checker.certificate.Certificate;
import stoplog.checker.certificate.CertificateChecker;
import stoplog.checker.differential.RandomModel;
import stoplog.checker.explore.Budget;
import stoplog.checker.explore.Progress;
import stoplog.checker.explore.Search;
import stoplog.checker.reference.TickJudge;
import stoplog.checker.testkit.ModelBuilder;
import stoplog.model.Claim;
import stoplog.model.Expr;
import stoplog.model.Model;
import stoplog.model.Verdict;

/**
 * Searches that keep groups, against every tick of every run: on random models full of latches and of
 * conditions about several of them, whatever else is kept, no search that is exhausted may hide a way
 * to the goal. {@code -Dseeds=N} tries N models, {@code -Dseed=S} starts at S.
 */
class GroupsVersusTicksTest {
  private static final Budget BUDGET = new Budget(50_000, 1L << 28, Duration.ofSeconds(10));
  private static final int KEPT_SETS = 6;

  private final List<String> wrong = new ArrayList<>();
  private int proofs;
  private int grouped;

  @Test
  void noProofWithGroupsHidesARun() {
    compare("groups", RandomModel::withGroups);
    assertTrue(grouped > 0, "no proof kept a group");
  }

  @Test
  void noProofWithoutClocksHidesARun() {
    compare("no clocks", RandomModel::withoutClocks);
  }

  /** Such a count reads variables all the same, and whoever checks the proof asks for them. */
  @Test
  void countThatIsAlwaysSoIsNoGroup() {
    var m = new ModelBuilder("count");
    Expr count = new Expr.Constant(0);
    for (int i = 0; i < Groups.MANY_MEMBERS; i++) {
      count =
          new Expr.Choose(m.comesAndGoes("input" + i).on(), new Expr.Shift(count, 1), count);
    }
    m.hazard("H", Expr.not(new Expr.In(count, (2L << Groups.MANY_MEMBERS) - 1)));
    Model model = m.build();
    Decider.Decision decision =
        Decider.decideCertified(
            new Reads(model), model.claims().getFirst(), BUDGET, Progress.NONE);
    Certificate certificate = decision.certificate();
    assertNotNull(certificate);
    assertNull(CertificateChecker.refusal(model, certificate));
  }

  private void compare(String what, LongFunction<Model> models) {
    long first = Long.getLong("seed", 1);
    long count = Long.getLong("seeds", 150);
    int reachable = 0;
    int unreachable = 0;
    int undecided = 0;
    for (long seed = first; seed < first + count; seed++) {
      Model model = models.apply(seed);
      Claim claim = model.claims().getFirst();
      TickJudge.Answer judged = TickJudge.reachable(model, claim, 20_000);
      var reads = new Reads(model);
      String name = what + " seed " + seed + ": ";
      switch (judged) {
        case TickJudge.Yes yes -> {
          reachable++;
          Verdict whole = Decider.decideWhole(model, claim, BUDGET, Progress.NONE);
          Verdict named = Decider.decideByGroups(reads, claim, BUDGET, Progress.NONE);
          if (whole instanceof Verdict.Proved) {
            wrong.add(name + "whole proved");
          }
          if (whole instanceof Verdict.Reached r && r.events() != yes.trace().steps().size()) {
            wrong.add(name + "whole run of " + r.events() + " steps, not " + yes.trace().steps().size());
          }
          if (named instanceof Verdict.Proved p) {
            wrong.add(name + "proved keeping " + p.kept());
          }
          if (named instanceof Verdict.Reached r && r.fewest() > yes.trace().steps().size()) {
            wrong.add(name + "no run under " + r.fewest() + ", though one has " + yes.trace().steps().size());
          }
          undecided += named instanceof Verdict.Undecided ? 1 : 0;
          anyKept(reads, claim, new Random(seed), name);
        }
        case TickJudge.No no -> {
          unreachable++;
          Verdict whole = Decider.decideWhole(model, claim, BUDGET, Progress.NONE);
          Verdict named = Decider.decideByGroups(reads, claim, BUDGET, Progress.NONE);
          if (whole instanceof Verdict.Reached || named instanceof Verdict.Reached) {
            wrong.add(name + "a run where there is none");
          }
          boolean rests = reads.restless().isEmpty();
          if (rests && !(whole instanceof Verdict.Proved)) {
            wrong.add(name + "not proved: " + whole);
          }
          if (!rests && (whole instanceof Verdict.Proved || named instanceof Verdict.Proved)) {
            wrong.add(name + "proved though scans may go on for ever");
          }
          if (named instanceof Verdict.Undecided u && rests) {
            undecided++;
            System.out.println(name + "undecided: " + u.reason());
          }
          proofs += named instanceof Verdict.Proved ? 1 : 0;
        }
        case TickJudge.TooBig big -> {}
      }
    }
    System.out.printf(
        "%s: %d reachable, %d unreachable, %d undecided, %d proved, %d exhausted with groups: %s%n",
        what, reachable, unreachable, undecided, proofs, grouped, wrong);
    assertEquals(List.of(), wrong);
    assertFalse(reachable < count / 10 || unreachable < count / 10, "too one-sided to mean much");
  }

  /** Searches with any kept; none may be exhausted, for there is a run. */
  private void anyKept(Reads reads, Claim claim, Random random, String name) {
    Model model = reads.model();
    var all = new ArrayList<>(new Groups(model).all(claim));
    for (int i = 0; i < KEPT_SETS; i++) {
      var groups = new ArrayList<Group>();
      int share = random.nextInt(4);
      all.forEach(g -> {
        if (random.nextInt(3) < share) {
          groups.add(g);
        }
      });
      BitSet variables = new BitSet();
      int many = random.nextInt(4);
      for (int v = 0; v < model.variables().size(); v++) {
        if (random.nextInt(4) < many) {
          variables.set(v);
        }
      }
      claim.monitors().forEach(m -> variables.set(m.variable()));
      Kept kept = new Kept(new BitSet(), false).with(variables, random.nextBoolean(), reads).with(groups);
      for (Search.Zoning zoning : List.of(Search.Zoning.MERGED, Search.Zoning.FOR_REACHING)) {
        var searches = new Searches(claim.id(), BUDGET, Progress.NONE);
        try {
          if (searches.run(new KeptSystem(reads, claim, kept), kept, zoning)
              instanceof Search.Outcome.Exhausted) {
            wrong.add(name + zoning + " exhausted keeping " + kept);
          }
          grouped += groups.isEmpty() ? 0 : 1;
        } catch (Diagram.TooIntricate _) {
          // Then it decides without groups.
        }
      }
    }
  }
}
