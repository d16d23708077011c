package stoplog.checker.abstraction;

import static org.junit.jupiter.api.Assertions.assertInstanceOf;
import static stoplog.model.Expr.all;

import org.junit.jupiter.api.Test;
import stoplog.checker.explore.Progress;
import stoplog.checker.testkit.ModelBuilder.Var;
import stoplog.model.Claim;
import stoplog.model.Model;
import stoplog.model.Role;
import stoplog.model.Verdict;

/** As {@link SoundnessTrapsTest}: what is read between steps has to be kept from step to step. */
class SoundnessTrapsStoredTest extends Trap {
  /** The scan has long been when the door opens. */
  @Test
  void whatOnlyReactionsReadIsKeptBetweenSteps() {
    Var output = m.bit("output", Role.COMMAND);
    Var ready = m.bit("ready", Role.COMMAND);
    Var door = m.bit("door", Role.PROCESS);
    Var light = m.bit("light", Role.EQUIPMENT);
    m.change("door opens").when(ready.on()).does(door.to(1));
    m.scans(output.to(1), ready.to(1));
    m.reactions(light.to(all(output.on(), door.on())));
    m.hazard("H", light.on());
    assertDecided(true);
  }

  /** Nothing but the controller ever asks for power. */
  @Test
  void whatOnlyTellsOfPowerIsKeptBetweenSteps() {
    Var power = m.bit("power", Role.POWER);
    Var output = m.bit("output", Role.COMMAND);
    m.powered(power.on());
    m.change("power returns").does(power.to(1));
    m.scans(output.to(1));
    m.hazard("H", output.on());
    assertDecided(true);
  }

  /** What a claim takes for granted is asked for after every step, also where none assigns it. */
  @Test
  void whatOnlyAnAssumptionReadsIsKeptBetweenSteps() {
    Var mode = m.bit("mode", Role.PANEL).startsAnywhere();
    Var lamp = m.switched("lamp");
    m.claim("C", Claim.Kind.ALWAYS_CAN, lamp.on()).onlyWhile(mode.is(0));
    Model model = m.build();
    Claim claim = model.claim("C");
    assertInstanceOf(
        Verdict.Proved.class, Decider.decideWhole(model, claim, BUDGET, Progress.NONE));
    assertInstanceOf(Verdict.Proved.class, Decider.decide(model, claim, BUDGET, Progress.NONE));
  }
}
