package stoplog.dsl.lower;

import java.math.BigDecimal;
import java.util.ArrayList;
import java.util.BitSet;
import java.util.Comparator;
import java.util.HashMap;
import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import java.util.TreeMap;
import org.jspecify.annotations.Nullable;
import stoplog.dsl.resolve.ResolvedPlant;
import stoplog.dsl.resolve.Scenario;
import stoplog.dsl.resolve.Scenario.Entry;
import stoplog.dsl.resolve.Scenario.Event;
import stoplog.model.Assignment;
import stoplog.model.Bound;
import stoplog.model.Claim;
import stoplog.model.Expr;
import stoplog.model.FieldChange;
import stoplog.model.FieldChange.Cause;
import stoplog.model.FieldChange.Timing;
import stoplog.model.Model;
import stoplog.model.Role;
import stoplog.model.Variable;
import stoplog.source.Span;

/**
 * A scenario becomes a model of its own: the plant, without what the operator, the process, faults and
 * power do of their own accord, and with a script instead.
 *
 * <p>The script is one variable, the <em>stage</em>, that goes up by one with each written event and
 * with each time that is looked at, once all that is written for that time has happened. A clock for
 * each stage brings the next at exactly its time. Whatever else happens at that instant may do so
 * before or after: every order of things that happen at one time is among the runs.
 *
 * <p>Every stage can be left at its time whatever the plant does: an event that cannot happen then,
 * such as a button pressed on a panel without power, has no effect. Only for a possible scenario, where
 * one good run is enough, are runs that do not show what is to be seen held back there.
 */
public final class ScenarioLowering {
  /** The stage of starts that are not as given. */
  private static final int NEVER = 0;

  private static final int FIRST = 1;

  private final Parts parts;
  private final Meanings meanings;
  private final Scenario scenario;
  private final String id;
  private final List<FieldChange> outside = new ArrayList<>();
  private final List<Moment> moments = new ArrayList<>();

  /** The stage that a looked-at time begins. */
  private final Map<Long, Integer> looks = new HashMap<>();

  /** For each look that waits for something, the variable that knows whether it has come. */
  private final Map<Entry, Integer> come = new HashMap<>();

  private int stage;
  private int moved;

  /** What leads from one stage to the next: an event, or a time that is looked at. */
  private record Moment(long micros, @Nullable Event event, Span span) {
    String words() {
      return event == null ? seconds(micros) + " after the start" : event.words();
    }
  }

  ScenarioLowering(Parts parts, Meanings meanings, Scenario scenario) {
    this.parts = parts;
    this.meanings = meanings;
    this.scenario = scenario;
    this.id = scenario.label().name().text();
  }

  /** The scenarios of a plant that has passed every rule, each with a model of its own. */
  public static List<stoplog.model.Scenario> each(ResolvedPlant plant) {
    var scenarios = new ArrayList<stoplog.model.Scenario>();
    for (Scenario s : plant.scenarios()) {
      Model model = Lowering.lower(plant, s);
      scenarios.add(
          new stoplog.model.Scenario(
              s.label().name().text(), s.label().text(), s.certain(), model, s.span()));
    }
    return scenarios;
  }

  void lower(ResolvedPlant plant) {
    takeOutsideAway();
    moments();
    variables();
    for (int i = 0; i < moments.size(); i++) {
      leave(FIRST + i, moments.get(i), i == 0 ? 0 : moments.get(i - 1).micros());
    }
    start(plant);
    if (!scenario.certain()) {
      holdBack();
    }
    claims();
  }

  /** What happens only if it is written. What waits for a clock has its cause in the plant. */
  private void takeOutsideAway() {
    var stay = new ArrayList<FieldChange>();
    for (FieldChange c : parts.changes) {
      boolean goes =
          switch (c.cause()) {
            case OPERATOR, PROCESS -> c.timing() == null;
            case FAULT, POWER -> true;
            case EQUIPMENT, INSTRUMENT, TIMER -> false;
          };
      (goes ? outside : stay).add(c);
    }
    parts.changes.clear();
    for (FieldChange c : stay) {
      parts.change(c.text(), c.cause(), c.guard(), c.timing(), c.effects(), c.origin());
    }
  }

  // ---- the script

  /** Entries of one time happen in the order written; what is seen then, is seen after all of them. */
  private void moments() {
    var times = new TreeMap<Long, Span>();
    var looked = new TreeMap<Long, Span>();
    for (Entry e : scenario.entries()) {
      switch (e) {
        case Scenario.Given g -> {}
        case Scenario.Happens h -> times.put(h.micros(), h.span());
        case Scenario.SeenAt s -> looked.put(s.micros(), s.span());
        case Scenario.SeenBy s -> {
          looked.put(s.fromMicros(), s.span());
          looked.put(s.micros(), s.span());
        }
        case Scenario.SeenThroughout s -> {
          looked.put(s.fromMicros(), s.span());
          looked.put(s.toMicros(), s.span());
        }
      }
    }
    times.putAll(looked);
    for (long time : times.keySet()) {
      for (Entry e : scenario.entries()) {
        if (e instanceof Scenario.Happens h && h.micros() == time) {
          h.events().forEach(v -> moments.add(new Moment(time, v, v.span())));
        }
      }
      Span at = looked.get(time);
      if (at != null) {
        moments.add(new Moment(time, null, at));
        looks.put(time, FIRST + moments.size());
      }
    }
  }

