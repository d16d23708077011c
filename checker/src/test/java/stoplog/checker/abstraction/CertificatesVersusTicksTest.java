package stoplog.checker.abstraction;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.time.Duration;
import java.util.ArrayList;
import java.util.BitSet;
import java.util.Collections;
import java.util.List;
import java.util.Random;
import org.jspecify.annotations.Nullable;
import org.junit.jupiter.api.Test;
import stoplog.checker.certificate.Certificate;
import stoplog.checker.certificate.CertificateChecker;
import stoplog.checker.differential.RandomModel;
import stoplog.checker.explore.Budget;
import stoplog.checker.explore.Progress;
import stoplog.checker.explore.Search;
import stoplog.checker.reference.TickJudge;
import stoplog.model.Claim;
import stoplog.model.Model;

/**
 * Certificates with and without groups, made of exhausted searches. Of a claim that no run breaks they
 * stand. Of one that some run breaks none may stand, however it was trimmed to look like a proof: it is
 * made of all that is reached, less what breaks the claim. {@code -Dseeds=N} tries N models, {@code
 * -Dseed=S} starts at S.
 */
class CertificatesVersusTicksTest {
  private static final Budget BUDGET = new Budget(3_000, 1L << 28, Duration.ofSeconds(10));
  private static final long LONG = 60;

  @Test
  void certificatesStandForWhatIsTrueAndForNothingElse() {
    long first = Long.getLong("seed", 1);
    long count = Long.getLong("seeds", 120);
    var wrong = new ArrayList<String>();
    int stood = 0;
    int refused = 0;
    int grouped = 0;
    for (long seed = first; seed < first + count; seed++) {
      Model model = seed % 4 == 0 ? RandomModel.withoutClocks(seed) : RandomModel.withGroups(seed);
      Claim claim = model.claims().getFirst();
      TickJudge.Answer judged = TickJudge.reachable(model, claim, 20_000);
      boolean reachable = judged instanceof TickJudge.Yes;
      if (judged instanceof TickJudge.TooBig) {
        continue;
      }
      var random = new Random(seed);
      Claim asked = reachable ? lasting(claim) : claim;
      for (int i = 0; i < 3; i++) {
        Kept kept = anyKept(new Reads(model), claim, random);
        Certificate made = made(model, asked, kept);
        if (made == null) {
          continue;
        }
        grouped += made.groups().isEmpty() ? 0 : 1;
        String name = "seed " + seed + " keeping " + kept + ": ";
        if (!reachable) {
          String why = CertificateChecker.refusal(model, made);
          // The checker counts scans due by variables alone, and knows of states that groups rule out.
          if (why != null && made.groups().isEmpty()) {
            wrong.add(name + "refused: " + why);
          }
          stood += why == null ? 1 : 0;
          continue;
        }
        for (int t = 0; t < 4; t++) {
          Certificate forged = trimmed(made, claim, t, random);
          String why = CertificateChecker.refusal(model, forged);
          if (why == null) {
            wrong.add(name + "stands, trimmed in way " + t);
          } else {
            refused++;
          }
        }
      }
    }
    System.out.printf(
        "%d stood, %d forged ones refused, %d with groups, wrong: %s%n", stood, refused, grouped, wrong);
    assertEquals(List.of(), wrong);
    assertTrue(stood > count / 4 && refused > count / 5 && grouped > count / 8, "too few to mean much");
  }

  /** The same claim, broken only when its condition holds for very long. */
  private static Claim lasting(Claim c) {
    return new Claim(
        c.id(), c.text(), c.kind(), c.condition(), LONG, c.monitors(), c.faultBudget(), c.faultsOf(),
        c.basis(), c.origin());
  }

  private static Kept anyKept(Reads reads, Claim claim, Random random) {
    var told = new ArrayList<Group>();
    int many = random.nextInt(4);
    for (Group g : new Groups(reads.model()).all(claim)) {
      if (random.nextInt(3) < many) {
        told.add(g);
      }
    }
    var asked = new Groups(reads.model());
    BitSet variables = asked.readsBeside(claim.condition(), told);
    claim.monitors().forEach(m -> {
      variables.set(m.variable());
      variables.or(asked.readsBeside(m.value(), told));
    });
    int share = random.nextInt(5);
    for (int v = 0; v < reads.model().variables().size(); v++) {
      if (random.nextInt(4) < share) {
        variables.set(v);
      }
    }
    return new Kept(new BitSet(), false).with(variables, random.nextBoolean(), reads).with(told);
  }

  /** What an exhausted search has found, groups included; null if the search has found the goal. */
  private static @Nullable Certificate made(Model model, Claim claim, Kept kept) {
    var reads = new Reads(model);
    for (Search.Zoning zoning : List.of(Search.Zoning.MERGED, Search.Zoning.FOR_REACHING)) {
      var system = new KeptSystem(reads, claim, kept);
      var searches = new Searches(claim.id(), BUDGET, Progress.NONE);
      try {
        if (searches.run(system, kept, zoning) instanceof Search.Outcome.Exhausted) {
          return CertificateWriter.of(model, claim, system, searches.last());
        }
      } catch (Diagram.TooIntricate _) {
        return null;
      }
    }
    return null;
  }

  /** Without what breaks the claim, and in other ways smaller than it was. */
  private static Certificate trimmed(Certificate c, Claim claim, int way, Random random) {
    var states = new ArrayList<Certificate.State>();
    for (Certificate.State s : c.states()) {
      boolean holds =
          s.bounds().stream().anyMatch(b -> b.upper().equals(Certificate.Bound.CONDITION));
      var bounds = new ArrayList<>(s.bounds());
      if (holds) {
        bounds.add(
            new Certificate.Bound(
                Certificate.Bound.CONDITION, Certificate.Bound.ZERO, claim.forQuanta(), true));
      }
      states.add(new Certificate.State(s.values(), s.groups(), s.due(), s.faults(), bounds));
    }
    if (way == 1 && !states.isEmpty()) {
      states.remove(random.nextInt(states.size()));
    } else if (way == 2) {
      states.removeIf(
          s -> s.bounds().stream().anyMatch(b -> b.upper().equals(Certificate.Bound.CONDITION)));
    } else if (way == 3 && !states.isEmpty()) {
      int at = random.nextInt(states.size());
      Certificate.State s = states.get(at);
      var told = new ArrayList<>(s.groups());
      Collections.fill(told, random.nextBoolean());
      states.set(at, new Certificate.State(s.values(), told, s.due(), s.faults(), s.bounds()));
    }
    return new Certificate(
        c.plant(), c.fingerprint(), c.claim(), c.keeps(), c.follows(), c.groups(), c.due(), states);
  }
}
