package stoplog.checker.report;

import java.util.ArrayList;
import java.util.IdentityHashMap;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Set;
import stoplog.model.Assignment;
import stoplog.model.Expr;
import stoplog.model.Indication;
import stoplog.model.Inhibit;
import stoplog.model.Model;
import stoplog.model.Role;

/**
 * Who looked at the wrong thing: the permissives, interlocks and trips that let a command stand
 * because what they read says otherwise than the field.
 */
final class Misreading {
  private final Model model;
  private final PlainWords words;

  // Worked out when first asked for: a story asks about few of a large plant's.
  private final Map<Inhibit, Sources> sources = new IdentityHashMap<>();
  private final Map<Inhibit, Sources> farSources = new IdentityHashMap<>();

  Misreading(Model model, PlainWords words) {
    this.model = model;
    this.words = words;
  }

  /**
   * What it reads. A latch that the logic shares says something of its own: who reads it does not misread
   * what the latch was set by.
   */
  private Sources near(Inhibit inhibit) {
    return sources.computeIfAbsent(inhibit, i -> sources(i.condition(), Set.of(Role.TIMER)));
  }

  /** What it reads, and what is behind that: who reads a latch is not blind to what has set it. */
  private Sources far(Inhibit inhibit) {
    return farSources.computeIfAbsent(
        inhibit,
        i -> sources(i.condition(), Set.of(Role.TIMER, Role.MEMORY, Role.INSTRUMENT)));
  }

  /** The variables and definitions an expression leans on. */
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
    for (Inhibit inhibit : model.inhibits()) {
      if (inhibit.command() != command) {
        continue;
      }
      for (Indication indication : model.indications()) {
        if (about.contains(indication.equipment())
            && Values.of(model, indication.shown(), state)
                != Values.of(model, indication.truth(), state)
            && near(inhibit).cover(sources(indication.shown(), Set.of()))) {
          notes.add(sentence(inhibit, indication, state));
        }
      }
    }
    return List.copyOf(notes);
  }

  private String sentence(Inhibit inhibit, Indication indication, int[] state) {
    int equipment = indication.equipment();
    String owner = PlainWords.tag(model.variable(inhibit.command()));
    return kind(inhibit.kind()) + " \"" + inhibit.text() + "\" of " + owner + " reads "
        + indication.shownText() + ", but " + words.clause(equipment, state[equipment]);
  }

  private static String kind(Inhibit.Kind kind) {
    return switch (kind) {
      case PERMISSIVE -> "permissive";
      case INTERLOCK -> "interlock";
      case TRIP -> "trip";
    };
  }

  /**
   * Whether no permissive, interlock or trip of a command looks at this equipment in any way: not at
   * its command, not at a feedback or instrument that shows it, not through a latch.
   */
  boolean blind(int command, int equipment) {
    for (Inhibit inhibit : model.inhibits()) {
      if (inhibit.command() == command && looksAt(far(inhibit), equipment)) {
        return false;
      }
    }
    return true;
  }

  private boolean looksAt(Sources far, int equipment) {
    if (far.variables.contains(equipment)) {
      return true;
    }
    for (Indication indication : model.indications()) {
      if (indication.equipment() == equipment
          && far.cover(sources(indication.shown(), Set.of()))) {
        return true;
      }
    }
    return false;
  }

  /**
   * What an expression leans on.
   *
   * @param through variables of these roles are looked through: to what the program assigns them
   *     from, for an instrument to the truth it stands for
   */
  private Sources sources(Expr e, Set<Role> through) {
    var found =
        new Sources(
            new LinkedHashSet<>(PlainWords.variablesOf(model, e)),
            new LinkedHashSet<>(PlainWords.definitionsOf(model, e)));
    var open = new LinkedHashSet<>(found.variables);
    var seen = new LinkedHashSet<Integer>();
    while (!open.isEmpty()) {
      int v = open.removeFirst();
      if (through.contains(model.variable(v).role()) && seen.add(v)) {
        for (Expr behind : behind(v)) {
          Set<Integer> more = PlainWords.variablesOf(model, behind);
          found.variables.addAll(more);
          found.definitions.addAll(PlainWords.definitionsOf(model, behind));
          open.addAll(more);
        }
      }
    }
    return found;
  }

  private List<Expr> behind(int variable) {
    var behind = new ArrayList<Expr>();
    for (Assignment a : model.controller().program()) {
      if (a.variable() == variable) {
        behind.add(a.value());
      }
    }
    if (model.variable(variable).role() == Role.INSTRUMENT) {
      for (Indication indication : model.indications()) {
        if (PlainWords.variablesOf(model, indication.shown()).contains(variable)) {
          behind.add(indication.truth());
        }
      }
    }
    return behind;
  }
}
