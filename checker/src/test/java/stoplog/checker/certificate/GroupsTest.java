package stoplog.checker.certificate;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertNotNull;
import static org.junit.jupiter.api.Assertions.assertNull;
import static org.junit.jupiter.api.Assertions.assertTrue;
import static stoplog.model.Expr.all;
import static stoplog.model.Expr.any;
import static stoplog.model.Expr.not;

import java.time.Duration;
import java.util.ArrayList;
import java.util.List;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.Timeout;
import stoplog.checker.testkit.ModelBuilder;
import stoplog.checker.testkit.ModelBuilder.Var;
import stoplog.model.Assignment;
import stoplog.model.Expr;
import stoplog.model.Model;
import stoplog.model.Role;

/** Proofs that keep of many variables only whether any, all or exactly one of them holds. */
final class GroupsTest {
  /** Latches set by alarms, let go by a reset; a lamp that follows the group; alarms come and go. */
  private static final class Panel {
    final ModelBuilder m = new ModelBuilder("panel");
    final List<Var> latches = new ArrayList<>();
    final Var reset = m.switched("reset");
    final Var lamp = m.bit("lamp", Role.COMMAND);
    final List<Assignment> program = new ArrayList<>();

    Panel(int count) {
      for (int i = 1; i <= count; i++) {
        Var alarm = m.comesAndGoes("alarm" + i);
        Var latch = m.bit("latch" + i, Role.MEMORY);
        latches.add(latch);
        program.add(latch.to(any(alarm.on(), all(latch.on(), reset.off()))));
      }
      program.add(lamp.to(anyLatch()));
    }

    Expr anyLatch() {
      return any(latches.stream().map(Var::on).toList());
    }

    Model build() {
      m.scans(program.toArray(Assignment[]::new));
      // Two hazards that never happen: between scans the lamp tells whether there is a latch.
      m.hazard("H-1", all(anyLatch(), lamp.off()));
      m.hazard("H-2", all(not(anyLatch()), lamp.on()));
      return m.build();
    }

    Certificate.Group group(int atLeast) {
      return new Certificate.Group(
          atLeast,
          latches.stream()
              .map(l -> new Certificate.Member("latch" + (latches.indexOf(l) + 1), 2))
              .toList());
    }
  }

  private static Certificate.State state(List<Integer> values, Boolean... groups) {
    return new Certificate.State(values, List.of(groups), 0, 0, List.of());
  }

  private static Certificate certificate(
      Model model,
      String claim,
      List<String> keeps,
      List<Certificate.Group> groups,
      Certificate.State... states) {
    return new Certificate(
        model.name(), Fingerprint.of(model), claim, keeps, List.of(), groups, false,
        List.of(states));
  }

  @Test
  void anyOfStandsForManyLatches() throws Exception {
    var panel = new Panel(3);
    Model model = panel.build();
    Certificate c =
        certificate(
            model, "H-1", List.of("lamp"), List.of(panel.group(1)),
            state(List.of(0), false), state(List.of(1), true));
    assertNull(CertificateChecker.refusal(model, c));
    String text = CertificateText.write(c);
    assertTrue(text.contains("group 1 latch1=1 latch2=1 latch3=1\n"), text);
    assertTrue(text.contains("state 1 group 1 due 0 faults 0\n"), text);
    assertEquals(c, CertificateText.read(text));
  }

  /** All of them as none of the opposites. */
  @Test
  void allOfStandsAsNoneOfTheOpposites() {
    var panel = new Panel(3);
    Var full = panel.m.bit("full", Role.COMMAND);
    panel.program.add(full.to(all(panel.latches.stream().map(Var::on).toList())));
    panel.m.hazard("H-3", all(full.on(), any(panel.latches.stream().map(Var::off).toList())));
    Model model = panel.build();
    var group =
        new Certificate.Group(
            1,
            List.of(
                new Certificate.Member("latch1", 1),
                new Certificate.Member("latch2", 1),
                new Certificate.Member("latch3", 1)));
    assertNull(
        CertificateChecker.refusal(
            model,
            certificate(
                model, "H-3", List.of("full"), List.of(group),
                state(List.of(0), true), state(List.of(1), false))));
  }

  /** A step hands on from one to the next; one is always active, and never two. */
  private static Model ring(boolean broken) {
    var m = new ModelBuilder("ring");
    Var a = m.bit("a", Role.MEMORY).starts(1);
    Var b = m.bit("b", Role.MEMORY);
    Var c = m.bit("c", Role.MEMORY);
    m.change("a to b").when(a.on()).does(a.to(0), b.to(1));
    m.change("b to c").when(b.on()).does(b.to(0), c.to(1));
    m.change("c to a").when(c.on()).does(c.to(broken ? 1 : 0), a.to(1));
    m.hazard("H-1", any(all(a.on(), b.on()), all(b.on(), c.on()), all(a.on(), c.on())));
    return m.build();
  }

