package stoplog.checker.report;

import java.util.ArrayList;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Set;
import org.jspecify.annotations.Nullable;
import stoplog.model.Assignment;
import stoplog.model.Bound;
import stoplog.model.Claim;
import stoplog.model.Clock;
import stoplog.model.Definition;
import stoplog.model.FieldChange;
import stoplog.model.Model;
import stoplog.model.Role;
import stoplog.model.Trace;
import stoplog.model.Variable;

/** What one step of a run led to, as far as the reader of a claim's story needs it. */
final class Consequences {
  private final Model model;
  private final PlainWords words;
  private final Set<Integer> relevant;
  private final Set<Integer> claimDefinitions;
  private final Set<Integer> commands = new LinkedHashSet<>();
  private final TimerWords timers;

  Consequences(Model model, Claim claim, PlainWords words, Set<Integer> relevant) {
    this.model = model;
    this.words = words;
    this.relevant = relevant;
    this.timers = new TimerWords(model);
    this.claimDefinitions = PlainWords.definitionsOf(model, claim.condition());
    for (Variable v : model.variables()) {
      if (v.role() == Role.COMMAND && (relevant.contains(v.id()) || movesRelevant(v.id()))) {
        commands.add(v.id());
      }
    }
  }

  private boolean movesRelevant(int command) {
    for (int v : relevant) {
      if (moves(command, v)) {
        return true;
      }
    }
    return false;
  }

  /** Whether this is equipment that answers this command. */
  boolean moves(int command, int variable) {
    if (model.variable(variable).role() == Role.EQUIPMENT) {
      for (Assignment a : model.reactions()) {
        if (a.variable() == variable
            && PlainWords.variablesOf(model, a.value()).contains(command)) {
          return true;
        }
      }
    }
    return false;
  }

  /** The commands that the claim depends on, in the order of the model. */
  Set<Integer> commands() {
    return commands;
  }

  /** What a scan did inside the controller: commands, then latches and signals, then timers. */
  List<String> ofLogic(int[] before, int[] after) {
    var done = new ArrayList<String>();
    for (Variable v : model.variables()) {
      if (v.role() == Role.COMMAND && changed(v, before, after)) {
        done.add(words.value(v.id(), after[v.id()]));
      }
    }
    for (Variable v : model.variables()) {
      if (v.role() == Role.MEMORY
          && !PlainWords.isBookkeeping(v)
          && relevant.contains(v.id())
          && changed(v, before, after)) {
        done.add(words.value(v.id(), after[v.id()]));
      }
    }
    for (Variable v : model.variables()) {
      if (v.role() == Role.TIMER && relevant.contains(v.id()) && changed(v, before, after)) {
        String told = ofTimer(v, before, after);
        if (!told.isEmpty()) {
          done.add(told);
        }
      }
    }
    return done;
  }

  /** What a scan did to a timer; empty where it goes without saying, as when a step is left. */
  private String ofTimer(Variable timer, int[] before, int[] after) {
    String window = window(timer, before, after);
    String name = timers.name(timer);
    if (!window.isEmpty()) {
      return name + " begins" + (TimerWords.isOfStep(timer) ? "" : ": " + window);
    } else if (TimerWords.isOfStep(timer)) {
      return "";
    } else if (runs(timer, before) && !runs(timer, after)) {
      return name + " stops";
    }
    return after[timer.id()] == 0 ? name + " is reset" : "";
  }

  /**
   * Whether the clock of a timer runs. One that has elapsed runs no more, and an off-delay runs not
   * while its input is on.
   */
  private boolean runs(Variable timer, int[] state) {
    for (FieldChange change : model.changes()) {
      FieldChange.Timing timing = change.timing();
      if (timing != null
          && assigns(change, timer.id())
          && Values.holds(model, model.clocks().get(timing.clock()).running(), state)) {
        return true;
      }
    }
    return false;
  }

  /** A change of the field in words. */
  String told(FieldChange change) {
    return timers.told(change);
  }

