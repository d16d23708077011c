package stoplog.checker.abstraction;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertInstanceOf;
import static org.junit.jupiter.api.Assertions.assertNotNull;
import static org.junit.jupiter.api.Assertions.assertNull;
import static org.junit.jupiter.api.Assertions.assertTrue;
import static stoplog.model.Expr.all;
import static stoplog.model.Expr.any;
import static stoplog.model.Expr.not;

import java.time.Duration;
import java.util.ArrayList;
import java.util.BitSet;
import java.util.List;
import java.util.Random;
import org.jspecify.annotations.Nullable;
import org.junit.jupiter.api.Test;
import stoplog.checker.certificate.Certificate;
import stoplog.checker.certificate.CertificateChecker;
import stoplog.checker.certificate.CertificateText;
import stoplog.checker.certificate.Fingerprint;
import stoplog.checker.differential.RandomExpr;
import stoplog.checker.differential.RandomModel;
import stoplog.checker.explore.Budget;
import stoplog.checker.explore.Progress;
import stoplog.checker.explore.Search;
import stoplog.checker.reference.TickJudge;
import stoplog.checker.testkit.ModelBuilder;
import stoplog.checker.testkit.ModelBuilder.Var;
import stoplog.model.Claim;
import stoplog.model.Expr;
import stoplog.model.Model;
import stoplog.model.Role;
import stoplog.model.Verdict;

/**
 * Claims that none of several things is so for a time, decided by which of them was so last, against every
 * tick of every run. {@code -Dseeds=N} tries N models, {@code -Dseed=S} starts at S.
 */
class LastToHoldVersusTicksTest {
  private static final Budget BUDGET = new Budget(20_000, 1L << 28, Duration.ofSeconds(10));
  private static final long LONG = 60;

  private final List<String> wrong = new ArrayList<>();
  private int reachable;
  private int stood;
  private int refused;
  private int exhausted;

  @Test
  void noCaseHidesARunAndNoForgedProofStands() {
    long first = Long.getLong("seed", 1);
    long count = Long.getLong("seeds", 300);
    for (long seed = first; seed < first + count; seed++) {
      Model model = asking(seed % 3 == 0 ? RandomModel.withGroups(seed) : RandomModel.of(seed), seed);
      Claim claim = model.claims().getFirst();
      var reads = new Reads(model);
      LastToHold parted = LastToHold.of(reads, claim);
      TickJudge.Answer judged = TickJudge.reachable(model, claim, 20_000);
      if (parted == null || judged instanceof TickJudge.TooBig) {
        continue;
      }
      Decider.Decision decided = Decider.decideCertified(reads, claim, BUDGET, Progress.NONE);
      switch (judged) {
        case TickJudge.Yes _ -> {
          reachable++;
          if (decided.verdict() instanceof Verdict.Proved p) {
            wrong.add("seed " + seed + ": proved keeping " + p.kept());
          }
          forged(model, parted, new Random(seed), "seed " + seed);
        }
        case TickJudge.No _ -> {
          if (decided.verdict() instanceof Verdict.Reached) {
            wrong.add("seed " + seed + ": a run where there is none");
          }
          Certificate proof = decided.certificate();
          String why = proof == null ? null : CertificateChecker.refusal(model, proof);
          // Of groups the checker knows less than the search.
          if (why != null && proof.cases().stream().allMatch(c -> c.groups().isEmpty())) {
            wrong.add("seed " + seed + ": refused: " + why);
          }
          stood += proof != null && !proof.cases().isEmpty() && why == null ? 1 : 0;
        }
        case TickJudge.TooBig _ -> {}
      }
    }
    System.out.printf(
        "%d reachable, %d proofs by cases stood, %d forged ones refused, %d cases exhausted: %s%n",
        reachable, stood, refused, exhausted, wrong);
    assertEquals(List.of(), wrong);
    assertTrue(
        reachable > count / 10 && stood > count / 10 && refused > count / 100 && exhausted > count / 20,
        "too few to mean much");
  }

  /** The model with a claim that something is so, and none of two or three things, for a short time. */
  private static Model asking(Model m, long seed) {
    var random = new Random(seed);
    var expressions = new RandomExpr(random, m.variables(), m.definitions());
    int readable = (int) m.variables().stream().filter(v -> v.role() != Role.MONITOR).count();
    var things = new ArrayList<Expr>();
    for (int i = 2 + random.nextInt(2); i > 0; i--) {
      things.add(all(expressions.truth(readable, 0), expressions.truth(readable, 1)));
    }
    Claim c = m.claims().getFirst();
    Expr condition = all(expressions.truth(readable, 1), new Expr.Not(new Expr.Any(things)));
    var claim =
        new Claim(
            c.id(), c.text(), Claim.Kind.HAZARD, condition, 1 + random.nextInt(4), List.of(),
            c.faultBudget(), c.faultsOf(), c.basis(), c.origin());
    return with(m, claim);
  }

  private static Model with(Model m, Claim claim) {
    return new Model(
        m.name(), m.quantumMicros(), m.variables(), m.definitions(), m.clocks(), m.changes(),
        m.controller(), m.start(), m.reactions(), List.of(claim), m.inhibits(), m.indications());
  }

