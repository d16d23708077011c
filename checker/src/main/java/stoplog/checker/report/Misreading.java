package stoplog.checker.report;

import java.util.ArrayList;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Set;
import stoplog.model.Assignment;
import stoplog.model.Expr;
import stoplog.model.Indication;
import stoplog.model.Inhibit;
import stoplog.model.Model;
import stoplog.model.Role;
import stoplog.model.Variable;

/**
 * Who looked at the wrong thing: the permissives, interlocks and trips that let a command stand
 * because what they read says otherwise than the field.
 */
final class Misreading {
  private final Model model;
  private final PlainWords words;
  private final List<Sources> sources = new ArrayList<>();

  Misreading(Model model, PlainWords words) {
    this.model = model;
    this.words = words;
    for (Inhibit inhibit : model.inhibits()) {
      sources.add(sources(inhibit.condition()));
    }
  }

  /** The variables and definitions an expression leans on, timers looked through. */
  private record Sources(Set<Integer> variables, Set<Integer> definitions) {
    boolean cover(Sources other) {
      boolean some = !other.variables.isEmpty() || !other.definitions.isEmpty();
      return some
          && definitions.containsAll(other.definitions)
          && (variables.containsAll(other.variables) || !other.definitions.isEmpty());
    }
  }

  /**
   * One sentence for each permissive, interlock or trip of a command that reads an indication of
   * this equipment or process value which differs from the truth.
   *
   * @param command a command variable that is on
   * @param state after the scan that evaluated them
   * @param about the variables in whose indications the reader is interested
   */
  List<String> notes(int command, int[] state, Set<Integer> about) {
    var notes = new LinkedHashSet<String>();
    for (int i = 0; i < sources.size(); i++) {
      Inhibit inhibit = model.inhibits().get(i);
      if (inhibit.command() != command) {
        continue;
      }
      for (Indication indication : model.indications()) {
        if (about.contains(indication.equipment())
            && Values.of(model, indication.shown(), state)
                != Values.of(model, indication.truth(), state)
            && sources.get(i).cover(sources(indication.shown()))) {
          notes.add(sentence(inhibit, indication, state));
        }
      }
    }
    return List.copyOf(notes);
  }

  private String sentence(Inhibit inhibit, Indication indication, int[] state) {
    int equipment = indication.equipment();
    return "its " + kind(inhibit.kind()) + " \"" + inhibit.text() + "\" reads "
        + indication.shownText() + ", but " + words.value(equipment, state[equipment]);
  }

  private static String kind(Inhibit.Kind kind) {
    return switch (kind) {
      case PERMISSIVE -> "permissive";
      case INTERLOCK -> "interlock";
      case TRIP -> "trip";
    };
  }

  private Sources sources(Expr e) {
    var variables = new LinkedHashSet<>(PlainWords.variablesOf(model, e));
    var definitions = new LinkedHashSet<>(PlainWords.definitionsOf(model, e));
    var timers = new LinkedHashSet<Integer>(variables);
    var seen = new LinkedHashSet<Integer>();
    while (!timers.isEmpty()) {
      int v = timers.removeFirst();
      Variable variable = model.variable(v);
      // Trips and timers remember what they read; a latch that the logic shares says something of
      // its own, so it is not looked through.
      if (variable.role() != Role.TIMER || !seen.add(v)) {
        continue;
      }
      for (Assignment a : model.controller().program()) {
        if (a.variable() == v) {
          Set<Integer> behind = PlainWords.variablesOf(model, a.value());
          variables.addAll(behind);
          timers.addAll(behind);
          definitions.addAll(PlainWords.definitionsOf(model, a.value()));
        }
      }
    }
    return new Sources(variables, definitions);
  }
}
