package stoplog.plants.outside;

import static org.junit.jupiter.api.Assertions.assertEquals;

import java.time.Duration;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import stoplog.checker.abstraction.Decider;
import stoplog.checker.explore.Budget;
import stoplog.checker.explore.Progress;
import stoplog.checker.testkit.ModelBuilder;
import stoplog.checker.testkit.ModelBuilder.Var;
import stoplog.model.Expr;
import stoplog.model.FieldChange.Cause;
import stoplog.model.Model;
import stoplog.model.Role;
import stoplog.model.Verdict;
import stoplog.plants.judges.BoundedJudge;

/**
 * Chemical dosed while no water flows, and how many stuck sensors it takes: after outbreak reports
 * (CDC MMWR 66(19):498-501, 2017; J. Environ. Health 2002) and the statutory rule that puts the pump's
 * contact and a flow switch in series (Wisconsin NR 812.37). Depths recomputed by others.
 *
 * <p>Each row: the interlock, whether the line can be blocked, and the least number of steps with 0, 1
 * and 2 faults allowed; 0 stands for unreachable.
 */
class DosingWithoutFlowTest {
  private static final Budget BUDGET = new Budget(100_000, 1L << 28, Duration.ofSeconds(30));

  @ParameterizedTest
  @CsvSource({
    "none,    false, 2, 2, 2",
    "none,    true,  2, 2, 2",
    "contact, false, 0, 3, 3",
    "contact, true,  2, 2, 2",
    "switch,  false, 0, 3, 3",
    "switch,  true,  0, 3, 3",
    "both,    false, 0, 0, 4",
    "both,    true,  0, 3, 3",
  })
  void dosingWithoutFlowTakesSoManySteps(
      String interlock, boolean blocks, int none, int one, int two) {
    assertDepths("no flow", interlock, blocks, none, one, two);
  }

  @ParameterizedTest
  @CsvSource({"none, 2, 2, 2", "contact, 0, 3, 3", "switch, 0, 3, 3", "both, 0, 0, 4"})
  void dosingWithThePumpOffTakesSoManySteps(String interlock, int none, int one, int two) {
    assertDepths("pump off", interlock, true, none, one, two);
  }

  /**
   * After the independent report on an overdose of fluoride in 2009: dosing is let run by the plant and by a flow
   * switch; the switch is bypassed, and the shutdown does not reach the pump. One step is enough, and with a second,
   * independent cut-off none are.
   */
  @ParameterizedTest
  @CsvSource({"one cut-off, 1", "a second cut-off, 0"})
  void fluorideIsDosedIntoTheShutPlant(String cutOffs, int steps) {
    var m = new ModelBuilder("fluoride, " + cutOffs).powered(Expr.FALSE);
    Var works = m.switched("works").starts(1);
    Var bypassed = m.bit("switch bypassed", Role.PANEL).starts(1);
    Expr flowSwitch = Expr.any(works.on(), bypassed.on());
    Expr dosing = cutOffs.startsWith("one") ? flowSwitch : Expr.all(flowSwitch, works.on());
    m.hazard("shut", Expr.all(dosing, works.off()));
    Model model = m.build();
    int depth = depth(model, "shut");
    assertEquals(steps, depth);
    Results.value(
        DosingWithoutFlowTest.class,
        "G4 depth fluoride " + cutOffs,
        "fluoride dosed into the shut plant, switch bypassed, " + cutOffs + ": least steps",
        "independent report on a 2009 event",
        words(steps),
        words(depth),
        bounded(model, "shut", depth));
  }

  private static String words(int steps) {
    return steps == 0 ? "unreachable" : Integer.toString(steps);
  }

  private static int depth(Model model, String claim) {
    return switch (Decider.decideWhole(model, model.claim(claim), BUDGET, Progress.NONE)) {
      case Verdict.Reached r -> r.events();
      case Verdict.Proved p -> 0;
      case Verdict.Undecided u -> throw new AssertionError(u.reason());
    };
  }

  private static void assertDepths(
      String claim, String interlock, boolean blocks, int... depths) {
    for (int faults = 0; faults < depths.length; faults++) {
      Model model = model(interlock, blocks, faults);
      int depth = depth(model, claim);
      assertEquals(depths[faults], depth, faults + " faults");
      String what =
          claim + ", interlock " + interlock + (blocks ? ", blockage" : "") + ", " + faults + " faults";
      Results.value(
          DosingWithoutFlowTest.class,
          "G4 depth " + what,
          "dosing, " + what + ": least steps",
          "CDC MMWR 66(19), 2017; NR 812.37",
          words(depths[faults]),
          words(depth),
          bounded(model, claim, depth));
    }
  }

  /** A satisfiability library looks for the run too. */
  private static String bounded(Model model, String claim, int depth) {
    int expected = depth == 0 ? BoundedJudge.NOT_WITHIN : depth;
    assertEquals(expected, BoundedJudge.leastSteps(model, model.claim(claim), 6));
    return "satisfiability";
  }

  private static Model model(String interlock, boolean blocks, int faults) {
    var m = new ModelBuilder("dosing, interlock " + interlock).powered(Expr.FALSE);
    Var pump = m.switched("pump").starts(1);
    Var demand = m.switched("demand");
    Var blocked = blocks ? m.comesAndGoes("blockage") : m.bit("no blockage", Role.PROCESS);
    Var contactStuck = stuck(m, "pump contact");
    Var switchStuck = stuck(m, "flow switch");
    Expr flow = m.definition("flow", Expr.all(pump.on(), blocked.off()));
    Expr contact = Expr.any(pump.on(), contactStuck.on());
    Expr flowSwitch = Expr.any(flow, switchStuck.on());
    Expr dosing =
        switch (interlock) {
          case "none" -> demand.on();
          case "contact" -> Expr.all(demand.on(), contact);
          case "switch" -> Expr.all(demand.on(), flowSwitch);
          case "both" -> Expr.all(demand.on(), contact, flowSwitch);
          default -> throw new IllegalArgumentException(interlock);
        };
    m.hazard("no flow", Expr.all(dosing, Expr.not(flow))).tolerating(faults);
    m.hazard("pump off", Expr.all(dosing, pump.off())).tolerating(faults);
    return m.build();
  }

  private static Var stuck(ModelBuilder m, String sensor) {
    Var stuck = m.bit(sensor + " stuck", Role.FAULT);
    m.change(sensor + " sticks").by(Cause.FAULT).when(stuck.off()).does(stuck.to(1));
    return stuck;
  }
}
