package stoplog.checker.abstraction;

import java.util.ArrayList;
import java.util.BitSet;
import java.util.List;
import java.util.function.Predicate;
import stoplog.model.Assignment;
import stoplog.model.Claim;
import stoplog.model.Clock;
import stoplog.model.Controller;
import stoplog.model.Expr;
import stoplog.model.FieldChange;
import stoplog.model.Model;
import stoplog.model.Untouched;
import stoplog.model.Variable;

/**
 * The {@link Cone} of a claim as a plant of its own: variables, clocks and changes keep their numbers,
 * but those outside never move, run or come.
 */
final class ConePlant {
  private ConePlant() {}

  /**
   * @param inside the variables of the cone
   * @return without claims
   */
  static Model of(Reads reads, Claim claim, BitSet inside) {
    Model plant = reads.model();
    BitSet constants = Untouched.by(plant, claim);
    Predicate<Assignment> within = a -> inside.get(a.variable());
    var variables = new ArrayList<Variable>();
    for (Variable v : plant.variables()) {
      long initial = inside.get(v.id()) ? v.initial() : Long.lowestOneBit(v.initial());
      variables.add(
          new Variable(v.id(), v.name(), v.role(), v.values(), initial, v.text(), v.origin()));
    }
    var clocks = new ArrayList<Clock>();
    for (Clock c : plant.clocks()) {
      BitSet read = reads.ofClock(c.id());
      read.andNot(constants);
      Expr running = KeptSystem.isWithin(read, inside) ? c.running() : Expr.FALSE;
      clocks.add(new Clock(c.id(), c.name(), running, c.limit(), c.setting(), c.origin()));
    }
    var changes = new ArrayList<FieldChange>();
    for (FieldChange c : plant.changes()) {
      List<Assignment> effects = c.effects().stream().filter(within).toList();
      changes.add(
          new FieldChange(
              c.id(), c.text(), c.cause(), effects.isEmpty() ? Expr.FALSE : c.guard(), c.timing(),
              effects.isEmpty() ? c.effects() : effects, c.origin()));
    }
    Controller all = plant.controller();
    return new Model(
        plant.name(), plant.quantumMicros(), variables, plant.definitions(), clocks, changes,
        new Controller(
            all.reactionQuanta(), all.coincident(), all.powered(),
            all.program().stream().filter(within).toList()),
        plant.start().stream().filter(within).toList(),
        plant.reactions().stream().filter(within).toList(),
        List.of(), List.of(), List.of());
  }
}
