package stoplog.dsl.lower;

import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.function.Consumer;
import stoplog.dsl.resolve.Bands;
import stoplog.dsl.resolve.ConditionOrder;
import stoplog.dsl.resolve.FaultsAsked;
import stoplog.dsl.resolve.ResolvedPlant;
import stoplog.dsl.resolve.ResolvedPlant.Derived;
import stoplog.dsl.resolve.Statement;
import stoplog.dsl.resolve.Statement.Drive;
import stoplog.dsl.resolve.Statement.Guard;
import stoplog.dsl.resolve.Symbol;
import stoplog.dsl.resolve.Term;
import stoplog.dsl.resolve.Thresholds;
import stoplog.dsl.resolve.Times;
import stoplog.model.Controller;
import stoplog.model.Expr;
import stoplog.model.FieldChange.Cause;
import stoplog.model.Inhibit;
import stoplog.model.Model;
import stoplog.model.Role;
import stoplog.source.Span;

/** Resolved plant to plant model. */
public final class Lowering {
  private final ResolvedPlant plant;
  private final Parts parts;
  private final Meanings meanings;
  private final Map<String, Bands> bands;
  private final FaultsAsked asked;
  private final FaultLowering faults;
  private final InstrumentLowering instruments;

  private Lowering(ResolvedPlant plant) {
    this.plant = plant;
    this.parts = new Parts(Times.quantumMicros(plant));
    this.meanings = new Meanings(parts);
    this.bands = Thresholds.of(plant);
    this.asked = FaultsAsked.of(plant);
    this.faults = new FaultLowering(parts, meanings, asked);
    this.instruments = new InstrumentLowering(parts, meanings, faults);
  }

  /** The model of a plant that has passed every rule. Linear in the size of the plant. */
  public static Model lower(ResolvedPlant plant) {
    return new Lowering(plant).run(parts -> {});
  }

  /** The model of a plant with one scenario only, and the claims of that. */
  static Model lower(ResolvedPlant plant, stoplog.dsl.resolve.Scenario scenario) {
    var lowering = new Lowering(plant.only(scenario));
    return lowering.run(
        parts -> new ScenarioLowering(parts, lowering.meanings, scenario).lower(plant));
  }

  private Model run(Consumer<Parts> last) {
    PowerLowering power = plant.power() == null ? null : new PowerLowering(parts, plant.power());
    Expr powered = power == null ? Expr.TRUE : power.powered();
    var equipment = new EquipmentLowering(parts, meanings, powered, asked, instruments);
    plant.equipment().forEach(equipment::lower);
    process(equipment);
    instruments();
    var panel = new PanelLowering(parts, meanings, powered, faults);
    plant.panel().forEach(panel::lower);
    LogicLowering logic = logic(panel);
    if (power != null) {
      power.lower(logic.retained(), panel.touchButtons());
    }
    var claims = new ClaimLowering(parts, meanings, powered);
    plant.claims().forEach(claims::lower);
    last.accept(parts);
    ResolvedPlant.Reaction reacts = plant.reacts();
    long reaction = reacts == null ? 0 : parts.quanta(reacts.micros());
    int coincident = reacts == null ? 2 : reacts.coincident();
    return new Model(
        plant.name(),
        parts.quantumMicros(),
        parts.variables,
        parts.definitions,
        parts.clocks,
        parts.changes,
        new Controller(reaction, coincident, powered, parts.program),
        parts.start,
        parts.reactions,
        parts.claims,
        parts.inhibits,
        parts.indications);
  }

  private void process(EquipmentLowering equipment) {
    for (Symbol.Condition c : plant.free()) {
      String name = c.name().text();
      Span at = c.name().span();
      int id = parts.variable(name, Role.PROCESS, List.of("no", "yes"), 3, c.text(), at);
      Expr on = Expr.is(id, 1);
      meanings.truth(c, on);
      parts.change(
          name + " starts", Cause.PROCESS, Expr.not(on), null, List.of(Parts.set(id, 1, at)), at);
      parts.change(name + " ends", Cause.PROCESS, on, null, List.of(Parts.set(id, 0, at)), at);
    }
    var process = new ProcessLowering(parts, meanings);
    plant.caused().forEach(process::declare);
    plant.counts().forEach(process::declare);
    var levels = new LevelLowering(parts, meanings);
    plant.levels().forEach(l -> levels.declare(l, bandsOf(l.level())));
    for (Derived d : ConditionOrder.of(plant.derived())) {
      Symbol.Condition c = d.condition();
      Expr value = meanings.of(d.holdsWhen());
      meanings.truth(c, parts.define(c.name().text(), value, c.text(), c.name().span()));
    }
    equipment.process(plant.driven());
    plant.levels().forEach(levels::lower);
    plant.caused().forEach(process::lower);
    plant.counts().forEach(process::lower);
  }

  private Bands bandsOf(Symbol gauge) {
    return java.util.Objects.requireNonNull(bands.get(gauge.name().text()));
  }

  private void instruments() {
    plant.switches().forEach(instruments::lower);
    var comparisons = new ArrayList<Term.BesideSetpoint>();
    plant.eachTerm(
        t -> {
          if (t instanceof Term.BesideSetpoint b) {
            comparisons.add(b);
          }
        });
    var orders = new SetpointOrders(parts, meanings, comparisons);
    var analysers = new AnalyserLowering(parts, meanings, instruments, orders, faults);
    plant.analysers().forEach(a -> analysers.lower(a, bandsOf(a.instrument())));
    var transmitters = new TransmitterLowering(parts, meanings, orders, faults);
    plant.transmitters().forEach(t -> transmitters.lower(t, bandsOf(t.instrument())));
    orders.operator();
  }

  private LogicLowering logic(PanelLowering panel) {
    Symbol.Button button = plant.resetButton();
    Expr reset = button == null ? null : meanings.of(new Term.Holds(button, button.name().span()));
    var logic = new LogicLowering(parts, meanings, reset);
    plant.eachTerm(logic::needs);
    logic.declare(plant.program());
    logic.lower(plant.program());
    panel.endOfScan(LogicLowering.read(plant, hasDefaultReset()));
    return logic;
  }

  /** Whether some trip is reset by the panel's reset button without naming it. */
  private boolean hasDefaultReset() {
    for (Statement s : plant.program()) {
      if (s instanceof Drive d) {
        for (Guard g : d.guards()) {
          if (g.kind() == Inhibit.Kind.TRIP && g.resetBy() == null) {
            return true;
          }
        }
      }
    }
    return false;
  }
}