  private void variables() {
    var words = new ArrayList<>(List.of("not as given", "at the start"));
    moments.forEach(m -> words.add("from: " + m.words()));
    String course = id + ".course";
    Span at = scenario.span();
    stage = parts.variable(course, Role.TIMER, words, 1L << FIRST, "", at);
    boolean moves =
        scenario.certain()
            && scenario.entries().stream().anyMatch(Scenario.SeenAt.class::isInstance);
    if (moves) {
      int before = parts.variable(id + ".before", Role.TIMER, words, 1L << FIRST, "", at);
      moved = parts.flag(id + ".moved", Role.TIMER, "no", "yes", "", at);
      Expr same = new Expr.Same(new Expr.Read(before), new Expr.Read(stage));
      parts.reactions.add(new Assignment(moved, Expr.not(same), at));
      parts.reactions.add(new Assignment(before, new Expr.Read(stage), at));
    }
    for (Entry e : scenario.entries()) {
      if (e instanceof Scenario.SeenBy s) {
        int seen = parts.flag(id + ".seen" + come.size(), Role.TIMER, "no", "yes", "", s.span());
        come.put(s, seen);
        Expr now = Expr.all(stages(beginning(s.fromMicros()), look(s.micros())), of(s));
        Expr value = new Expr.Choose(now, Expr.TRUE, new Expr.Read(seen));
        parts.reactions.add(new Assignment(seen, value, s.span()));
      }
    }
  }

  private int look(long micros) {
    return Objects.requireNonNull(looks.get(micros));
  }

  private int end() {
    return FIRST + moments.size();
  }

  /**
   * The first stage that begins no sooner than this time and after all its events. The look itself may
   * come late in its instant, when something that followed an event is over again.
   */
  private int beginning(long micros) {
    int look = look(micros);
    boolean sooner =
        look - 1 == FIRST ? micros == 0 : moments.get(look - FIRST - 2).micros() == micros;
    return sooner ? look - 1 : look;
  }

  private Expr stages(int from, int to) {
    return Meanings.in(stage, (-1L >>> (63 - to)) & (-1L << from));
  }

  private Expr of(Scenario.Seen s) {
    return meanings.of(s.condition());
  }

  /** The changes that end a stage at its time, one of which is always open. */
  private void leave(int from, Moment m, long sinceMicros) {
    Bound due = parts.bound(m.micros() - sinceMicros);
    Expr here = Expr.is(stage, from);
    int clock = parts.clock(id + " until " + m.words(), here, due, m.span());
    var timing = new Timing(clock, due, due);
    Assignment on = Parts.set(stage, from + 1, m.span());
    Event event = m.event();
    if (event == null) {
      Expr guard = scenario.certain() ? here : Expr.all(here, shown(m.micros()));
      parts.change(m.words(), Cause.TIMER, guard, timing, List.of(on), m.span());
      return;
    }
    var open = new ArrayList<Expr>();
    for (FieldChange c : changesOf(event)) {
      open.add(c.guard());
      var effects = new ArrayList<>(c.effects());
      effects.add(on);
      parts.change(c.text(), c.cause(), Expr.all(here, c.guard()), timing, effects, m.span());
    }
    Expr closed = Expr.not(Expr.any(open));
    if (!closed.equals(Expr.FALSE)) {
      Cause cause = event.cause() == Cause.FAULT ? Cause.PROCESS : event.cause();
      String words = event.words() + ", without effect";
      parts.change(words, cause, Expr.all(here, closed), timing, List.of(on), m.span());
    }
  }

  /** What would do this in the plant; if nothing does by itself, the scenario does it. */
  private List<FieldChange> changesOf(Event event) {
    int variable = -1;
    for (Variable v : parts.variables) {
      variable = v.name().equals(event.variable()) ? v.id() : variable;
    }
    if (variable < 0) {
      throw new IllegalStateException("no variable " + event.variable());
    }
    var found = new ArrayList<FieldChange>();
    for (FieldChange c : outside) {
      for (Assignment a : c.effects()) {
        if (c.cause() == event.cause()
            && a.variable() == variable
            && a.value().equals(new Expr.Constant(event.value()))) {
          found.add(c);
        }
      }
    }
    if (found.isEmpty()) {
      Assignment does = Parts.set(variable, event.value(), event.span());
      Expr not = Expr.not(Expr.is(variable, event.value()));
      found.add(
          new FieldChange(
              0, event.words(), event.cause(), not, null, List.of(does), event.span()));
    }
    return found;
  }

  /** For a possible scenario: what must have been seen when this time has come. */
  private Expr shown(long micros) {
    var all = new ArrayList<Expr>();
    for (Entry e : scenario.entries()) {
      if (e instanceof Scenario.SeenAt s && s.micros() == micros) {
        all.add(of(s));
      } else if (e instanceof Scenario.SeenBy s && s.micros() == micros) {
        all.add(hasCome(s));
      }
    }
    return Expr.all(all);
  }

