package stoplog.checker.report;

import java.math.BigDecimal;
import java.util.ArrayList;
import java.util.HashSet;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Set;
import stoplog.checker.evidence.SettingUses;
import stoplog.checker.reference.Replayed;
import stoplog.checker.reference.State;
import stoplog.model.Claim;
import stoplog.model.Expr;
import stoplog.model.Model;
import stoplog.model.Role;
import stoplog.model.Trace;
import stoplog.model.Variable;
import stoplog.model.Verdict;

/**
 * Tells a replayed run as a {@link Story}.
 *
 * <p>A step is told if it touches a variable that the verdict leans on or the claim speaks of, or if
 * the operator, power or a fault makes it; the others are counted. One telling costs O(steps ×
 * (variables + clocks + inhibits × indications)).
 */
public final class StoryTeller {
  private final Model model;
  private final Claim claim;
  private final Verdict.Reached reached;
  private final List<int[]> states;
  private final int[] settled;
  private final PlainWords words;
  private final Misreading misreading;
  private final Consequences consequences;
  private final Seconds seconds;
  private final Map<String, List<SettingUses.Use>> settings;
  private final Set<Integer> ingredients;
  private final Set<Integer> relevant = new HashSet<>();
  private final Set<String> notesTold = new HashSet<>();
  private final List<Story.Line> lines = new ArrayList<>();
  private long lastTick = -1;
  private int leftOut;

  private StoryTeller(
      Model model,
      Claim claim,
      Verdict.Reached reached,
      List<int[]> states,
      int[] settled,
      Map<String, List<SettingUses.Use>> settings) {
    this.settings = settings;
    this.model = model;
    this.claim = claim;
    this.reached = reached;
    this.states = states;
    this.settled = settled;
    this.words = new PlainWords(model);
    this.misreading = new Misreading(model, words);
    this.seconds = Seconds.of(model, reached.trace());
    this.ingredients = PlainWords.variablesOf(model, claim.condition());
    relevant.addAll(ingredients);
    var index = model.indexByName();
    for (String kept : reached.kept()) {
      Integer id = index.get(kept);
      if (id != null) {
        relevant.add(id);
      }
    }
    this.consequences = new Consequences(model, claim, words, relevant);
  }

  /**
   * The story of a run.
   *
   * @param replayed what the reference interpreter made of the trace of {@code reached}
   */
  public static Story tell(
      Model model, Claim claim, Verdict.Reached reached, Replayed.Valid replayed) {
    var states = new ArrayList<int[]>();
    states.add(values(model, replayed.start()));
    for (Replayed.Moment moment : replayed.moments()) {
      states.add(values(model, moment.after()));
    }
    var settings = SettingUses.of(model, reached.trace(), replayed);
    int[] settled =
        claim.kind() == Claim.Kind.ALWAYS_CAN
            ? values(model, LockedOut.settled(model, claim, reached.trace(), replayed))
            : states.getLast();
    return new StoryTeller(model, claim, reached, states, settled, settings).tell();
  }

  /** When a run is over, as its story tells it. */
  public static BigDecimal end(Model model, Claim claim, Trace trace, Replayed.Valid replayed) {
    var effort = new Verdict.Effort(0, 0, 0, 0);
    return tell(model, claim, new Verdict.Reached(trace, 0, 0, List.of(), effort), replayed).end();
  }

  private static int[] values(Model model, State state) {
    int[] values = new int[model.variables().size()];
    for (int v = 0; v < values.length; v++) {
      values[v] = state.value(v);
    }
    return values;
  }

  private Story tell() {
    start();
    List<Trace.Step> steps = reached.trace().steps();
    for (int i = 0; i < steps.size(); i++) {
      step(i, steps.get(i), states.get(i), states.get(i + 1));
    }
    boolean lockOut = claim.kind() == Claim.Kind.ALWAYS_CAN;
    Story.Line end = lockOut ? lockedOut() : end();
    lines.add(end);
    Standing standing = Standing.of(claim, reached);
    String how =
        lockOut
            ? " can lock out"
            : standing == Standing.CAN_HAPPEN ? " can happen" : " " + standing.words();
    String title = claim.text().isEmpty() ? "" : ": " + claim.text();
    int events = reached.events();
    String measure = events + (events == 1 ? " event, " : " events, ") + end.seconds() + " s";
    return new Story(
        claim.id() + how + title, measure, Repeated.folded(lines), leftOut, events, reached.fewest());
  }