  /**
   * Of all cases with anything kept: not all of them may be exhausted, for there is a run; and what is made of
   * them all, less what breaks the claim, proves nothing.
   */
  private void forged(Model model, LastToHold parted, Random random, String name) {
    boolean all = true;
    var proofs = new ArrayList<Certificate>();
    for (Claim one : parted.cases()) {
      Kept kept = anyKept(parted.remembering(), one, random);
      if (made(parted.remembering(), one, kept) == null) {
        all = false;
      } else {
        exhausted++;
      }
      Certificate lasting = made(parted.remembering(), lasting(one), kept);
      if (lasting != null) {
        proofs.add(trimmed(lasting, one.forQuanta(), Fingerprint.of(model)));
      }
    }
    if (all) {
      wrong.add(name + ": every case exhausted");
    }
    if (proofs.size() == parted.cases().size()) {
      if (CertificateChecker.refusal(model, Certificate.of(proofs)) == null) {
        wrong.add(name + ": a forged proof stands");
      }
      refused++;
    }
  }

  private static Claim lasting(Claim c) {
    return new Claim(
        c.id(), c.text(), c.kind(), c.condition(), LONG, c.monitors(), c.faultBudget(), c.faultsOf(),
        c.basis(), c.origin());
  }

  private static Kept anyKept(Reads reads, Claim one, Random random) {
    BitSet variables = reads.of(one.condition());
    int share = random.nextInt(5);
    for (int v = 0; v < reads.model().variables().size(); v++) {
      if (reads.model().variable(v).role() != Role.MONITOR && random.nextInt(4) < share) {
        variables.set(v);
      }
    }
    return new Kept(new BitSet(), false).with(variables, random.nextBoolean(), reads);
  }

  private static @Nullable Certificate made(Reads reads, Claim one, Kept kept) {
    var searches = new Searches(one.id(), BUDGET, Progress.NONE);
    var system = new KeptSystem(reads, one, kept);
    return searches.run(system, kept, Search.Zoning.FOR_REACHING) instanceof Search.Outcome.Exhausted
        ? CertificateWriter.of(reads.model(), one, system, searches.last())
        : null;
  }

  private static Certificate trimmed(Certificate c, long quanta, String fingerprint) {
    var states = new ArrayList<Certificate.State>();
    for (Certificate.State s : c.states()) {
      var bounds = new ArrayList<>(s.bounds());
      if (bounds.stream().anyMatch(b -> b.upper().equals(Certificate.Bound.CONDITION))) {
        bounds.add(
            new Certificate.Bound(Certificate.Bound.CONDITION, Certificate.Bound.ZERO, quanta, true));
      }
      states.add(new Certificate.State(s.values(), s.groups(), s.due(), s.faults(), bounds));
    }
    return new Certificate(
        c.plant(), fingerprint, c.claim(), c.keeps(), c.follows(), c.groups(), c.due(), states);
  }

  /** A pump that runs only while both valves of one of several lines are open; it takes a moment to stop. */
  private static Model lines(int count, long quanta) {
    var m = new ModelBuilder("lines");
    Var command = m.bit("command", Role.COMMAND);
    Var wanted = m.switched("wanted");
    var open = new ArrayList<Expr>();
    for (int i = 0; i < count; i++) {
      Var inlet = m.comesAndGoes("inlet" + i);
      Var outlet = m.comesAndGoes("outlet" + i);
      open.add(all(inlet.on(), outlet.on()));
    }
    m.scans(command.to(all(wanted.on(), any(open))));
    m.hazard("H", all(command.on(), not(any(open)))).longerThan(quanta);
    return m.reactsWithin(2).build();
  }

  private static Decider.Decision decided(Model model) {
    return Decider.decideCertified(
        new Reads(model), model.claims().getFirst(), BUDGET, Progress.NONE);
  }

  @Test
  void eachCaseNamesOneThingOnly() throws Exception {
    Model model = lines(6, 2);
    Decider.Decision decision = decided(model);
    var proved = assertInstanceOf(Verdict.Proved.class, decision.verdict());
    assertTrue(proved.kept().stream().noneMatch(k -> k.contains("last")), () -> "" + proved.kept());
    assertTrue(proved.effort().states() < 6 * 40, () -> "" + proved.effort());
    Certificate proof = decision.certificate();
    assertNotNull(proof);
    assertEquals(6, proof.cases().size());
    assertEquals(proof, CertificateText.read(CertificateText.write(proof)));
    assertNull(CertificateChecker.refusal(model, proof));
    // Not one of the cases may be left out, nor proved in place of another.
    assertNotNull(CertificateChecker.refusal(model, Certificate.of(proof.cases().subList(1, 6))));
    var swapped = new ArrayList<>(proof.cases());
    swapped.set(1, swapped.getFirst());
    assertNotNull(CertificateChecker.refusal(model, Certificate.of(swapped)));
  }

  @Test
  void aShorterTimeIsNotEnough() {
    var reached = assertInstanceOf(Verdict.Reached.class, decided(lines(3, 1)).verdict());
    assertEquals(lines(3, 1).variables().size(), reached.trace().start().size());
  }

  @Test
  void whatIsToldByOneVariableEachIsNotParted() {
    var m = new ModelBuilder("plant");
    Var a = m.comesAndGoes("a");
    Var b = m.comesAndGoes("b");
    m.hazard("H", not(any(a.on(), b.on()))).longerThan(3);
    Model model = m.build();
    assertNull(LastToHold.of(new Reads(model), model.claims().getFirst()));
  }
}