  @Test
  void exactlyOneIsTwoGroups() {
    List<Certificate.Member> members =
        List.of(
            new Certificate.Member("a", 2),
            new Certificate.Member("b", 2),
            new Certificate.Member("c", 2));
    var groups =
        List.of(new Certificate.Group(1, members), new Certificate.Group(2, members));
    Model model = ring(false);
    assertNull(
        CertificateChecker.refusal(
            model, certificate(model, "H-1", List.of(), groups, state(List.of(), true, false))));
    Model broken = ring(true);
    assertEquals(
        "it is not closed: c to a leads out of it",
        CertificateChecker.refusal(
            broken, certificate(broken, "H-1", List.of(), groups, state(List.of(), true, false))));
    assertEquals(
        "it does not keep all that the claim speaks of",
        CertificateChecker.refusal(
            model,
            certificate(
                model, "H-1", List.of(), groups.subList(0, 1), state(List.of(), true))));
  }

  @Test
  void changeThatAssignsMemberIsNotLeftOut() {
    var panel = new Panel(3);
    panel.m.change("somebody sets a latch").does(panel.latches.get(1).to(1));
    Model model = panel.build();
    assertEquals(
        "it is not closed: somebody sets a latch leads out of it",
        CertificateChecker.refusal(
            model,
            certificate(
                model, "H-1", List.of("lamp"), List.of(panel.group(1)),
                state(List.of(0), false), state(List.of(1), true))));
  }

  /** Without the group's value before the step, the second lamp could light with no latch before. */
  @Test
  void membersAreAsTheGroupTellsBeforeAStep() {
    var panel = new Panel(3);
    var before = panel.m.bit("was lit", Role.COMMAND);
    panel.program.addFirst(before.to(panel.anyLatch()));
    var lit = panel.m.bit("lit", Role.COMMAND);
    panel.program.add(1, lit.to(panel.lamp.read()));
    panel.m.hazard("H-3", not(Expr.any(all(before.on(), lit.on()), all(before.off(), lit.off()))));
    Model model = panel.build();
    var states = new ArrayList<Certificate.State>();
    for (int was = 0; was < 2; was++) {
      for (int now = 0; now < 2; now++) {
        states.add(state(List.of(now, was, was), now == 1));
      }
    }
    Certificate.State[] all = states.toArray(Certificate.State[]::new);
    List<String> keeps = List.of("lamp", "was lit", "lit");
    assertNull(
        CertificateChecker.refusal(
            model, certificate(model, "H-3", keeps, List.of(panel.group(1)), all)));
    // The same with a group that tells nothing of the third latch.
    var fewer = new Certificate.Group(1, panel.group(1).members().subList(0, 2));
    assertNotNull(
        CertificateChecker.refusal(model, certificate(model, "H-3", keeps, List.of(fewer), all)));
  }

  @Test
  void groupIsAsItsMembersAreAfterAStep() {
    var panel = new Panel(3);
    Model model = panel.build();
    // Says that no latch is ever set.
    assertEquals(
        "it is not closed: a scan leads out of it",
        CertificateChecker.refusal(
            model,
            certificate(
                model, "H-1", List.of("lamp"), List.of(panel.group(1)),
                state(List.of(0), false))));
    panel.m.hazard("H-3", panel.anyLatch());
    Model latched = panel.m.build();
    assertEquals(
        "it is not closed: a scan leads out of it",
        CertificateChecker.refusal(
            latched,
            certificate(latched, "H-3", List.of(), List.of(panel.group(1)), state(List.of(), false))));
  }

  @Test
  void conditionThatTheGroupDoesNotDecideIsRefused() {
    var panel = new Panel(3);
    panel.m.hazard("H-3", all(panel.latches.getFirst().on(), panel.lamp.off()));
    Model model = panel.build();
    List<Certificate.Group> groups = List.of(panel.group(1));
    assertNull(
        CertificateChecker.refusal(
            model,
            certificate(
                model, "H-3", List.of("lamp"), groups,
                state(List.of(0), false), state(List.of(1), true))));
    assertEquals(
        "it does not keep all that the claim speaks of",
        CertificateChecker.refusal(
            model,
            certificate(
                model, "H-3", List.of("lamp"), groups,
                state(List.of(0), false), state(List.of(0), true), state(List.of(1), true))));
  }

  /** Whether this group holds is a matter of counting, not of trying all values of its members. */
  @Test
  @Timeout(60)
  void largeGroupIsCheckedQuickly() {
    var panel = new Panel(60);
    Model model = panel.build();
    long start = System.nanoTime();
    for (String claim : List.of("H-1", "H-2")) {
      assertNull(
          CertificateChecker.refusal(
              model,
              certificate(
                  model, claim, List.of("lamp"), List.of(panel.group(1)),
                  state(List.of(0), false), state(List.of(1), true))));
    }
    assertTrue(System.nanoTime() - start < Duration.ofSeconds(20).toNanos());
  }

  @Test
  void groupOfUnknownVariableIsRefused() {
    var panel = new Panel(2);
    Model model = panel.build();
    var group = new Certificate.Group(1, List.of(new Certificate.Member("nobody", 2)));
    assertEquals(
        "the plant has no variable nobody",
        CertificateChecker.refusal(
            model, certificate(model, "H-1", List.of("lamp"), List.of(group))));
  }
}
