package stoplog.checker.abstraction;

import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.TreeSet;
import stoplog.checker.evidence.SettingUses;
import stoplog.checker.reference.EarliestTimes;
import stoplog.checker.reference.Replay;
import stoplog.checker.reference.Replayed;
import stoplog.model.Bound;
import stoplog.model.Claim;
import stoplog.model.Clock;
import stoplog.model.FieldChange;
import stoplog.model.Model;
import stoplog.model.Trace;

/**
 * Finds times for a run in which nobody edits a setpoint on the way, if the same steps allow such times.
 * Each setpoint in turn is held at times that its uses suggest, and the earliest times are asked for
 * anew; that none is found is no proof that there are none.
 */
final class SteadySettings {
  private final Claim claim;
  private Model model;
  private Trace trace;
  private Replayed.Valid replayed;

  private SteadySettings(Model model, Claim claim, Trace trace, Replayed.Valid replayed) {
    this.model = model;
    this.claim = claim;
    this.trace = trace;
    this.replayed = replayed;
  }

  /** The run with times that need as few edits of setpoints as were found. */
  static Trace of(Model model, Claim claim, Trace trace, Replayed.Valid replayed) {
    // Where a run into a lock-out may end depends on the readings there, not on its steps alone.
    if (claim.kind() == Claim.Kind.ALWAYS_CAN) {
      return trace;
    }
    var steady = new SteadySettings(model, claim, trace, replayed);
    for (String setting : SettingUses.of(model, trace, replayed).keySet()) {
      steady.hold(setting);
    }
    return steady.trace;
  }

  private void hold(String setting) {
    List<SettingUses.Use> uses = uses(setting);
    if (areSteady(uses)) {
      return;
    }
    var times = new TreeSet<Long>();
    for (SettingUses.Use u : uses) {
      times.add(u.ticks() / trace.ticksPerQuantum());
      times.add(Math.ceilDiv(u.ticks(), (long) trace.ticksPerQuantum()));
    }
    List<Integer> steps = trace.steps().stream().map(Trace.Step::change).toList();
    for (long quanta : times) {
      Model held = held(setting, quanta);
      Trace timed = held == model ? null : EarliestTimes.of(held, claim, trace.start(), steps);
      if (timed != null && Replay.run(held, claim, timed) instanceof Replayed.Valid v) {
        model = held;
        trace = timed;
        replayed = v;
        return;
      }
    }
  }

  private List<SettingUses.Use> uses(String setting) {
    Map<String, List<SettingUses.Use>> all = SettingUses.of(model, trace, replayed);
    return all.getOrDefault(setting, List.of());
  }

  private static boolean areSteady(List<SettingUses.Use> uses) {
    return uses.stream().allMatch(u -> uses.stream().allMatch(u::agrees));
  }

  /** The plant with the setpoint at one value; the same plant if its window does not hold the value. */
  private Model held(String setting, long quanta) {
    var clocks = new ArrayList<Clock>();
    for (Clock c : model.clocks()) {
      Bound limit = c.limit();
      if (!setting.equals(c.setting())) {
        clocks.add(c);
      } else if (limit == null || limit.quanta() < quanta) {
        return model;
      } else {
        clocks.add(
            new Clock(c.id(), c.name(), c.running(), Bound.at(quanta), c.setting(), c.origin()));
      }
    }
    var changes = new ArrayList<FieldChange>();
    for (FieldChange c : model.changes()) {
      FieldChange.Timing t = c.timing();
      if (t == null || !setting.equals(model.clocks().get(t.clock()).setting())) {
        changes.add(c);
      } else if (t.earliest().quanta() > quanta) {
        return model;
      } else {
        var at = new FieldChange.Timing(t.clock(), Bound.at(quanta), Bound.at(quanta));
        changes.add(
            new FieldChange(c.id(), c.text(), c.cause(), c.guard(), at, c.effects(), c.origin()));
      }
    }
    return new Model(
        model.name(), model.quantumMicros(), model.variables(), model.definitions(), clocks,
        changes, model.controller(), model.start(), model.reactions(), model.claims(),
        model.inhibits(), model.indications());
  }
}
