package stoplog.checker.abstraction;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertInstanceOf;
import static org.junit.jupiter.api.Assertions.assertNotNull;
import static org.junit.jupiter.api.Assertions.assertNull;
import static org.junit.jupiter.api.Assertions.assertTrue;
import static stoplog.model.Expr.all;
import static stoplog.model.Expr.any;

import java.time.Duration;
import java.util.List;
import java.util.stream.IntStream;
import org.junit.jupiter.api.Test;
import stoplog.checker.certificate.Certificate;
import stoplog.checker.certificate.CertificateChecker;
import stoplog.checker.certificate.CertificateText;
import stoplog.checker.explore.Budget;
import stoplog.checker.explore.Progress;
import stoplog.checker.reference.TickJudge;
import stoplog.checker.testkit.ModelBuilder;
import stoplog.checker.testkit.ModelBuilder.Var;
import stoplog.model.Expr;
import stoplog.model.Model;
import stoplog.model.Role;
import stoplog.model.Verdict;

/** Claims about any of several things. */
class CasesTest {
  private static final Budget BUDGET = new Budget(100_000, 1L << 28, Duration.ofSeconds(60));

  /** Pumps that must be off before the valve shuts, each with its own interlock. */
  private static Model pumps(int count, long quanta) {
    var m = new ModelBuilder("pumps");
    Var valve = m.equipment("valve", "open", "shut");
    Var shutting = m.switched("shutting");
    List<Var> pumps = IntStream.range(0, count).mapToObj(i -> m.bit("pump" + i, Role.EQUIPMENT)).toList();
    for (Var pump : pumps) {
      m.change(pump + " starts").when(all(pump.off(), valve.is("open"), shutting.off())).does(pump.to(1));
      m.change(pump + " stops").when(pump.on()).does(pump.to(0));
    }
    m.change("shuts")
        .when(all(shutting.on(), all(pumps.stream().map(Var::off).toList())))
        .does(valve.to("shut"));
    m.change("opens").when(all(shutting.off(), valve.is("shut"))).does(valve.to("open"));
    m.hazard("H", all(any(pumps.stream().map(Var::on).toList()), valve.is("shut"))).longerThan(quanta);
    return m.build();
  }

  private static Decider.Decision decided(Model model) {
    return Decider.decideCertified(new Reads(model), model.claims().getFirst(), BUDGET, Progress.NONE);
  }

  @Test
  void eachCaseCostsWhatOneCosts() {
    var two = assertInstanceOf(Verdict.Proved.class, decided(pumps(2, 0)).verdict());
    var four = assertInstanceOf(Verdict.Proved.class, decided(pumps(4, 0)).verdict());
    assertEquals(2 * two.effort().states(), four.effort().states());
    assertEquals(2 * two.effort().searches(), four.effort().searches());
  }

  /** Also if they are so many that a group of them would take longer. */
  @Test
  void manyLikeCasesTakeOneSearch() {
    Model model = pumps(16, 0);
    Decider.Decision sixteen = decided(model);
    var proved = assertInstanceOf(Verdict.Proved.class, sixteen.verdict());
    var two = assertInstanceOf(Verdict.Proved.class, decided(pumps(2, 0)).verdict());
    assertEquals(8 * two.effort().states(), proved.effort().states());
    assertEquals(1, proved.effort().searches());
    assertNotNull(sixteen.certificate());
    assertNull(CertificateChecker.refusal(model, sixteen.certificate()));
  }

  /** So many things as make a group are ruled out together. */
  @Test
  void aGroupIsOneCase() {
    var nine = assertInstanceOf(Verdict.Proved.class, decided(pumps(9, 0)).verdict());
    var six = assertInstanceOf(Verdict.Proved.class, decided(pumps(6, 0)).verdict());
    assertEquals(six.effort().states(), nine.effort().states());
    assertEquals(1, nine.effort().searches());
  }

  @Test
  void certificatesOfAllCasesStandTogetherAndNoFewer() throws Exception {
    Model model = pumps(3, 0);
    Certificate proof = decided(model).certificate();
    assertNotNull(proof);
    assertEquals(3, proof.cases().size());
    assertEquals(proof, CertificateText.read(CertificateText.write(proof)));
    assertNull(CertificateChecker.refusal(model, proof));
    assertEquals(
        "it proves other cases than the claim has",
        CertificateChecker.refusal(model, Certificate.of(proof.cases().subList(0, 2))));
    // The first case proved thrice.
    Certificate first = proof.cases().getFirst();
    assertNotNull(CertificateChecker.refusal(model, Certificate.of(List.of(first, first, first))));
  }

  /** Two things that take turns: neither is there for long, and yet one of them always is. */
  @Test
  void thingsThatTakeTurnsAreNoCases() {
    var m = new ModelBuilder("turns");
    Var turn = m.number("turn", Role.PROCESS, 2);
    var first = m.clock("first", turn.is(0)).limit(2);
    var second = m.clock("second", turn.is(1)).limit(2);
    m.change("to the other").when(turn.is(0)).between(first, 1, 2).does(turn.to(1));
    m.change("and back").when(turn.is(1)).between(second, 1, 2).does(turn.to(0));
    m.hazard("H", any(turn.is(0), turn.is(1))).longerThan(3);
    Model model = m.build();
    assertInstanceOf(TickJudge.Yes.class, TickJudge.reachable(model, model.claims().getFirst(), 10_000));
    assertInstanceOf(Verdict.Reached.class, decided(model).verdict());
    assertEquals(List.of(model.claims().getFirst()), Cases.of(new Reads(model), model.claims().getFirst()));
  }

