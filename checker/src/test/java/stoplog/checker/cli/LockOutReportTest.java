package stoplog.checker.cli;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;
import static stoplog.checker.testkit.ModelBuilder.choose;
import static stoplog.checker.testkit.ModelBuilder.value;
import static stoplog.model.Expr.all;
import static stoplog.model.Expr.any;

import java.io.OutputStream;
import java.io.PrintStream;
import java.util.List;
import org.junit.jupiter.api.Test;
import stoplog.checker.explore.Budget;
import stoplog.checker.report.CheckJson;
import stoplog.checker.report.CheckRun;
import stoplog.checker.report.CheckText;
import stoplog.checker.report.Ink;
import stoplog.checker.testkit.ModelBuilder;
import stoplog.checker.testkit.ModelBuilder.Var;
import stoplog.model.Claim;
import stoplog.model.Expr;
import stoplog.model.Model;
import stoplog.model.Role;
import stoplog.source.Span;

/** What a reader is told about what can always be. */
final class LockOutReportTest {
  /** A pump with a trip; R-05 fails where nothing resets it, R-06 holds all the same. */
  private static Model model(boolean reset) {
    var m = new ModelBuilder("Feed pump");
    Var start = m.button("start");
    Var resetButton = m.button("reset");
    Var low = m.comesAndGoes("low_level");
    Var trip = m.bit("P-201.trip1", Role.MEMORY);
    Var command = m.bit("P-201.command", Role.COMMAND);
    Var pump = m.equipment("P-201", "at rest", "running");
    Expr cleared = reset ? resetButton.on() : Expr.FALSE;
    m.reactions(pump.to(command.read()));
    m.reactsWithin(2)
        .scans(
            trip.to(choose(low.on(), value(1), choose(cleared, value(0), trip.read()))),
            command.to(all(any(start.on(), command.on()), trip.off())),
            start.to(0),
            resetButton.to(0));
    m.claim("R-05", Claim.Kind.ALWAYS_CAN, pump.is("running"));
    m.claim("R-06", Claim.Kind.ALWAYS_CAN, pump.is("at rest"));
    Model plain = m.build();
    List<Claim> named =
        plain.claims().stream()
            .map(
                c ->
                    new Claim(
                        c.id(), c.id().equals("R-05") ? "water can be made" : "it can be stopped",
                        c.kind(), c.condition(), 0, c.monitors(), 0, Span.NONE))
            .toList();
    return new Model(
        plain.name(), 100_000, plain.variables(), plain.definitions(), plain.clocks(),
        plain.changes(), plain.controller(), plain.start(), plain.reactions(), named, List.of(),
        List.of());
  }

  private static CheckRun run(Model model, boolean verifying) {
    var wishes =
        new Deciding.Wishes(false, Budget.standard(), 1, false, verifying, true);
    var deciding = new Deciding(model, model.claims(), wishes);
    deciding.run(
        Engine.shipped(model),
        new ProgressLine(new PrintStream(OutputStream.nullOutputStream()), false, () -> false));
    return new CheckRun("feed.plant", model, deciding.answers(), false, false, List.of());
  }

  @Test
  void lockOutIsToldWithTheRunIntoIt() {
    CheckRun run = run(model(false), false);
    assertEquals(ExitStatus.FINDING, ExitStatus.of(run.answers(), List.of()));
    String text = CheckText.render(run, Ink.NONE, false);
    assertEquals(
        """
        Feed pump   feed.plant

        R-05  broken      water can be made  can lock out, 5 of 6 variables, 16 states, 2 events, 0.0 s
        R-06  holds       it can be stopped  always possible, 5 of 6 variables, 16 states

        R-05 can lock out: water can be made                                                 2 events, 0.0 s

             0.0 s  start       P-201 at rest
                    process     low_level starts
                    scan        P-201.trip1 on
             0.0 s  BROKEN      locked out: water can be made
                                From here no run gets there, whatever the operator, the process and the
                                  power do.
                                It stands at: low_level on, P-201.trip1 on, P-201 at rest

          There may be a shorter run; none has fewer than 1 events.

        Requirements: 1 holds, 1 broken.
        """,
        text.substring(0, text.indexOf("A proof holds")));
  }

  @Test
  void proofSaysThatItIsAlwaysPossibleAndThatItHasNoCertificate() {
    CheckRun run = run(model(true), true);
    assertEquals(ExitStatus.ALL_GOOD, ExitStatus.of(run.answers(), List.of()));
    String text = CheckText.render(run, Ink.NONE, false);
    assertTrue(text.contains("always possible"), text);
    assertTrue(text.contains("not checked twice: no certificate of this kind yet"), text);
    String json = CheckJson.render("1", 0, "feed.plant", run, List.of(), false, null);
    assertTrue(json.contains("\"kind\" : \"always can\""), json);
    assertTrue(json.contains("\"verdict\" : \"holds\""), json);
    assertTrue(json.contains("\"certificateChecked\" : false"), json);
  }

  @Test
  void jsonHoldsTheRunIntoTheLockOut() {
    CheckRun run = run(model(false), false);
    String json = CheckJson.render("1", 1, "feed.plant", run, List.of(), false, null);
    assertTrue(json.contains("\"verdict\" : \"broken\""), json);
    assertTrue(json.contains("\"what\" : \"locked out: water can be made\""), json);
    assertTrue(json.contains("\"remedies\" : [ ]"), json);
  }
}
