package stoplog.checker.abstraction;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.time.Duration;
import java.util.ArrayList;
import java.util.BitSet;
import java.util.Collections;
import java.util.List;
import java.util.Map;
import java.util.Random;
import org.jspecify.annotations.Nullable;
import org.junit.jupiter.api.Test;
import stoplog.checker.differential.RandomModel;
import stoplog.checker.explore.Budget;
import stoplog.checker.explore.Progress;
import stoplog.checker.explore.Search;
import stoplog.checker.reference.TickJudge;
import stoplog.model.Assignment;
import stoplog.model.Bound;
import stoplog.model.Claim;
import stoplog.model.Clock;
import stoplog.model.Controller;
import stoplog.model.Expr;
import stoplog.model.FieldChange;
import stoplog.model.Model;
import stoplog.model.Role;
import stoplog.model.Variable;
import stoplog.model.Verdict;

/**
 * Random models are proved, edited at random, and the proof is carried over the edit or not. Where it is
 * carried, the search that it stands for finds nothing in the edited model either, and no tick of any
 * run breaks the claim. {@code -Dseeds=N} tries N models, {@code -Dseed=S} starts at S.
 */
class CarriedVersusTicksTest {
  private static final Budget BUDGET = new Budget(50_000, 1L << 28, Duration.ofSeconds(10));
  private static final int EDITS = 40;

  @Test
  void carriedProofsAreProofsOfTheEditedModel() {
    long first = Long.getLong("seed", 1);
    long count = Long.getLong("seeds", 200);
    int carried = 0;
    int dropped = 0;
    var wrong = new ArrayList<String>();
    for (long seed = first; seed < first + count; seed++) {
      Model model =
          switch ((int) (seed % 3)) {
            case 0 -> RandomModel.withGroups(seed);
            case 1 -> RandomModel.of(seed);
            default -> RandomModel.withoutClocks(seed);
          };
      Claim claim = model.claims().getFirst();
      var reads = new Reads(model);
      var random = new Random(seed);
      Precedent.Proof proof = proof(reads, claim, random);
      if (proof == null) {
        continue;
      }
      for (int e = 0; e < EDITS; e++) {
        var edit = new Edit(model, random);
        edit.any();
        if (random.nextBoolean()) {
          edit.any();
        }
        Model edited = edit.model();
        Claim asked = edited.claims().getFirst();
        var readsThen = new Reads(edited);
        Verdict again = proof.carried(readsThen, asked);
        if (again == null) {
          dropped++;
          continue;
        }
        carried++;
        Search.Outcome outcome = search(readsThen, asked, kept(proof.grounds().parts().getFirst(), edited));
        if (!(outcome instanceof Search.Outcome.Exhausted)) {
          wrong.add("seed " + seed + " edit " + e + " (" + edit.done + "): " + outcome);
        } else if (e % 8 == 0 && TickJudge.reachable(edited, asked, 20_000) instanceof TickJudge.Yes) {
          wrong.add("seed " + seed + " edit " + e + " (" + edit.done + "): reachable");
        }
      }
    }
    System.out.printf("%d carried, %d dropped, wrong: %s%n", carried, dropped, wrong);
    assertEquals(List.of(), wrong);
    assertTrue(carried > count, "too few to mean much");
  }

  /** A proof by what the decider keeps, or by anything else that will do; null if there is none. */
  private static Precedent.@Nullable Proof proof(Reads reads, Claim claim, Random random) {
    if (random.nextInt(3) == 0) {
      Decider.Decision d = Decider.decideRecorded(reads, claim, false, BUDGET, Progress.NONE);
      return d.verdict() instanceof Verdict.Proved p && d.grounds() != null
          ? new Precedent.Proof(d.grounds(), p.longestQuanta(), 1, 1)
          : null;
    }
    for (int i = 0; i < 4; i++) {
      BitSet variables = reads.of(claim.condition());
      claim.monitors().forEach(m -> variables.set(m.variable()));
      int share = 1 + random.nextInt(3);
      for (int v = 0; v < reads.model().variables().size(); v++) {
        if (random.nextInt(4) < share) {
          variables.set(v);
        }
      }
      int many = random.nextInt(3);
      List<Group> groups =
          new Groups(reads.model()).all(claim).stream()
              .filter(g -> random.nextInt(3) < many)
              .toList();
      Kept kept =
          new Kept(new BitSet(), false)
              .with(variables, random.nextInt(4) > 0, reads)
              .with(groups);
      if (reads.restless().isEmpty()
          && search(reads, claim, kept) instanceof Search.Outcome.Exhausted) {
        return new Precedent.Proof(Grounds.of(reads, claim, kept), 0, 1, 1);
      }
    }
    return null;
  }

  private static Kept kept(Grounds.Part grounds, Model model) {
    Map<String, Integer> index = model.indexByName();
    BitSet variables = new BitSet();
    grounds.keeps().forEach(n -> variables.set(index.get(n)));
    List<Group> groups =
        grounds.groups().stream()
            .map(
                g ->
                    new Group(
                        g.atLeast(),
                        g.members().stream()
                            .map(m -> new Group.Member(index.get(m.variable()), m.values()))
                            .toList()))
            .toList();
    return new Kept(variables, grounds.due(), groups);
  }

  private static Search.Outcome search(Reads reads, Claim claim, Kept kept) {
    Search.Outcome merged =
        new Searches("C", BUDGET, Progress.NONE)
            .run(new KeptSystem(reads, claim, kept), kept, Search.Zoning.MERGED);
    return merged instanceof Search.Outcome.Exhausted
        ? merged
        : new Searches("C", BUDGET, Progress.NONE)
            .run(new KeptSystem(reads, claim, kept), kept, Search.Zoning.FOR_REACHING);
  }
}
