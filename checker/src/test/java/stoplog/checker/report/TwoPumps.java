package stoplog.checker.report;

import static stoplog.checker.testkit.ModelBuilder.choose;
import static stoplog.checker.testkit.ModelBuilder.value;
import static stoplog.model.Expr.all;
import static stoplog.model.Expr.any;
import static stoplog.model.Expr.not;

import java.util.ArrayList;
import java.util.List;
import stoplog.checker.reference.Replay;
import stoplog.checker.reference.Replayed;
import stoplog.checker.testkit.ModelBuilder;
import stoplog.checker.testkit.ModelBuilder.Var;
import stoplog.checker.testkit.ModelBuilder.Watch;
import stoplog.model.Claim;
import stoplog.model.Expr;
import stoplog.model.FieldChange;
import stoplog.model.Indication;
import stoplog.model.Inhibit;
import stoplog.model.Model;
import stoplog.model.Role;
import stoplog.model.Trace;
import stoplog.model.Verdict;
import stoplog.source.Span;

/**
 * A skid on which the cleaning pump P-301 must not turn with the high-pressure pump P-201, and whose
 * interlock reads the command of P-201 although that pump coasts for 2 to 5 s. Oxidant comes and goes
 * and bears on nothing. One quantum is 100 ms; the controller reacts within 200 ms.
 */
public final class TwoPumps {
  public static final List<String> KEPT =
      List.of("P-201", "P-201.command", "P-301", "P-301.command", "mode");

  private TwoPumps() {}

  /** With the claims H-02 (can happen), H-03 (for longer than 1 s), R-01 (can), R-02 (broken). */
  public static Model model() {
    var m = new ModelBuilder("Two pumps");
    Var mode = m.variable("mode", Role.PANEL, "auto", "clean").startsAnywhere();
    for (String word : List.of("auto", "clean")) {
      m.change("mode to " + word)
          .by(FieldChange.Cause.OPERATOR)
          .when(not(mode.is(word)))
          .does(mode.to(word));
    }
    Var start = m.button("start");
    Var stop = m.button("stop");
    m.comesAndGoes("oxidant");
    Var feed = pump(m, "P-201", 20, 50);
    Var clean = pump(m, "P-301", 10, 20);
    Var feedCommand = m.bit("P-201.command", Role.COMMAND);
    Var cleanCommand = m.bit("P-301.command", Role.COMMAND);
    Expr feedRuns =
        all(any(start.on(), feedCommand.on()), mode.is("auto"), not(stop.on()));
    m.scans(
        feedCommand.to(feedRuns),
        cleanCommand.to(all(mode.is("clean"), not(feedCommand.on()))),
        start.to(0),
        stop.to(0));
    m.reactions(reaction(feed, feedCommand), reaction(clean, cleanCommand));
    m.reactsWithin(2);
    Expr bothTurn = all(turning(feed), turning(clean));
    m.hazard("H-02", bothTurn);
    m.hazard("H-03", bothTurn).longerThan(10);
    m.can("R-01", feed.is("running"));
    m.can("R-02", all(feed.is("running"), clean.is("running")));
    var interlock =
        new Inhibit(
            Inhibit.Kind.INTERLOCK, cleanCommand.id(), "not making water", feedCommand.off(),
            Span.NONE);
    var command =
        new Indication(feedCommand.on(), turning(feed), "the command of P-201", feed.id());
    return finished(m.build(), List.of(interlock), List.of(command));
  }

  private static Var pump(ModelBuilder m, String tag, long shortest, long longest) {
    Var pump = m.equipment(tag, "at rest", "running", "coasting");
    Watch coast = m.clock(tag + " coasts", pump.is("coasting")).limit(longest);
    m.change(tag + " at rest")
        .by(FieldChange.Cause.EQUIPMENT)
        .when(pump.is("coasting"))
        .between(coast, shortest, longest)
        .does(pump.to("at rest"));
    return pump;
  }

  private static stoplog.model.Assignment reaction(Var pump, Var command) {
    return pump.to(
        choose(
            command.on(), value(1), choose(pump.is("running"), value(2), pump.read())));
  }

  private static Expr turning(Var pump) {
    return pump.is("running", "coasting");
  }

  private static Model finished(Model m, List<Inhibit> inhibits, List<Indication> indications) {
    var claims = new ArrayList<Claim>();
    for (Claim c : m.claims()) {
      String text =
          switch (c.id()) {
            case "H-02" -> "cleaning while the high-pressure pump turns";
            case "H-03" -> "cleaning against the high-pressure pump for long";
            case "R-01" -> "the skid can make water";
            default -> "both pumps can run";
          };
      claims.add(
          new Claim(
              c.id(), text, c.kind(), c.condition(), c.forQuanta(), c.monitors(), 0, Span.NONE));
    }
    return new Model(
        m.name(), 100_000, m.variables(), m.definitions(), m.clocks(), m.changes(),
        m.controller(), m.start(), m.reactions(), claims, inhibits, indications);
  }

  /** The same without inhibits. */
  public static Model withoutInterlock(Model m) {
    return new Model(
        m.name(), m.quantumMicros(), m.variables(), m.definitions(), m.clocks(), m.changes(),
        m.controller(), m.start(), m.reactions(), m.claims(), List.of(), m.indications());
  }

  /** Stop and turn to cleaning while P-201 coasts; ends this many ticks after a last, idle scan. */
  public static Trace stopAndClean(Model model, int ticksPerQuantum, long lastTicks) {
    return trace(
        model, ticksPerQuantum, lastTicks,
        "0 start pressed", "0 oxidant starts", "0 scan", "1 scan", "300 oxidant ends",
        "312 stop pressed", "312 mode to clean", "314 scan", "315 scan");
  }

  /** A trace from lines of a quantum and the text of a change, or "scan". Starts in auto. */
  public static Trace trace(
      Model model, int ticksPerQuantum, long lastTicks, String... lines) {
    var steps = new ArrayList<Trace.Step>();
    long tick = 0;
    for (String line : lines) {
      int blank = line.indexOf(' ');
      tick = Long.parseLong(line.substring(0, blank)) * ticksPerQuantum;
      String what = line.substring(blank + 1);
      int change = Trace.Step.SCAN;
      for (FieldChange c : model.changes()) {
        if (c.text().equals(what)) {
          change = c.id();
        }
      }
      steps.add(new Trace.Step(tick, change));
    }
    var start = new ArrayList<Integer>();
    model.variables().forEach(_ -> start.add(0));
    return new Trace(ticksPerQuantum, start, steps, tick + lastTicks);
  }

  public static Verdict.Reached reached(Trace trace) {
    return new Verdict.Reached(trace, 5, 5, KEPT, new Verdict.Effort(41, 43, 2, 12_000_000));
  }

  /** The story of a trace, replayed first. */
  public static Story story(Model model, String claim, Verdict.Reached reached) {
    Claim asked = model.claim(claim);
    return switch (Replay.run(model, asked, reached.trace())) {
      case Replayed.Valid valid -> StoryTeller.tell(model, asked, reached, valid);
      case Replayed.Invalid(int step, String reason) ->
          throw new AssertionError("step " + step + ": " + reason);
    };
  }
}
