package stoplog.checker.abstraction;

import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertNotNull;
import static org.junit.jupiter.api.Assertions.assertNull;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.time.Duration;
import java.util.ArrayList;
import java.util.List;
import java.util.Random;
import org.junit.jupiter.api.Test;
import stoplog.checker.certificate.Certificate;
import stoplog.checker.certificate.CertificateChecker;
import stoplog.checker.differential.RandomExpr;
import stoplog.checker.differential.RandomModel;
import stoplog.checker.explore.Budget;
import stoplog.checker.explore.Progress;
import stoplog.checker.reference.Replay;
import stoplog.checker.reference.Replayed;
import stoplog.checker.reference.TickJudge;
import stoplog.model.Claim;
import stoplog.model.Definition;
import stoplog.model.Expr;
import stoplog.model.Model;
import stoplog.model.Role;
import stoplog.model.Variable;
import stoplog.model.Verdict;
import stoplog.source.Span;

/**
 * Claims about any of several things, decided case by case on random models, against every tick of every
 * run. {@code -Dseeds=N} tries N models, {@code -Dseed=S} starts at S.
 */
class CasesVersusTicksTest {
  private static final Budget BUDGET = new Budget(100_000, 1L << 28, Duration.ofSeconds(10));

  /** Each case is proved with everything kept, what the other cases remember included. */
  private static final long KEEPS_EVERYTHING = 901_037;

  @Test
  void allCasesTogetherSayWhatTheClaimSays() {
    long first = Long.getLong("seed", 1);
    long count = Long.getLong("seeds", 1000);
    int parted = 0;
    int proved = 0;
    int reached = 0;
    for (long number = first - 1; number < first + count; number++) {
      long seed = number < first ? KEEPS_EVERYTHING : number;
      Model model = askingForAnyOf(RandomModel.of(seed), new Random(seed));
      Claim claim = model.claims().getFirst();
      TickJudge.Answer judged = TickJudge.reachable(model, claim, 20_000);
      if (judged instanceof TickJudge.TooBig) {
        continue;
      }
      var reads = new Reads(model);
      parted += Cases.of(reads, claim).size() > 1 ? 1 : 0;
      Decider.Decision decision = Decider.decideCertified(reads, claim, BUDGET, Progress.NONE);
      String where = "seed " + seed + ": ";
      switch (decision.verdict()) {
        case Verdict.Proved p -> {
          proved++;
          assertFalse(judged instanceof TickJudge.Yes, where + "proved, but reachable");
          Certificate certificate = decision.certificate();
          assertNotNull(certificate, where + "no certificate");
          assertNull(CertificateChecker.refusal(model, certificate), where);
        }
        case Verdict.Reached r -> {
          reached++;
          assertTrue(judged instanceof TickJudge.Yes, where + "a run, but unreachable");
          assertTrue(
              Replay.run(model, claim, r.trace()) instanceof Replayed.Valid, where + "replay");
          int shortest = ((TickJudge.Yes) judged).trace().steps().size();
          assertTrue(r.fewest() <= shortest, where + r.fewest() + " fewest, but " + shortest);
          assertTrue(r.fewest() <= r.events(), where + r.fewest() + " of " + r.events());
        }
        case Verdict.Undecided _ -> {}
      }
    }
    System.out.printf("%d in cases, %d proved, %d reached%n", parted, proved, reached);
    assertTrue(count < 1000 || parted > count / 2, parted + " in cases");
    assertTrue(proved > count / 10 && reached > count / 10, "too one-sided to mean much");
  }

  /** The model with a claim about any or none of several things, now and then by name. */
  private static Model askingForAnyOf(Model m, Random random) {
    List<Variable> plain =
        m.variables().stream().takeWhile(v -> v.role() != Role.MONITOR).toList();
    var definitions = new ArrayList<>(m.definitions());
    var expressions = new RandomExpr(random, plain, definitions);
    var any = new ArrayList<Expr>();
    for (int i = 2 + random.nextInt(3); i > 0; i--) {
      any.add(Expr.all(expressions.truth(plain.size(), 1), expressions.truth(plain.size(), 1)));
    }
    Expr choice = new Expr.Any(any);
    if (random.nextInt(3) == 0) {
      definitions.add(new Definition(definitions.size(), "choice", choice, "", Span.NONE));
      choice = new Expr.Use(definitions.size() - 1);
    }
    Expr condition =
        random.nextInt(3) == 0
            ? choice
            : new Expr.All(List.of(expressions.truth(plain.size(), 1), choice));
    Claim c = m.claims().getFirst();
    long longer = random.nextInt(4) == 0 ? c.forQuanta() : 0;
    if (random.nextInt(4) == 0) {
      condition = Expr.all(expressions.truth(plain.size(), 1), Expr.not(choice));
      longer = c.forQuanta();
    }
    if (!c.monitors().isEmpty()) {
      int remembered = c.monitors().getFirst().variable();
      condition = Expr.all(condition, Expr.is(remembered, random.nextInt(2)));
    }
    var claim =
        new Claim(
            c.id(), c.text(), c.kind(), condition, longer, c.monitors(), c.onlyWhile(),
            c.faultBudget(), c.faultsOf(), c.basis(), c.origin());
    return new Model(
        m.name(), m.quantumMicros(), m.variables(), definitions, m.clocks(), m.changes(),
        m.controller(), m.start(), m.reactions(), List.of(claim), m.inhibits(), m.indications());
  }
}