  /**
   * How things stand before anything happens, as far as the claim speaks of it or it changes later,
   * and what the panel might have stood at otherwise. What locks out from the start may be any of it.
   */
  private void start() {
    boolean all = reached.trace().steps().isEmpty();
    var phrases = new ArrayList<String>();
    int[] state = states.getFirst();
    for (Variable v : model.variables()) {
      boolean matters = all || ingredients.contains(v.id()) || changes(v.id());
      boolean free = Long.bitCount(v.initial()) > 1;
      boolean field =
          switch (v.role()) {
            case EQUIPMENT -> matters;
            case PROCESS, INSTRUMENT, FAULT, POWER -> matters && free;
            case PANEL -> free;
            case MEMORY, COMMAND, TIMER, MONITOR -> false;
          };
      if (field && relevant.contains(v.id())) {
        phrases.add(words.value(v.id(), state[v.id()]));
      }
    }
    if (!phrases.isEmpty()) {
      String what = String.join(", ", phrases);
      lines.add(new Story.Line(seconds.at(0), Story.Who.START, what, List.of()));
    }
  }

  private boolean changes(int variable) {
    int first = states.getFirst()[variable];
    return states.stream().anyMatch(s -> s[variable] != first);
  }

  private void step(int number, Trace.Step step, int[] before, int[] after) {
    Story.Who who = Story.Who.of(model, step);
    boolean outside =
        who == Story.Who.OPERATOR || who == Story.Who.POWER || who == Story.Who.FAULT;
    List<String> edits = edits(number);
    if (!outside && edits.isEmpty() && !touches(step, before, after)) {
      leftOut++;
      return;
    }
    List<String> ledTo = new ArrayList<>(consequences.of(step, before, after));
    String what;
    if (step.isScan()) {
      // What the scan did comes first; what it led to is what the field makes of it.
      List<String> done = consequences.ofLogic(before, after);
      what = done.isEmpty() ? "logic evaluated" : String.join(", ", done);
      ledTo.addAll(notes(before, after));
    } else {
      what = consequences.told(model.changes().get(step.change()));
    }
    ledTo.addAll(edits);
    add(step.tick(), who, what, ledTo);
  }

  /** Where a timer's time cannot be the one that its setpoint gave before: somebody edits it. */
  private List<String> edits(int step) {
    var edits = new LinkedHashSet<String>();
    settings.forEach(
        (setting, uses) -> {
          for (int i = 1; i < uses.size(); i++) {
            SettingUses.Use use = uses.get(i);
            for (int j = i - 1; use.step() == step && j >= 0; j--) {
              if (use.differs(uses.get(j), reached.trace().ticksPerQuantum())) {
                edits.add(
                    setting + " is " + time(use) + " here and was " + time(uses.get(j))
                        + " before: an operator edits it in between");
                break;
              }
            }
          }
        });
    return List.copyOf(edits);
  }

  private String time(SettingUses.Use use) {
    return (use.elapsed() ? "" : "at least ") + Seconds.told(seconds.at(use.told(reached.trace().ticksPerQuantum())));
  }

  private boolean touches(Trace.Step step, int[] before, int[] after) {
    for (int v : relevant) {
      // A scan that only takes back a pressed button has done nothing a reader would miss.
      boolean counts = !step.isScan() || model.variable(v).role() != Role.PANEL;
      if (counts && before[v] != after[v]) {
        return true;
      }
    }
    return false;
  }

  /** Who let a command through that this scan gives to something the claim speaks of. */
  private List<String> notes(int[] before, int[] after) {
    var notes = new ArrayList<String>();
    for (int command : consequences.commands()) {
      if (after[command] != 0 && before[command] == 0) {
        addNotes(notes, command, after);
        addBlindness(notes, command, before, after);
      }
    }
    return notes;
  }

  private void addNotes(List<String> notes, int command, int[] state) {
    for (String note : misreading.notes(command, state, ingredients)) {
      if (notesTold.add(command + note)) {
        notes.add(note);
      }
    }
  }

  /**
   * What nobody looked at before giving a command that makes one ingredient of the claim true while
   * another already is.
   */
  private void addBlindness(List<String> notes, int command, int[] before, int[] after) {
    var unseen = new LinkedHashSet<String>();
    boolean completes = false;
    for (Expr ingredient : PlainWords.ingredients(claim.condition())) {
      Set<Integer> speaksOf = PlainWords.variablesOf(model, ingredient);
      boolean own = speaksOf.stream().anyMatch(v -> consequences.moves(command, v));
      boolean holds = Values.holds(model, ingredient, after);
      if (own) {
        completes |= holds && !Values.holds(model, ingredient, before);
      } else if (holds && speaksOf.stream().allMatch(v -> unseen(command, v))) {
        unseen.addAll(words.names(ingredient));
      }
    }
    if (completes && !unseen.isEmpty()) {
      String owner = PlainWords.tag(model.variable(command));
      notes.add(
          "no permissive, interlock or trip of " + owner + " looks at "
              + String.join(", ", unseen));
    }
  }

