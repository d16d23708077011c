package stoplog.checker.report;

import java.math.BigDecimal;
import java.math.RoundingMode;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import org.jspecify.annotations.Nullable;
import stoplog.diag.Diagnostic;
import stoplog.diag.JsonRenderer;
import stoplog.model.Claim;
import stoplog.model.Model;
import stoplog.model.Trace;
import stoplog.model.Verdict;
import tools.jackson.jr.ob.JSON;

/**
 * The report of {@code stoplog check --json}: one JSON document with its keys in a fixed order.
 *
 * <pre>
 * format        1; grows when a key changes its meaning or goes away, not when one is added
 * stoplog       version of the program
 * exit          the exit status of the command, 0 to 3
 * file          the plant's file, as given
 * plant         its name; null if the plant could not be read
 * variables     how many variables the plant has
 * whole         whether the search kept all of them
 * caution       what a proof is worth, for people
 * scenarios     in the order of the plant:
 *   id, text, place, certain
 *   verdict             "passes", "fails" or "undecided"
 *   reason              unless it passes: which look fails, or why it is not decided
 *   story               what happened instead, if it fails and some run shows that: seconds, who, what,
 *                       ledTo
 * claims        in the order of the plant:
 *   id, text, place     label, title, file:line:column
 *   kind                "hazard", "can", "response" or "always can"
 *   severity, source, remarks   only where the plant states one: why the claim is made
 *   toleratedFaults     only if it tolerates any
 *   verdict             "proved", "reachable", "holds", "broken" or "undecided"
 *   reason, covered     only if undecided: why; no run with fewer events than this gets there
 *   margin              only if proved (or holding) with a time allowed: what is left of that time,
 *                       at least; seconds, ofSeconds, neverBegins
 *   asBefore            only where nothing was searched, since an earlier run has asked the same: true
 *   as                  only where nothing was searched, since the claim named here asks the same
 *   triedWith           only if undecided and asBefore: not tried again, for then it was given states,
 *                       memoryBytes and seconds, and now no more
 *   certificateChecked  only with --verify-proofs and a proof: true; false for a proof of what always
 *                       can be, for which there is no certificate yet
 *   kept                names of the variables that the verdict leans on
 *   effort              states, zones, searches; seconds only with --times
 *   remedies            after the trace, only if a run was found: interlocks any one of which would stop it, proved
 *                       on the changed plant; may be empty
 *   trace               only if a run was found, be it wanted or not; for "always can" it leads into
 *                       a lock-out, from which no run gets to the condition:
 *     events, fewest      length of this run; no run is shorter than fewest (0 if that is not known)
 *     endSeconds          when the condition has held for too long, or the plant is locked out
 *     ticksPerQuantum, quantumMicros   the unit of the exact times: tick * quantumMicros /
 *                                      ticksPerQuantum microseconds
 *     start               value of every variable at the start
 *     steps               every step: tick, seconds, who, what
 *     story               the told lines: seconds, who, what, ledTo
 *     leftOut             how many steps the story does not tell
 * concerns      about the plant itself: kind, voidsProofs, text, place
 * diagnostics   about the plant's text: see {@link JsonRenderer}
 * error         only after an internal error: what happened
 * </pre>
 *
 * Times in seconds are decimal numbers, rounded to the microsecond where that is needed.
 */
public final class CheckJson {
  private static final JSON WRITER =
      JSON.builder()
          .enable(JSON.Feature.PRETTY_PRINT_OUTPUT, JSON.Feature.WRITE_NULL_PROPERTIES)
          .build();

  private CheckJson() {}

  /**
   * @param run the verdicts, or null if the plant could not be read
   * @param diagnostics all that was found in its text
   * @param error what went wrong inside, or null
   */
  public static String render(
      String version,
      int exit,
      String file,
      @Nullable CheckRun run,
      List<Diagnostic> diagnostics,
      boolean times,
      @Nullable String error) {
    var document = new LinkedHashMap<String, @Nullable Object>();
    document.put("format", 1);
    document.put("stoplog", version);
    document.put("exit", exit);
    document.put("file", file);
    document.put("plant", run == null ? null : run.model().name());
    document.put("variables", run == null ? 0 : run.model().variables().size());
    document.put("whole", run != null && run.whole());
    document.put("caution", CheckRun.CAUTION);
    var claims = new ArrayList<Map<String, @Nullable Object>>();
    if (run != null) {
      for (Answer a : run.answers()) {
        claims.add(claim(run.model(), a, times));
      }
    }
    document.put("scenarios", run == null ? List.of() : scenarios(run));
    document.put("claims", claims);
    document.put("concerns", run == null ? List.of() : concerns(run));
    document.put("diagnostics", diagnostics(diagnostics));
    if (error != null) {
      document.put("error", error);
    }
    return WRITER.asString(document) + "\n";
  }

  /** As {@link JsonRenderer} writes them, so that there is one form of a diagnostic in JSON. */
  private static List<Object> diagnostics(List<Diagnostic> diagnostics) {
    return WRITER.listOfFrom(Object.class, new JsonRenderer().render(diagnostics));
  }

  private static List<Map<String, @Nullable Object>> concerns(CheckRun run) {
    var all = new ArrayList<Map<String, @Nullable Object>>();
    for (Concern c : run.concerns()) {
      var map = new LinkedHashMap<String, @Nullable Object>();
      map.put("kind", c.kind());
      map.put("voidsProofs", c.voidsProofs());
      map.put("text", c.text());
      map.put("place", c.at().isKnown() ? c.at().place() : null);
      all.add(map);
    }
    return all;
  }

