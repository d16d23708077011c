package stoplog.dsl.lower;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import stoplog.dsl.lower.ScenarioCourse.Moment;
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
  private final Parts parts;
  private final Meanings meanings;
  private final Scenario scenario;
  private final ScenarioCourse course;
  private final String id;
  private final List<FieldChange> outside = new ArrayList<>();

  /** For each look that waits for something, the variable that knows whether it has come. */
  private final Map<Entry, Integer> come = new HashMap<>();

  private int stage;
  private int moved;

  ScenarioLowering(Parts parts, Meanings meanings, Scenario scenario) {
    this.parts = parts;
    this.meanings = meanings;
    this.scenario = scenario;
    this.id = scenario.label().name().text();
    this.course = new ScenarioCourse(scenario);
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
    variables();
    List<Moment> moments = course.moments();
    for (int i = 0; i < moments.size(); i++) {
      leave(
          ScenarioCourse.FIRST + i, moments.get(i), i == 0 ? 0 : moments.get(i - 1).micros());
    }
    new ScenarioStart(parts, meanings, scenario).lower(plant, stage);
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

  private void variables() {
    var words = new ArrayList<>(List.of("not as given", "at the start"));
    course.moments().forEach(m -> words.add("from: " + m.words()));
    Span at = scenario.span();
    stage = parts.variable(id + ".course", Role.TIMER, words, 1L << ScenarioCourse.FIRST, "", at);
    boolean moves =
        scenario.certain()
            && scenario.entries().stream().anyMatch(Scenario.SeenAt.class::isInstance);
    if (moves) {
      int before =
          parts.variable(id + ".before", Role.TIMER, words, 1L << ScenarioCourse.FIRST, "", at);
      moved = parts.flag(id + ".moved", Role.TIMER, "no", "yes", "", at);
      Expr same = new Expr.Same(new Expr.Read(before), new Expr.Read(stage));
      parts.reactions.add(new Assignment(moved, Expr.not(same), at));
      parts.reactions.add(new Assignment(before, new Expr.Read(stage), at));
    }
    for (Entry e : scenario.entries()) {
      if (e instanceof Scenario.SeenBy s) {
        int seen = parts.flag(id + ".seen" + come.size(), Role.TIMER, "no", "yes", "", s.span());
        come.put(s, seen);
        Expr meant = stages(course.beginning(s.fromMicros()), course.look(s.micros()));
        Expr now = Expr.all(meant, of(s));
        Expr value = new Expr.Choose(now, Expr.TRUE, new Expr.Read(seen));
        parts.reactions.add(new Assignment(seen, value, s.span()));
      }
    }
  }

  private Expr at(int one) {
    return stages(one, one);
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
        stages(course.look(s.fromMicros()), course.look(s.toMicros()) - 1), Expr.not(of(s)));
  }

  // ---- the questions

  private void claims() {
    claim(id, scenario.label().text(), Claim.Kind.CAN, at(course.end()), scenario.span());
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
      Expr asked = scenario.certain() ? notShown(s) : stages(ends(s), course.end());
      claim(id + "." + (i + 1), words(s), kind, asked, s.span());
    }
  }

  private int ends(Scenario.Seen s) {
    return switch (s) {
      case Scenario.SeenAt a -> course.look(a.micros());
      case Scenario.SeenBy b -> course.look(b.micros());
      case Scenario.SeenThroughout t -> course.look(t.toMicros());
    };
  }

  /** What a run stands at for longer than an instant that does not show this. */
  private Expr notShown(Scenario.Seen s) {
    return switch (s) {
      // The step into the stage was the last: it is still the time that is looked at.
      case Scenario.SeenAt a ->
          Expr.all(at(course.look(a.micros())), Expr.is(moved, 1), Expr.not(of(a)));
      case Scenario.SeenBy b ->
          Expr.all(at(course.look(b.micros())), Expr.not(hasCome(b)));
      case Scenario.SeenThroughout t -> missing(t);
    };
  }

  private void claim(String label, String text, Claim.Kind kind, Expr condition, Span at) {
    parts.claims.add(
        new Claim(label, text, kind, condition, 0, List.of(), course.faults(), at));
  }

  /** The entry as written, on one line. */
  private static String words(Scenario.Seen s) {
    return s.span().text().strip().replaceAll("\\s+", " ");
  }
}
