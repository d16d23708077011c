package stoplog.checker.abstraction;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertInstanceOf;
import static org.junit.jupiter.api.Assertions.assertNotNull;
import static org.junit.jupiter.api.Assertions.assertNull;
import static org.junit.jupiter.api.Assertions.assertTrue;
import static stoplog.model.Expr.all;
import static stoplog.model.Expr.any;

import java.time.Duration;
import java.util.ArrayList;
import java.util.List;
import org.junit.jupiter.api.Test;
import stoplog.checker.certificate.CertificateChecker;
import stoplog.checker.explore.Budget;
import stoplog.checker.explore.Progress;
import stoplog.checker.testkit.ModelBuilder;
import stoplog.checker.testkit.ModelBuilder.Var;
import stoplog.model.Expr;
import stoplog.model.Model;
import stoplog.model.Role;
import stoplog.model.Verdict;

/** What is proved of one case is said of another only if a search would be the same. */
class LikeCasesTest {
  private static final Budget BUDGET = new Budget(100_000, 1L << 28, Duration.ofSeconds(60));

  private static Decider.Decision decided(Model model) {
    return Decider.decideCertified(new Reads(model), model.claims().getFirst(), BUDGET, Progress.NONE);
  }

  /**
   * Pumps that coast for up to so long each, and a valve that begins to shut when none is driven and takes at
   * least 6. One pump comes before the valve and the others after it, so that values stand in different places.
   */
  private static Model coasting(int... longest) {
    var m = new ModelBuilder("pumps");
    var pumps = new ArrayList<Var>();
    var switches = new ArrayList<Var>();
    pumps.add(m.equipment("pump0", "off", "on", "coasting"));
    Var valve = m.equipment("valve", "open", "shutting", "shut");
    for (int i = 0; i < longest.length; i++) {
      switches.add(m.switched("switch" + i));
      if (i > 0) {
        pumps.add(m.equipment("pump" + i, "off", "on", "coasting"));
      }
    }
    for (int i = 0; i < longest.length; i++) {
      Var pump = pumps.get(i);
      var coast = m.clock("coast" + i, pump.is("coasting")).limit(longest[i]);
      m.change("starts" + i)
          .when(all(pump.is("off"), valve.is("open"), switches.get(i).on()))
          .does(pump.to("on"));
      m.change("stops" + i).when(all(pump.is("on"), switches.get(i).off())).does(pump.to("coasting"));
      m.change("rests" + i).when(pump.is("coasting")).between(coast, 1, longest[i]).does(pump.to("off"));
    }
    Expr driven = any(pumps.stream().map(p -> p.is("on")).toList());
    var travel = m.clock("travel", valve.is("shutting")).limit(8);
    m.change("shuts").when(all(valve.is("open"), Expr.not(driven))).does(valve.to("shutting"));
    m.change("shut").when(valve.is("shutting")).between(travel, 6, 8).does(valve.to("shut"));
    m.change("opens").when(valve.is("shut")).does(valve.to("open"));
    m.hazard("H", all(any(pumps.stream().map(p -> Expr.not(p.is("off"))).toList()), valve.is("shut")));
    return m.build();
  }

  @Test
  void theProofStandsInTheNamesOfEachCase() {
    Model one = coasting(5);
    Model five = coasting(5, 5, 5, 5, 5);
    var alone = assertInstanceOf(Verdict.Proved.class, decided(one).verdict());
    Decider.Decision decision = decided(five);
    var proved = assertInstanceOf(Verdict.Proved.class, decision.verdict());
    // One that tries a group of all of them, and those of the first.
    assertEquals(1 + alone.effort().searches(), proved.effort().searches());
    assertTrue(proved.kept().containsAll(List.of("pump0", "pump1", "pump4")), proved.kept().toString());
    assertNotNull(decision.certificate());
    assertEquals(5, decision.certificate().cases().size());
    for (int i = 0; i < 5; i++) {
      String clock = "coast" + i;
      assertTrue(
          decision.certificate().cases().get(i).states().stream()
              .flatMap(s -> s.bounds().stream())
              .anyMatch(b -> b.lower().equals(clock)),
          "no bound of " + clock);
    }
    assertEquals(List.of("pump0", "valve"), decision.certificate().cases().getFirst().keeps());
    assertEquals(List.of("valve", "pump4"), decision.certificate().cases().getLast().keeps());
    assertNull(CertificateChecker.refusal(five, decision.certificate()));
  }

  @Test
  void oneThatIsUnlikeTheOthersIsFound() {
    for (int odd = 0; odd < 5; odd++) {
      int[] longest = {5, 5, 5, 5, 5};
      longest[odd] = 7;
      assertInstanceOf(Verdict.Reached.class, decided(coasting(longest)).verdict());
    }
  }

  /** Of most pairs both read the same, of the last it is another in between. */
  @Test
  void whatChangesInBetweenIsSeen() {
    for (boolean between : new boolean[] {false, true}) {
      var m = new ModelBuilder("copies").reactsWithin(3);
      Var input = m.switched("input");
      Var copied = m.bit("copied", Role.MEMORY);
      Var lamp = m.bit("lamp", Role.EQUIPMENT);
      var apart = new ArrayList<Expr>();
      for (int i = 0; i < 5; i++) {
        Var early = m.bit("early" + i, Role.COMMAND);
        Var late = m.bit("late" + i, Role.COMMAND);
        m.scans(early.to(copied.read()));
        if (i == 4 && between) {
          m.scans(copied.to(input.on()));
        }
        m.scans(late.to(copied.read()));
        apart.add(all(early.on(), late.off()));
      }
      if (!between) {
        m.scans(copied.to(input.on()));
      }
      m.change("seen").when(any(apart)).does(lamp.to(1));
      m.hazard("H", any(apart));
      Model model = m.build();
      assertEquals(5, Cases.of(new Reads(model), model.claims().getFirst()).size());
      Verdict verdict = decided(model).verdict();
      assertEquals(between ? Verdict.Reached.class : Verdict.Proved.class, verdict.getClass());
      if (!between) {
        assertEquals(1, verdict.effort().searches());
      }
    }
  }
}
