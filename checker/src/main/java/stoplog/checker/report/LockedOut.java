package stoplog.checker.report;

import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Set;
import stoplog.checker.reference.Interpreter;
import stoplog.checker.reference.Replayed;
import stoplog.checker.reference.State;
import stoplog.model.Claim;
import stoplog.model.Inhibit;
import stoplog.model.Model;
import stoplog.model.Role;
import stoplog.model.Trace;
import stoplog.model.Variable;

/** How a plant stands at the end of a run into a lock-out, and what stops there what is wanted. */
final class LockedOut {
  /** Scans until the controller has made of that state what it makes of it. */
  private static final int MOST_SCANS = 20;

  private final Model model;
  private final PlainWords words;
  private final Consequences consequences;
  private final Set<Integer> relevant;
  private final Set<Integer> ingredients;

  LockedOut(
      Model model,
      PlainWords words,
      Consequences consequences,
      Set<Integer> relevant,
      Set<Integer> ingredients) {
    this.model = model;
    this.words = words;
    this.consequences = consequences;
    this.relevant = relevant;
    this.ingredients = ingredients;
  }

  /**
   * A sentence each.
   *
   * @param first the values at the start
   * @param last those at the end
   * @param settled those after the scans that are due then
   */
  List<String> told(int[] first, int[] last, int[] settled) {
    var told = new ArrayList<String>();
    told.add("From here no run gets there, whatever the operator, the process and the power do.");
    var stands = new ArrayList<String>();
    var goesOn = new ArrayList<String>();
    for (Variable v : model.variables()) {
      int id = v.id();
      if (relevant.contains(id) && isTold(v)) {
        if (first[id] != last[id] || ingredients.contains(id)) {
          stands.add(words.value(id, last[id]));
        }
        boolean ofLogic = v.role() == Role.MEMORY || v.role() == Role.COMMAND;
        if (ofLogic && last[id] != settled[id]) {
          goesOn.add(words.value(id, settled[id]));
        }
      }
    }
    add(told, "It stands at: ", stands);
    add(told, "What the controller makes of it: ", goesOn);
    for (int command : consequences.commands()) {
      boolean wanted = ingredients.stream().anyMatch(v -> consequences.moves(command, v));
      if (wanted && settled[command] == 0) {
        String tag = PlainWords.tag(model.variable(command));
        add(told, "What stops " + tag + " there: ", stoppedBy(command, settled));
      }
    }
    return told;
  }

  private static void add(List<String> told, String of, List<String> phrases) {
    if (!phrases.isEmpty()) {
      told.add(of + String.join(", ", phrases));
    }
  }

  private static boolean isTold(Variable v) {
    return v.role() != Role.MONITOR && v.role() != Role.TIMER && !PlainWords.isBookkeeping(v);
  }

  /** Permissives and interlocks that do not hold, trips that stand. */
  private List<String> stoppedBy(int command, int[] state) {
    String tag = PlainWords.tag(model.variable(command));
    var by = new ArrayList<String>();
    for (Inhibit i : model.inhibits()) {
      boolean stops =
          i.kind() == Inhibit.Kind.TRIP
              ? model.variables().stream()
                  .anyMatch(
                      v ->
                          v.name().startsWith(tag + ".trip")
                              && v.text().equals(i.text())
                              && state[v.id()] != 0)
              : !Values.holds(model, i.condition(), state);
      if (i.command() == command && stops) {
        by.add(i.kind().name().toLowerCase(Locale.ROOT) + " \"" + i.text() + "\"");
      }
    }
    return by;
  }

  /** The state after the scans that are due at the end of a run, if nothing else happens. */
  static State settled(Model model, Claim claim, Trace trace, Replayed.Valid replayed) {
    var interpreter = new Interpreter(model, claim, trace.ticksPerQuantum());
    State state = replayed.end();
    for (int i = 0; i < MOST_SCANS && interpreter.mayScan(state); i++) {
      state = interpreter.scan(state);
    }
    return state;
  }
}