  private boolean unseen(int command, int variable) {
    Role role = model.variable(variable).role();
    return (role == Role.EQUIPMENT || role == Role.PROCESS) && misreading.blind(command, variable);
  }

  /**
   * Adds a line, or adds to the line before if the same one does several things in one instant and
   * nothing came of them in between.
   */
  private void add(long tick, Story.Who who, String what, List<String> ledTo) {
    Story.Line last = lines.isEmpty() ? null : lines.getLast();
    boolean same = last != null && lastTick == tick && last.who() == who && last.ledTo().isEmpty();
    if (last != null && same && who != Story.Who.SCAN) {
      lines.removeLast();
      lines.add(new Story.Line(last.seconds(), who, last.what() + ", " + what, ledTo));
    } else {
      lines.add(new Story.Line(seconds.at(tick), who, what, ledTo));
    }
    lastTick = tick;
  }

  /** The end: each ingredient of the condition, how it stands and since when it counts. */
  private Story.Line end() {
    int begin = since(claim.condition());
    BigDecimal from = startOf(begin);
    BigDecimal end = from.add(quanta(claim.forQuanta())).setScale(from.scale());
    var phrases = new ArrayList<String>();
    for (Expr ingredient : PlainWords.ingredients(claim.condition())) {
      if (isOfCourse(ingredient)) {
        continue;
      }
      int first = since(ingredient);
      BigDecimal held = end.subtract(startOf(first));
      String how = String.join(" and ", words.standing(ingredient, states, first, states.size() - 1));
      phrases.add(
          how
              + (first == 0
                  ? ": from the start on"
                  : held.signum() == 0
                      ? ": from this instant on"
                      : (claim.forQuanta() == 0 ? ": for " : ": for longer than ") + held + " s"));
    }
    for (int command : consequences.commands()) {
      if (states.getLast()[command] != 0) {
        addNotes(phrases, command, states.getLast());
      }
    }
    phrases.addAll(edits(reached.trace().steps().size()));
    String title = claim.text().isEmpty() ? claim.id() : claim.text();
    String span = "longer than " + Seconds.span(model, claim.forQuanta());
    String longer = claim.forQuanta() == 0 || title.endsWith(span) ? "" : ", for " + span;
    return new Story.Line(end, endsAs(), title + longer, phrases);
  }

  /** The end of a run into a lock-out: what will never be again, and what is no more as it was. */
  private Story.Line lockedOut() {
    var end = new LockedOut(model, words, consequences, relevant, ingredients);
    String title = claim.text().isEmpty() ? claim.id() : claim.text();
    return new Story.Line(
        seconds.at(reached.trace().endTick()),
        endsAs(),
        "locked out: " + title,
        end.told(states.getFirst(), states.getLast(), settled));
  }

  /**
   * Whether this only tells how far a scenario has come, which the time tells already, or that what the
   * claim takes for granted holds, without which there would be no story.
   */
  private boolean isOfCourse(Expr ingredient) {
    return PlainWords.variablesOf(model, ingredient).stream()
        .map(model::variable)
        .allMatch(v -> v.role() == Role.TIMER || v.name().endsWith(".assumption"));
  }

  private Story.Who endsAs() {
    return switch (claim.kind()) {
      case HAZARD -> Story.Who.HAZARD;
      case CAN -> Story.Who.REACHED;
      case NEVER, RESPONSE, ALWAYS_CAN -> Story.Who.BROKEN;
    };
  }

  /** The first of the last states, in an unbroken row to the end, in which this holds. */
  private int since(Expr condition) {
    int first = states.size() - 1;
    while (first > 0 && Values.holds(model, condition, states.get(first - 1))) {
      first--;
    }
    return first;
  }

  private BigDecimal startOf(int state) {
    return seconds.at(state == 0 ? 0 : reached.trace().steps().get(state - 1).tick());
  }

  private BigDecimal quanta(long quanta) {
    return seconds.at(quanta * reached.trace().ticksPerQuantum());
  }
}