  private static Map<String, @Nullable Object> claim(Model model, Answer a, boolean times) {
    var map = new LinkedHashMap<String, @Nullable Object>();
    map.put("id", a.claim().id());
    map.put("text", a.claim().text());
    map.put("place", a.claim().origin().isKnown() ? a.claim().origin().place() : null);
    map.put("kind", kind(a.claim().kind()));
    basis(a.claim(), map);
    map.put("verdict", a.standing().key());
    if (a.verdict() instanceof Verdict.Undecided u) {
      map.put("reason", u.reason());
      map.put("covered", u.covered());
    }
    if (a.margin() instanceof Margin margin) {
      var left = new LinkedHashMap<String, @Nullable Object>();
      left.put("seconds", Seconds.ofQuanta(model, margin.quanta()));
      left.put("ofSeconds", Seconds.ofQuanta(model, margin.ofQuanta()));
      left.put("neverBegins", margin.neverBegins());
      map.put("margin", left);
    }
    Answer.Carried carried = a.carried();
    if (carried != null) {
      map.put(carried.claim() == null ? "asBefore" : "as", carried.claim() == null ? true : carried.claim());
      if (carried.given() instanceof Given given) {
        var with = new LinkedHashMap<String, @Nullable Object>();
        with.put("states", given.states());
        with.put("memoryBytes", given.bytes());
        with.put("seconds", given.seconds());
        map.put("triedWith", with);
      }
    }
    if (a.proof() != Answer.ProofCheck.NOT_WANTED) {
      map.put("certificateChecked", a.proof() == Answer.ProofCheck.STANDS);
    }
    map.put("kept", a.verdict().kept());
    Verdict.Effort effort = a.verdict().effort();
    var took = new LinkedHashMap<String, @Nullable Object>();
    took.put("states", effort.states());
    took.put("zones", effort.zones());
    took.put("searches", effort.searches());
    if (times) {
      took.put("seconds", BigDecimal.valueOf(effort.nanos(), 9).setScale(3, RoundingMode.HALF_UP));
    }
    map.put("effort", took);
    if (a.verdict() instanceof Verdict.Reached reached && a.story() != null) {
      map.put("trace", trace(model, reached, a.story()));
      map.put("remedies", a.remedies() == null ? List.of() : a.remedies());
    }
    return map;
  }

  private static void basis(Claim claim, Map<String, @Nullable Object> map) {
    Claim.Basis basis = claim.basis();
    if (!basis.equals(Claim.Basis.NONE)) {
      map.put("severity", basis.severity().isEmpty() ? null : basis.severity());
      map.put("source", basis.source().isEmpty() ? null : basis.source());
      map.put("remarks", basis.remarks());
    }
    if (claim.faultBudget() > 0) {
      map.put("toleratedFaults", claim.faultBudget());
    }
  }

  private static List<Map<String, @Nullable Object>> scenarios(CheckRun run) {
    var all = new ArrayList<Map<String, @Nullable Object>>();
    for (Played p : run.played()) {
      var map = new LinkedHashMap<String, @Nullable Object>();
      map.put("id", p.scenario().id());
      map.put("text", p.scenario().text());
      map.put(
          "place", p.scenario().origin().isKnown() ? p.scenario().origin().place() : null);
      map.put("certain", p.scenario().certain());
      map.put("verdict", p.outcome().word());
      if (!p.reason().isEmpty()) {
        map.put("reason", p.reason());
      }
      Story story = p.story();
      if (story != null) {
        map.put("story", lines(story));
      }
      all.add(map);
    }
    return all;
  }

  private static String kind(Claim.Kind kind) {
    return switch (kind) {
      case HAZARD -> "hazard";
      case NEVER -> "never";
      case CAN -> "can";
      case RESPONSE -> "response";
      case ALWAYS_CAN -> "always can";
    };
  }

  private static Map<String, @Nullable Object> trace(
      Model model, Verdict.Reached reached, Story story) {
    Trace trace = reached.trace();
    var map = new LinkedHashMap<String, @Nullable Object>();
    map.put("events", reached.events());
    map.put("fewest", reached.fewest());
    map.put("endSeconds", Seconds.rounded(model, trace, trace.endTick()));
    map.put("ticksPerQuantum", trace.ticksPerQuantum());
    map.put("quantumMicros", model.quantumMicros());
    var start = new LinkedHashMap<String, String>();
    for (int v = 0; v < trace.start().size(); v++) {
      start.put(model.variable(v).name(), model.variable(v).values().get(trace.start().get(v)));
    }
    map.put("start", start);
    var steps = new ArrayList<Map<String, @Nullable Object>>();
    for (Trace.Step step : trace.steps()) {
      var told = new LinkedHashMap<String, @Nullable Object>();
      told.put("tick", step.tick());
      told.put("seconds", Seconds.rounded(model, trace, step.tick()));
      told.put("who", Story.Who.of(model, step).word());
      told.put("what", step.isScan() ? "scan" : model.changes().get(step.change()).text());
      steps.add(told);
    }
    map.put("steps", steps);
    map.put("story", lines(story));
    map.put("leftOut", story.leftOut());
    return map;
  }

  private static List<Map<String, @Nullable Object>> lines(Story story) {
    var lines = new ArrayList<Map<String, @Nullable Object>>();
    for (Story.Line line : story.lines()) {
      var told = new LinkedHashMap<String, @Nullable Object>();
      told.put("seconds", line.seconds());
      told.put("who", line.who().word());
      told.put("what", line.what());
      told.put("ledTo", line.ledTo());
      lines.add(told);
    }
    return lines;
  }
}
