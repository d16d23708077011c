package stoplog.plants.outside;

import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.TreeMap;
import stoplog.model.Assignment;
import stoplog.model.Bound;
import stoplog.model.Claim;
import stoplog.model.Clock;
import stoplog.model.Expr;
import stoplog.model.FieldChange;
import stoplog.model.Model;
import stoplog.model.Role;
import stoplog.model.Variable;
import stoplog.source.Span;

/**
 * A plant whose inputs are moved at fixed times instead of at will: a test signal, drawn as a list of
 * marks. The time between two marks is a stretch; stretch k follows mark k and the last one does not
 * end. Each stretch can be asked what an output may be in it.
 *
 * <p>Two marks may stand at one instant. Whatever else is due at the instant of a mark may come before
 * or after it, as anywhere.
 */
final class Drive {
  private final Model plant;
  private final Map<String, Integer> inputs = new HashMap<>();
  private final TreeMap<Long, List<Assignment>> marks = new TreeMap<>();

  Drive(Model plant) {
    this.plant = plant;
  }

  /** This input is off at first and turns over at each of these times, in quanta. */
  Drive input(String variable, long... times) {
    int id = plant.variables().stream()
        .filter(v -> v.name().equals(variable))
        .findFirst()
        .orElseThrow()
        .id();
    inputs.put(variable, id);
    int value = 1;
    for (long time : times) {
      marks.computeIfAbsent(time, t -> new ArrayList<>())
          .add(new Assignment(id, new Expr.Constant(value)));
      value = 1 - value;
    }
    return this;
  }

  /** A mark at which no input changes. */
  Drive mark(long time) {
    marks.computeIfAbsent(time, t -> new ArrayList<>());
    return this;
  }

  /** The stretches' own numbers by the time at which they begin, in quanta. */
  int stretchFrom(long time) {
    return marks.headMap(time).size() + 1;
  }

  /**
   * The driven plant. Claim {@code on k} asks whether time can pass in stretch k with the output
   * other than 0, {@code off k} with it at 0.
   */
  Model asking(String output) {
    List<Variable> variables = new ArrayList<>();
    for (Variable v : plant.variables()) {
      variables.add(inputs.containsValue(v.id()) ? startingOff(v) : v);
    }
    List<Clock> clocks = new ArrayList<>(plant.clocks());
    List<FieldChange> changes = new ArrayList<>();
    for (FieldChange c : plant.changes()) {
      if (c.effects().stream().noneMatch(a -> inputs.containsValue(a.variable()))) {
        changes.add(renumbered(c, changes.size()));
      }
    }
    int stretch = variables.size();
    variables.add(
        new Variable(stretch, "stretch", Role.PROCESS, numbers(marks.size() + 1), 1, "", Span.NONE));
    long before = 0;
    int k = 0;
    for (var mark : marks.entrySet()) {
      long gap = mark.getKey() - before;
      before = mark.getKey();
      var running = Expr.is(stretch, k);
      var clock = new Clock(clocks.size(), "stretch " + k, running, Bound.at(gap), Span.NONE);
      clocks.add(clock);
      List<Assignment> effects = new ArrayList<>(mark.getValue());
      effects.add(new Assignment(stretch, new Expr.Constant(k + 1)));
      changes.add(
          new FieldChange(
              changes.size(),
              "mark " + k,
              FieldChange.Cause.OPERATOR,
              running,
              new FieldChange.Timing(clock.id(), Bound.at(gap), Bound.at(gap)),
              effects,
              Span.NONE));
      k++;
    }
    return new Model(
        plant.name(),
        plant.quantumMicros(),
        variables,
        plant.definitions(),
        clocks,
        changes,
        plant.controller(),
        plant.start(),
        plant.reactions(),
        claims(stretch, output),
        List.of(),
        List.of());
  }

  private List<Claim> claims(int stretch, String output) {
    int out = plant.variables().stream()
        .filter(v -> v.name().equals(output))
        .findFirst()
        .orElseThrow()
        .id();
    List<Claim> claims = new ArrayList<>();
    for (int k = 0; k <= marks.size(); k++) {
      Expr here = Expr.is(stretch, k);
      claims.add(claim("on " + k, Expr.all(here, Expr.not(Expr.is(out, 0)))));
      claims.add(claim("off " + k, Expr.all(here, Expr.is(out, 0))));
    }
    return claims;
  }

  private static Claim claim(String id, Expr condition) {
    return new Claim(id, "", Claim.Kind.HAZARD, condition, 0, List.of(), 0, Span.NONE);
  }

  private static Variable startingOff(Variable v) {
    return new Variable(v.id(), v.name(), v.role(), v.values(), 1, v.text(), v.origin());
  }

  private static FieldChange renumbered(FieldChange c, int id) {
    return new FieldChange(id, c.text(), c.cause(), c.guard(), c.timing(), c.effects(), c.origin());
  }

  private static List<String> numbers(int count) {
    List<String> numbers = new ArrayList<>();
    for (int i = 0; i < count; i++) {
      numbers.add(Integer.toString(i));
    }
    return numbers;
  }
}