  /**
   * What the field makes of a step at once: conditions of the claim that begin or end, equipment that
   * sets out and how long it takes, instruments that begin to wait.
   */
  List<String> of(Trace.Step step, int[] before, int[] after) {
    var ledTo = new LinkedHashSet<String>();
    FieldChange change = step.isScan() ? null : model.changes().get(step.change());
    for (int d : claimDefinitions) {
      Definition definition = model.definitions().get(d);
      if (PlainWords.isCount(definition)) {
        continue;
      }
      boolean was = Values.holds(model, definition.value(), before);
      boolean is = Values.holds(model, definition.value(), after);
      if (was != is) {
        ledTo.add(definition.name() + (is ? " begins" : " ends"));
      }
    }
    for (Variable v : model.variables()) {
      boolean told = change != null && assigns(change, v.id());
      if (told || !changed(v, before, after) || looksTheSame(v, before, after)) {
        continue;
      }
      switch (v.role()) {
        case EQUIPMENT -> ledTo.add(words.value(v.id(), after[v.id()]) + wait(v, before, after));
        case COMMAND -> {
          if (!step.isScan()) {
            ledTo.add(words.value(v.id(), after[v.id()]));
          }
        }
        case PROCESS, INSTRUMENT -> {
          if (relevant.contains(v.id())) {
            ledTo.add(words.value(v.id(), after[v.id()]) + wait(v, before, after));
          }
        }
        // Latches and timers of a scan are told with the scan; the others are bookkeeping.
        case PANEL, MEMORY, TIMER, FAULT, POWER, MONITOR -> {}
      }
    }
    addInstrumentsThatFollow(ledTo, before, after);
    addWhatIsForgotten(ledTo, change, before, after);
    return List.copyOf(ledTo);
  }

  /** Whether what it is depends on what it was; a signal only has a name for something else. */
  private boolean remembers(Variable v) {
    boolean sequence = model.variables().stream().anyMatch(o -> o.name().equals(v.name() + ".next"));
    return sequence
        || model.controller().program().stream()
            .anyMatch(
                a ->
                    a.variable() == v.id()
                        && PlainWords.variablesOf(model, a.value()).contains(v.id()));
  }

  /**
   * Whether only the model tells the two values apart: where in its range a level stands, or what an
   * instrument remembers in order to follow, whose names hold a space.
   */
  private static boolean looksTheSame(Variable v, int[] before, int[] after) {
    return v.values().get(before[v.id()]).equals(v.values().get(after[v.id()]))
        || v.role() == Role.INSTRUMENT && v.name().contains(" ");
  }

  /** What the logic remembers no more when its power fails. */
  private void addWhatIsForgotten(
      Set<String> ledTo, @Nullable FieldChange change, int[] before, int[] after) {
    var forgotten = new ArrayList<String>();
    for (Variable v : model.variables()) {
      if (change != null
          && change.cause() == FieldChange.Cause.POWER
          && v.role() == Role.MEMORY
          && relevant.contains(v.id())
          && !PlainWords.isBookkeeping(v)
          && remembers(v)
          && changed(v, before, after)) {
        forgotten.add(words.value(v.id(), after[v.id()]));
      }
    }
    if (!forgotten.isEmpty()) {
      ledTo.add("forgotten without power: " + String.join(", ", forgotten));
    }
  }

  private void addInstrumentsThatFollow(Set<String> ledTo, int[] before, int[] after) {
    for (Variable v : model.variables()) {
      boolean waits = v.role() == Role.INSTRUMENT && relevant.contains(v.id());
      if (waits && !changed(v, before, after)) {
        String window = window(v, before, after);
        if (!window.isEmpty()) {
          ledTo.add(v.name() + " follows in " + window);
        }
      }
    }
  }

  /** {@code " (2..5 s)"} if this variable now waits for a clock that this step started. */
  private String wait(Variable v, int[] before, int[] after) {
    String window = window(v, before, after);
    return window.isEmpty() ? "" : " (" + window + ")";
  }

  private String window(Variable v, int[] before, int[] after) {
    for (FieldChange change : model.changes()) {
      FieldChange.Timing timing = change.timing();
      if (timing == null || !assigns(change, v.id())) {
        continue;
      }
      Clock clock = model.clocks().get(timing.clock());
      boolean starts =
          Values.holds(model, clock.running(), after)
              && !Values.holds(model, clock.running(), before);
      if (starts && Values.holds(model, change.guard(), after)) {
        Bound latest = timing.latest() == null ? clock.limit() : timing.latest();
        return Seconds.window(model, timing.earliest().quanta(), latest);
      }
    }
    return "";
  }

  private static boolean assigns(FieldChange change, int variable) {
    for (Assignment a : change.effects()) {
      if (a.variable() == variable) {
        return true;
      }
    }
    return false;
  }

  private static boolean changed(Variable v, int[] before, int[] after) {
    return before[v.id()] != after[v.id()];
  }
}
