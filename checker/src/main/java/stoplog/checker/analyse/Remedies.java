package stoplog.checker.analyse;

import java.time.Duration;
import java.util.ArrayList;
import java.util.BitSet;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import stoplog.checker.abstraction.Decider;
import stoplog.checker.abstraction.Reads;
import stoplog.checker.explore.Budget;
import stoplog.checker.explore.Progress;
import stoplog.checker.reference.Replay;
import stoplog.checker.reference.Replayed;
import stoplog.model.Assignment;
import stoplog.model.Claim;
import stoplog.model.Controller;
import stoplog.model.Definition;
import stoplog.model.Expr;
import stoplog.model.Indication;
import stoplog.model.Model;
import stoplog.model.Role;
import stoplog.model.Trace;
import stoplog.model.Verdict;

/**
 * One more interlock that would have stopped a hazard: tried on the model, and named only if the
 * changed plant is proved free of the hazard and can still do all that it is required to be able to
 * do.
 *
 * <p>Candidates are the commands of the equipment that the hazard speaks of, each with what one
 * feedback or two-valued instrument about the hazard's other equipment or process shows, as it is or
 * negated. Interlocks with a delay, or on analysers, are not tried. The engineer decides whether the
 * remedy is the right one; it is a hint, not a design.
 */
public final class Remedies {
  /** More are of no help to a reader. */
  private static final int MOST = 2;

  /** Zones for each search of a trial: a proof that needs more is not a simple remedy. */
  private static final long MOST_ZONES = 100_000;

  private static final Budget BUDGET =
      new Budget(MOST_ZONES, 512L << 20, Duration.ofSeconds(10));

  private final Model model;
  private final Reads reads;
  private final Claim hazard;
  private final Trace trace;
  private final Progress progress;
  private final BitSet spokenOf;

  /** A truth value that the controller sees, with its name. */
  private record Shown(String name, Expr value, BitSet about) {}

  private Remedies(Model model, Claim hazard, Trace trace, Progress progress) {
    this.model = model;
    this.reads = new Reads(model);
    this.hazard = hazard;
    this.trace = trace;
    this.progress = progress;
    this.spokenOf = reads.of(hazard.condition());
  }

  /** At most two, in the order of the plant; a line each, such as {@code interlock of P-501: SS-201}. */
  public static List<String> of(Model model, Claim hazard, Trace trace, Progress progress) {
    return new Remedies(model, hazard, trace, progress).find();
  }

  private List<String> find() {
    var found = new ArrayList<String>();
    for (Map.Entry<Integer, Integer> commanded : commands().entrySet()) {
      for (Shown s : shown(commanded.getValue())) {
        for (Expr condition : List.of(s.value(), Expr.not(s.value()))) {
          if (found.size() == MOST || progress.stopped()) {
            return found;
          }
          if (helps(withInterlock(commanded.getKey(), condition))) {
            String what = condition == s.value() ? s.name() : "not " + s.name();
            found.add("interlock of " + model.variable(commanded.getValue()).name() + ": " + what);
          }
        }
      }
    }
    return found;
  }

  /** Command variables of the equipment the hazard speaks of, with that equipment. */
  private Map<Integer, Integer> commands() {
    var commands = new LinkedHashMap<Integer, Integer>();
    for (Indication i : model.indications()) {
      BitSet read = reads.of(i.shown());
      int command = read.nextSetBit(0);
      boolean single = read.cardinality() == 1;
      if (single
          && model.variable(command).role() == Role.COMMAND
          && i.equipment() >= 0
          && spokenOf.get(i.equipment())) {
        commands.putIfAbsent(command, i.equipment());
      }
    }
    return commands;
  }

  /** What the controller sees of the hazard's ingredients other than this equipment. */
  private List<Shown> shown(int equipment) {
    var shown = new ArrayList<Shown>();
    for (Definition d : model.definitions()) {
      if (isFeedback(d)) {
        shown.add(new Shown(d.name(), new Expr.Use(d.id()), reads.of(d.value())));
      }
    }
    for (Indication i : model.indications()) {
      BitSet read = reads.of(i.shown());
      int v = read.nextSetBit(0);
      if (read.cardinality() == 1
          && model.variable(v).role() == Role.INSTRUMENT
          && model.variable(v).size() == 2) {
        shown.add(new Shown(model.variable(v).name(), i.shown(), reads.of(i.truth())));
      }
    }
    shown.removeIf(s -> s.about().get(equipment) || !s.about().intersects(spokenOf));
    return shown;
  }

  /** Feedbacks and switches without lag are named by tags; conditions of the process are not. */
  private static boolean isFeedback(Definition d) {
    return Character.isUpperCase(d.name().charAt(0));
  }

  private Model withInterlock(int command, Expr condition) {
    Controller c = model.controller();
    var program = new ArrayList<Assignment>();
    for (Assignment a : c.program()) {
      program.add(
          a.variable() == command
              ? new Assignment(command, held(command, a.value(), condition), a.origin())
              : a);
    }
    return new Model(
        model.name(),
        model.quantumMicros(),
        model.variables(),
        model.definitions(),
        model.clocks(),
        model.changes(),
        new Controller(c.reactionQuanta(), c.coincident(), c.powered(), program),
        model.start(),
        model.reactions(),
        model.claims(),
        model.inhibits(),
        model.indications());
  }

  /** A command that is off unless the condition holds; it may have more values than off and on. */
  private Expr held(int command, Expr value, Expr condition) {
    return model.variable(command).size() == 2
        ? Expr.all(value, condition)
        : new Expr.Choose(condition, value, new Expr.Constant(0));
  }

  private boolean helps(Model changed) {
    // Most candidates do not even stop the run at hand.
    if (Replay.run(changed, hazard, trace) instanceof Replayed.Valid) {
      return false;
    }
    var changedReads = new Reads(changed);
    if (!(Decider.decide(changedReads, hazard, BUDGET, progress) instanceof Verdict.Proved)) {
      return false;
    }
    for (Claim c : changed.claims()) {
      if (!canStill(changedReads, c)) {
        return false;
      }
    }
    return true;
  }

  private boolean canStill(Reads changed, Claim c) {
    return switch (c.kind()) {
      case HAZARD, NEVER, RESPONSE -> true;
      case CAN -> Decider.decide(changed, c, BUDGET, progress) instanceof Verdict.Reached;
      case ALWAYS_CAN -> Decider.decide(changed, c, BUDGET, progress) instanceof Verdict.Proved;
    };
  }
}