  private Expr hasCome(Scenario.SeenBy s) {
    return Expr.is(Objects.requireNonNull(come.get(s)), 1);
  }

  /** For a possible scenario: no time passes while something that must hold throughout does not. */
  private void holdBack() {
    for (Entry e : scenario.entries()) {
      if (e instanceof Scenario.SeenThroughout s) {
        parts.clock(id + " sees " + words(s), missing(s), Bound.at(0), s.span());
      }
    }
  }

  private Expr missing(Scenario.SeenThroughout s) {
    return Expr.all(
        stages(look(s.fromMicros()), look(s.toMicros()) - 1), Expr.not(of(s)));
  }

  // ---- the start

  /** Conditions that are not spoken of are absent; starts that are not as given take no course. */
  private void start(ResolvedPlant plant) {
    var given = new ArrayList<Expr>();
    for (Entry e : scenario.entries()) {
      if (e instanceof Scenario.Given g) {
        given.add(meanings.of(g.condition()));
      }
    }
    Expr asGiven = Expr.all(given);
    BitSet spokenOf = Expr.variables(asGiven, parts.definitions);
    var free = new HashSet<String>();
    plant.free().forEach(c -> free.add(c.name().text()));
    for (Variable v : List.copyOf(parts.variables)) {
      if (free.contains(v.name()) && !spokenOf.get(v.id())) {
        begins(v, 1);
      }
    }
    List<Expr> parted = asGiven instanceof Expr.All a ? a.operands() : List.of(asGiven);
    parted.forEach(this::narrow);
    if (!asGiven.equals(Expr.TRUE)) {
      Expr value = new Expr.Choose(asGiven, new Expr.Constant(FIRST), new Expr.Constant(NEVER));
      parts.start.add(new Assignment(stage, value, scenario.span()));
    }
  }

  /** Fewer starts to look at; those left out would take no course. */
  private void narrow(Expr given) {
    switch (given) {
      case Expr.In(Expr.Read r, long values) -> begins(parts.variables.get(r.variable()), values);
      case Expr.Not(Expr.In(Expr.Read r, long values)) ->
          begins(parts.variables.get(r.variable()), ~values);
      default -> {}
    }
  }

  private void begins(Variable v, long among) {
    boolean assigned = parts.start.stream().anyMatch(a -> a.variable() == v.id());
    if (!assigned && (v.initial() & among) != 0) {
      parts.variables.set(
          v.id(),
          new Variable(
              v.id(), v.name(), v.role(), v.values(), v.initial() & among, v.text(), v.origin()));
    }
  }

  // ---- the questions

  private void claims() {
    claim(id, scenario.label().text(), Claim.Kind.CAN, stages(end(), end()), scenario.span());
    var seen = new ArrayList<Scenario.Seen>();
    for (Entry e : scenario.entries()) {
      if (e instanceof Scenario.Seen s) {
        seen.add(s);
      }
    }
    seen.sort(Comparator.comparingInt(this::ends));
    for (int i = 0; i < seen.size(); i++) {
      Scenario.Seen s = seen.get(i);
      Claim.Kind kind = scenario.certain() ? Claim.Kind.RESPONSE : Claim.Kind.CAN;
      Expr asked = scenario.certain() ? notShown(s) : stages(ends(s), end());
      claim(id + "." + (i + 1), words(s), kind, asked, s.span());
    }
  }

  private int ends(Scenario.Seen s) {
    return switch (s) {
      case Scenario.SeenAt a -> look(a.micros());
      case Scenario.SeenBy b -> look(b.micros());
      case Scenario.SeenThroughout t -> look(t.toMicros());
    };
  }

  /** What a run stands at for longer than an instant that does not show this. */
  private Expr notShown(Scenario.Seen s) {
    return switch (s) {
      // The step into the stage was the last: it is still the time that is looked at.
      case Scenario.SeenAt a ->
          Expr.all(stages(look(a.micros()), look(a.micros())), Expr.is(moved, 1), Expr.not(of(a)));
      case Scenario.SeenBy b ->
          Expr.all(stages(look(b.micros()), look(b.micros())), Expr.not(hasCome(b)));
      case Scenario.SeenThroughout t -> missing(t);
    };
  }

  private void claim(String label, String text, Claim.Kind kind, Expr condition, Span at) {
    int faults = 0;
    for (Moment m : moments) {
      faults += m.event() != null && m.event().cause() == Cause.FAULT ? 1 : 0;
    }
    parts.claims.add(new Claim(label, text, kind, condition, 0, List.of(), faults, at));
  }

  /** The entry as written, on one line. */
  private static String words(Scenario.Seen s) {
    return s.span().text().strip().replaceAll("\\s+", " ");
  }

  private static String seconds(long micros) {
    BigDecimal seconds = BigDecimal.valueOf(micros, 6).stripTrailingZeros();
    return (seconds.scale() < 0 ? seconds.setScale(0) : seconds).toPlainString() + " s";
  }
}
