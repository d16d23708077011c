package stoplog.checker.abstraction;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertNotNull;
import static org.junit.jupiter.api.Assertions.assertNull;
import static org.junit.jupiter.api.Assertions.assertTrue;
import static stoplog.checker.testkit.ModelBuilder.choose;
import static stoplog.checker.testkit.ModelBuilder.value;
import static stoplog.model.Expr.all;
import static stoplog.model.Expr.any;
import static stoplog.model.Expr.not;

import java.time.Duration;
import java.util.List;
import org.jspecify.annotations.Nullable;
import org.junit.jupiter.api.Test;
import stoplog.checker.explore.Budget;
import stoplog.checker.explore.Progress;
import stoplog.checker.testkit.ModelBuilder;
import stoplog.model.Claim;
import stoplog.model.Expr;
import stoplog.model.FieldChange;
import stoplog.model.Model;
import stoplog.model.Role;
import stoplog.model.Trace;
import stoplog.model.Verdict;

/** A pump that coasts, a filter that clogs, a switch that is late, and much beside that does not matter. */
class PursuitTest {
  private static final Budget BUDGET = new Budget(1_000_000, 1L << 30, Duration.ofSeconds(60));

  private final ModelBuilder m = new ModelBuilder("filter");
  private final ModelBuilder.Var pump = m.equipment("pump", "at rest", "running", "coasting");
  private final ModelBuilder.Var on = m.switched("on");
  private final ModelBuilder.Var command = m.bit("command", Role.COMMAND);
  private final ModelBuilder.Var clogged = m.comesAndGoes("clogged");
  private final ModelBuilder.Var seen = m.bit("seen", Role.INSTRUMENT);
  private final ModelBuilder.Var trip = m.bit("trip", Role.MEMORY);

  private Model plant(int others) {
    var late = m.clock("late", all(clogged.on(), seen.off())).limit(4);
    m.change("switch makes").by(FieldChange.Cause.INSTRUMENT).between(late, 1, 4).does(seen.to(1));
    var coast = m.clock("coast", pump.is("coasting")).limit(5);
    m.change("at rest").by(FieldChange.Cause.EQUIPMENT).between(coast, 2, 5).does(pump.to(0));
    m.reactsWithin(1);
    for (int i = 0; i < others; i++) {
      // Each bears on the pump, but only all of them together.
      m.scans(m.bit("lamp " + i, Role.MEMORY).to(m.switched("other " + i).on()));
    }
    m.scans(
        trip.to(any(trip.on(), seen.on())),
        command.to(all(on.on(), trip.off())));
    m.reactions(
        pump.to(
            choose(
                command.on(),
                value(1),
                choose(pump.is("running"), value(2), pump.read()))));
    return m.build();
  }

  private static Following.Result.@Nullable Real run(Model model) {
    Claim claim = model.claims().getFirst();
    var reads = new Reads(model);
    return Pursuit.run(
        reads,
        claim,
        new Searches(claim.id(), BUDGET, Progress.NONE),
        new Kept(reads.of(claim.condition()), false),
        20_000);
  }

  private static List<String> told(Model model, Trace trace) {
    return trace.steps().stream()
        .map(s -> s.isScan() ? "scan" : model.changes().get(s.change()).text())
        .toList();
  }

  @Test
  void whatHoldsLongestIsFoundAmongMuchElse() {
    // Switch 4, scan 1, coast 5. Another scan comes because of the trip.
    m.hazard("H", all(pump.is("running", "coasting"), clogged.on())).longerThan(9);
    Model model = plant(12);
    Following.Result.Real run = run(model);
    assertNotNull(run);
    assertEquals(
        List.of("on on", "clogged starts", "scan", "switch makes", "scan", "scan"),
        told(model, run.trace()));
    assertEquals(6, run.events());
    assertTrue(run.kept().size() < model.variables().size() / 2, run.kept().toString());
  }

  @Test
  void anotherStartIsTriedToo() {
    // Nobody turns the key: it is there from the start or never.
    ModelBuilder.Var key = m.bit("key", Role.PANEL).startsAnywhere();
    m.hazard("H", all(pump.is("running"), key.on(), clogged.on()));
    Model model = plant(2);
    Following.Result.Real run = run(model);
    assertNotNull(run);
    assertEquals(1, run.trace().start().get(key.id()));
  }

  @Test
  void whatIsNotThereIsNotFound() {
    m.hazard("H", all(pump.is("running", "coasting"), clogged.on())).longerThan(10);
    assertNull(run(plant(3)));
  }

  @Test
  void whatIsFoundFirstByWayOfAPartIsFound() {
    // Clogged from the start is nearer, but then the pump never runs.
    clogged.starts(1);
    seen.starts(1);
    m.change("switch drops").by(FieldChange.Cause.INSTRUMENT).when(clogged.off()).does(seen.to(0));
    m.hazard("H", all(pump.is("running"), clogged.on()));
    Model model = plant(2);
    Following.Result.Real run = run(model);
    assertNotNull(run);
    assertTrue(told(model, run.trace()).contains("clogged ends"));
  }

  @Test
  void oneInputMoreIsTriedWhereTheConditionEndsTooSoon() {
    // Whoever turns the pump off and on again while it coasts starts the bypass anew.
    var bypass = m.bit("bypass", Role.TIMER);
    var begins = m.clock("bypass", all(command.on(), bypass.off())).limit(20);
    m.change("bypass ends").by(FieldChange.Cause.TIMER).between(begins, 20, 20).does(bypass.to(1));
    Expr dry = all(pump.is("running", "coasting"), not(bypass.on()));
    m.hazard("H", dry).longerThan(30);
    Model model = plant(4);
    Following.Result.Real run = run(model);
    assertNotNull(run);
    assertTrue(told(model, run.trace()).contains("on off"));
  }

  @Test
  void theVerdictTellsOfTheRunAndOfShorterOnes() {
    m.hazard("H", all(pump.is("running", "coasting"), clogged.on())).longerThan(9);
    Model model = plant(6);
    Claim claim = model.claims().getFirst();
    Verdict verdict =
        Decider.decideByPursuit(new Reads(model), claim, BUDGET, Progress.NONE);
    assertTrue(verdict instanceof Verdict.Reached r && r.fewest() == 6 && r.events() == 6,
        verdict.toString());
  }
}