  /** A certificate by cases says nothing where the cases could take turns. */
  @Test
  void casesOfAClaimWithATimeAreRefused() {
    Certificate proof = decided(pumps(3, 0)).certificate();
    assertNotNull(proof);
    Model timed = pumps(3, 5);
    var renewed =
        proof.cases().stream()
            .map(
                c ->
                    new Certificate(
                        c.plant(), stoplog.checker.certificate.Fingerprint.of(timed), c.claim(),
                        c.keeps(), c.follows(), c.groups(), c.due(), c.states()))
            .toList();
    assertEquals(
        "it proves other cases than the claim has",
        CertificateChecker.refusal(timed, Certificate.of(renewed)));
  }

  /** Of several runs the one with the fewest events is told. */
  @Test
  void theShortestRunOfAllCasesIsFound() {
    for (boolean longFirst : new boolean[] {true, false}) {
      var m = new ModelBuilder("plant");
      Var a = m.number("a", Role.PROCESS, 4);
      Var b = m.bit("b", Role.PROCESS);
      for (int i = 0; i < 3; i++) {
        m.change("a goes on").when(a.is(i)).does(a.to(i + 1));
      }
      m.change("b comes").when(b.off()).does(b.to(1));
      m.hazard("H", longFirst ? any(a.is(3), b.on()) : any(b.on(), a.is(3)));
      var reached = assertInstanceOf(Verdict.Reached.class, decided(m.build()).verdict());
      assertEquals(1, reached.events());
      assertEquals(1, reached.fewest());
      assertEquals(List.of("b"), reached.kept());
    }
  }

  /** A case that is given up may have a shorter run. */
  @Test
  void noMoreIsSaidOfShorterRunsThanTheCaseLeftOpenCovers() {
    var m = new ModelBuilder("plant");
    Var a = m.number("a", Role.PROCESS, 10);
    for (int i = 0; i < 9; i++) {
      m.change("a goes on").when(a.is(i)).does(a.to(i + 1));
    }
    Var never = m.bit("never", Role.PROCESS);
    Expr wide = never.on();
    // Of each other's values, so that no group tells of them.
    Var before = m.comesAndGoes("wide");
    for (int i = 0; i < 13; i++) {
      Var next = m.comesAndGoes("wide" + i);
      wide = all(wide, new Expr.Same(before.on(), next.on()));
      before = next;
    }
    m.hazard("H", any(wide, a.is(9)));
    Model model = m.build();
    Verdict verdict =
        Decider.decide(model, model.claims().getFirst(), BUDGET.withStates(300), Progress.NONE);
    var reached = assertInstanceOf(Verdict.Reached.class, verdict);
    assertEquals(9, reached.events());
    assertTrue(reached.fewest() < 9, "fewest " + reached.fewest());
  }

  /** The condition holds in one case for an instant, and in the other never. */
  @Test
  void aProofTellsOfAllCases() {
    for (boolean instantFirst : new boolean[] {true, false}) {
      var m = new ModelBuilder("plant");
      Var never = m.bit("never", Role.PROCESS);
      Var lamp = m.bit("lamp", Role.COMMAND);
      Var horn = m.bit("horn", Role.EQUIPMENT);
      m.change("hit").when(lamp.off()).does(lamp.to(1));
      m.change("never").when(all(never.on(), lamp.on())).does(never.to(1));
      m.scans(lamp.to(0)).reactions(horn.to(lamp.read()));
      m.hazard("H", instantFirst ? any(lamp.on(), never.on()) : any(never.on(), lamp.on()));
      Model model = m.build();
      assertEquals(2, Cases.of(new Reads(model), model.claims().getFirst()).size());
      var proved = assertInstanceOf(Verdict.Proved.class, decided(model).verdict());
      assertEquals(0, proved.longestQuanta());
      assertTrue(proved.kept().containsAll(List.of("never", "lamp")), proved.kept().toString());
    }
  }

  /**
   * An output that only the claim looks at calls for a scan when the field changes it. A case that does
   * not look at it would have its scan come later.
   */
  @Test
  void outputsThatTheClaimAloneLooksAtKeepItWhole() {
    var m = new ModelBuilder("plant");
    Var input = m.switched("input");
    Var output = m.bit("output", Role.COMMAND);
    Var lamp = m.bit("lamp", Role.COMMAND);
    Var harm = m.bit("harm", Role.PROCESS);
    m.change("hit").when(input.on()).does(lamp.to(1), harm.to(1));
    m.scans(output.to(input.on()), lamp.to(0));
    Expr condition = any(lamp.on(), all(harm.on(), output.off()));
    m.hazard("H", condition);
    Model model = m.build();
    assertEquals(1, Cases.of(new Reads(model), model.claims().getFirst()).size());
    assertTrue(decided(model).verdict() instanceof Verdict.Reached);
  }
}
