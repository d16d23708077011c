package stoplog.checker.abstraction;

import static org.junit.jupiter.api.Assertions.assertInstanceOf;
import static org.junit.jupiter.api.Assertions.assertNotNull;
import static org.junit.jupiter.api.Assertions.assertNull;
import static org.junit.jupiter.api.Assertions.assertTrue;
import static stoplog.model.Expr.all;

import java.time.Duration;
import org.jspecify.annotations.Nullable;
import org.junit.jupiter.api.Test;
import stoplog.checker.differential.RandomModel;
import stoplog.checker.explore.Budget;
import stoplog.checker.explore.Progress;
import stoplog.checker.reference.Replay;
import stoplog.checker.reference.Replayed;
import stoplog.checker.reference.TickJudge;
import stoplog.checker.testkit.ModelBuilder;
import stoplog.checker.testkit.ModelBuilder.Var;
import stoplog.model.Claim;
import stoplog.model.FieldChange;
import stoplog.model.Model;
import stoplog.model.Role;

/** Runs in which something comes between; {@code -Dseeds=N} tries N random models. */
class MishapTest {
  private static final Budget BUDGET = new Budget(100_000, 1L << 28, Duration.ofSeconds(10));

  /** A pump that turns on for 4 to 8 after its switch is off, which is claimed not to last so long. */
  private static Model coastingPump(long claimed) {
    var m = new ModelBuilder("coasting pump");
    Var on = m.switched("on");
    Var command = m.bit("command", Role.COMMAND);
    Var pump = m.bit("pump", Role.EQUIPMENT);
    var starting = m.clock("starting", all(command.on(), pump.off())).limit(8);
    m.change("turns").by(FieldChange.Cause.EQUIPMENT).when(all(command.on(), pump.off())).between(starting, 4, 8).does(pump.to(1));
    var coasting = m.clock("coasting", all(command.off(), pump.on())).limit(8);
    m.change("rests").by(FieldChange.Cause.EQUIPMENT).when(all(command.off(), pump.on())).between(coasting, 4, 8).does(pump.to(0));
    m.reactsWithin(1).scans(command.to(on.on()));
    m.hazard("H", all(on.off(), pump.on())).longerThan(claimed);
    return m.build();
  }

  private static Errand.@Nullable Run run(Model model) {
    Claim claim = model.claims().getFirst();
    return Mishap.of(new Reads(model), claim, searches(claim));
  }

  private static Searches searches(Claim claim) {
    return new Searches(claim.id(), BUDGET, Progress.NONE);
  }

  @Test
  void whatIsCutShortLastsAsLongAsItMay() {
    Model model = coastingPump(6);
    Claim claim = model.claims().getFirst();
    assertNull(Errand.of(new Reads(model), claim, searches(claim)), "equipment as quick as it can be");
    Errand.Run run = run(model);
    assertNotNull(run);
    assertInstanceOf(Replayed.Valid.class, Replay.run(model, claim, run.trace()));
  }

  @Test
  void whereThereIsNoRunNoneIsTold() {
    assertNull(run(coastingPump(12)));
  }

  @Test
  void aMishapThatIsFoundIsARun() {
    long first = Long.getLong("seed", 1);
    long count = Long.getLong("seeds", 500);
    int found = 0;
    for (long seed = first; seed < first + count; seed++) {
      Model model = RandomModel.of(seed);
      Claim claim = model.claims().getFirst();
      TickJudge.Answer judged = TickJudge.reachable(model, claim, 5_000);
      Errand.Run run = judged instanceof TickJudge.TooBig ? null : run(model);
      if (run != null) {
        found++;
        assertInstanceOf(TickJudge.Yes.class, judged, "seed " + seed);
      }
    }
    assertTrue(found > count / 20, "found only " + found);
  }
}
