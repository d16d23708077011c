package stoplog.checker.abstraction;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertInstanceOf;
import static org.junit.jupiter.api.Assertions.assertNotNull;
import static org.junit.jupiter.api.Assertions.assertNull;
import static org.junit.jupiter.api.Assertions.assertTrue;
import static stoplog.model.Expr.all;
import static stoplog.model.Expr.any;

import java.util.ArrayList;
import java.util.BitSet;
import java.util.List;
import java.util.Set;
import java.util.TreeSet;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;
import stoplog.checker.certificate.Certificate;
import stoplog.checker.certificate.CertificateChecker;
import stoplog.checker.explore.Progress;
import stoplog.checker.explore.Search;
import stoplog.checker.explore.TimedSystem;
import stoplog.checker.testkit.ModelBuilder.Var;
import stoplog.model.Claim;
import stoplog.model.Expr;
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

  /** A scan reads a hidden memory and assigns it; what answers to the scan sees another value. */
  @Test
  void aHiddenVariableThatAScanAssignsIsAnotherAfterIt() {
    Var input = m.bit("input", Role.PROCESS).startsAnywhere();
    Var memory = m.bit("memory", Role.MEMORY);
    Var before = m.bit("before", Role.MEMORY);
    Var after = m.bit("after", Role.EQUIPMENT);
    m.scans(before.to(memory.read()), memory.to(input.read()));
    m.reactions(after.to(memory.read()));
    m.hazard("H", all(before.off(), after.on()));
    var reads = new Reads(m.build());
    var kept = new BitSet();
    kept.set(before.id());
    kept.set(after.id());
    var system = new KeptSystem(reads, reads.model().claim("H"), new Kept(kept, false));
    var starts = new ArrayList<long[]>();
    system.starts((step, s) -> starts.add(s.clone()));
    var found = new TreeSet<String>();
    TimedSystem.Sink values =
        (step, s) ->
            found.add(system.valueIn(s, before.id()) + " " + system.valueIn(s, after.id()));
    starts.forEach(start -> system.successors(start, values));
    assertEquals(Set.of("0 0", "0 1", "1 0", "1 1"), found);
  }

  /** Though nothing asks for it: whoever checks the proof has to see it move. */
  @Test
  void whatAClaimRemembersIsKeptInAnyCase() {
    Var input = m.comesAndGoes("input");
    Var first = m.monitor("first");
    Var second = m.monitor("second");
    m.hazard("H", second.on())
        .remembering(first.to(input.read()), second.to(all(first.on(), first.off())));
    Model model = m.build();
    Certificate certificate =
        Decider.decideCertified(new Reads(model), model.claim("H"), BUDGET, Progress.NONE)
            .certificate();
    assertNotNull(certificate);
    assertTrue(certificate.keeps().contains("first"), certificate.keeps().toString());
    assertNull(CertificateChecker.refusal(model, certificate));
  }

  /** Of two latches it is kept whether any is set, and perhaps one of them too. */
  @ParameterizedTest
  @ValueSource(booleans = {true, false})
  void aGroupTurnsOverWithItsMembersAndLeadsOn(boolean oneKept) {
    Var first = m.bit("first", Role.PROCESS);
    Var second = m.bit("second", Role.PROCESS);
    Var done = m.bit("done", Role.PROCESS);
    Expr any = any(first.on(), second.on());
    m.change("set").when(first.off()).does(first.to(1));
    m.change("done").when(any).does(done.to(1));
    m.hazard("H", done.on());
    var group =
        new Group(1, List.of(new Group.Member(first.id(), 2), new Group.Member(second.id(), 2)));
    var variables = new BitSet();
    variables.set(done.id());
    variables.set(first.id(), oneKept);
    assertFound(new Kept(variables, false, List.of(group)));
  }

  /** Nothing but the group asks between steps what the latch is that is kept beside it. */
  @Test
  void whatOnlyAGroupReadsIsKeptBetweenSteps() {
    Var input = m.comesAndGoes("input");
    Var first = m.bit("first", Role.MEMORY);
    Var second = m.bit("second", Role.MEMORY);
    Var once = m.bit("once", Role.MEMORY);
    Var twice = m.bit("twice", Role.MEMORY);
    m.scans(twice.to(once.read()), first.to(input.read()), second.to(input.read()));
    m.scans(once.to(all(first.on(), second.on())));
    m.hazard("H", twice.on());
    var both =
        new Group(2, List.of(new Group.Member(first.id(), 2), new Group.Member(second.id(), 2)));
    var variables = new BitSet();
    List.of(first, once, twice).forEach(v -> variables.set(v.id()));
    assertFound(new Kept(variables, false, List.of(both)));
  }

  private void assertFound(Kept kept) {
    var reads = new Reads(m.build());
    var system = new KeptSystem(reads, reads.model().claim("H"), kept);
    var searches = new Searches("H", BUDGET, Progress.NONE);
    assertInstanceOf(
        Search.Outcome.Found.class,
        searches.run(system, kept, Search.Zoning.FOR_REACHING));
  }
}
