package stoplog.checker.report;

import java.util.ArrayList;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Locale;
import java.util.Set;
import stoplog.model.Definition;
import stoplog.model.Expr;
import stoplog.model.Inhibit;
import stoplog.model.Model;
import stoplog.model.Role;
import stoplog.model.Variable;

/** Values and conditions of a model in words for a person. */
final class PlainWords {
  private static final String COMMAND_PART = ".command";
  private static final String FIRST_PART = ".first";
  private static final String TRIP_PART = ".trip";

  private final Model model;

  PlainWords(Model model) {
    this.model = model;
  }

  /** {@code "P-201 coasting"}, {@code "P-301 commanded on"}, {@code "mode auto"}. */
  String value(int variable, int value) {
    Variable v = model.variable(variable);
    return told(v, v.values().get(value));
  }

  /**
   * A variable and a word for its value. Names of parts that the plant text does not write are taken
   * apart: a command, a trip, the movement of a level, the first alarm of a group, whether equipment is
   * blocked, and the order of an instrument and a setpoint ({@code AE-105?orp_trip}: {@code
   * "AE-105 below orp_trip"}).
   */
  private static String told(Variable v, String word) {
    String name = v.name();
    int beside = name.indexOf('?');
    if (beside >= 0) {
      String relation = word.equals("equal") ? "equal to" : word;
      return name.substring(0, beside) + " " + relation + " " + name.substring(beside + 1);
    }
    if (v.role() == Role.COMMAND) {
      // One of two coils: "command to close FV-300", released or closed.
      boolean coil = !v.name().endsWith(COMMAND_PART) && v.name().contains(COMMAND_PART);
      boolean told = coil && (word.equals("released") || word.contains(", then "));
      return told ? v.text() + " " + word : tag(v) + " commanded " + word;
    }
    if (v.role() == Role.MONITOR) {
      return remembered(v, word);
    }
    int trip = name.lastIndexOf(TRIP_PART);
    if (trip > 0 && v.role() == Role.MEMORY && !v.text().isBlank()) {
      return "trip \"" + v.text() + "\" of " + name.substring(0, trip) + " " + word;
    }
    String group = without(name, FIRST_PART);
    if (!group.equals(name)) {
      return word.equals("none") ? "no first alarm of " + group : word + " first of " + group;
    }
    return without(without(name, ".flow"), ".blocked") + " " + word;
  }

  /** What a claim remembers, as far as a reader need know. */
  private static String remembered(Variable v, String word) {
    if (v.name().endsWith(".waiting") && word.endsWith("waiting") && !word.endsWith("not waiting")) {
      return v.text().isBlank() ? "what has to come has not come" : v.text();
    }
    if (v.name().endsWith(".bound") && word.endsWith("bound") && !word.endsWith("not bound")) {
      return v.text().isBlank() ? "what has to stay may not yet end" : v.text();
    }
    return v.name().replaceFirst("\\..*", "") + " " + word;
  }

  /**
   * Whether the logic only keeps books with it: what a condition was in the scan before, or the step
   * that a sequence will be in.
   */
  static boolean isBookkeeping(Variable v) {
    return v.role() == Role.MEMORY && (v.name().contains(".edge") || v.name().endsWith(".next"));
  }

  /**
   * What a reader of the plant knows a variable as: its name where the plant text gives it that, or
   * what it is: {@code command of P-201}, {@code timer of the permissive "pressure has stood" of P-201}.
   */
  static String known(Model model, Variable v) {
    String name = v.name();
    int dot = name.indexOf('.');
    if (name.indexOf('?') > 0) {
      return v.text().isBlank() ? name : v.text();
    }
    if (dot < 0 || v.role() == Role.PROCESS && !name.endsWith(".flow")) {
      return name;
    }
    String owner = name.substring(0, dot);
    String part = name.substring(dot);
    String text = v.text();
    if (v.role() == Role.TIMER && !text.isBlank()) {
      return timer(model, v);
    } else if (v.role() == Role.MONITOR) {
      return part.equals(".assumption")
          ? "what " + owner + " takes for granted"
          : "what " + owner + " remembers";
    } else if (part.startsWith(TRIP_PART) && !text.isBlank()) {
      return "trip \"" + text + "\" of " + owner;
    } else if (part.startsWith(".edge") && !text.isBlank()) {
      return text.endsWith(" rises") || text.endsWith(" falls")
          ? "the moment " + text
          : "the moment \"" + text + "\" begins";
    } else if (part.equals(".next")) {
      return "next step of " + owner;
    } else if (part.equals(FIRST_PART)) {
      return "first alarm of " + owner;
    } else if (part.equals(".blocked")) {
      return "whether an interlock of " + owner + " blocks";
    }
    boolean tells = v.role() == Role.COMMAND || v.role() == Role.FAULT || text.contains(owner);
    return tells && !text.isBlank() ? text : name;
  }

  private static String timer(Model model, Variable timer) {
    for (Inhibit i : model.inhibits()) {
      if (variablesOf(model, i.condition()).contains(timer.id())) {
        return "timer of the " + i.kind().name().toLowerCase(Locale.ROOT) + " \"" + i.text()
            + "\" of " + tag(model.variable(i.command()));
      }
    }
    return "timer \"" + timer.text() + "\"";
  }

  private static String without(String name, String part) {
    return name.endsWith(part) ? name.substring(0, name.length() - part.length()) : name;
  }

  /** The same as a clause: {@code "P-201 is coasting"}. */
  String clause(int variable, int value) {
    Variable v = model.variable(variable);
    return (v.role() == Role.COMMAND ? tag(v) + " is commanded " : without(v.name(), ".flow") + " is ")
        + v.values().get(value);
  }

  /** The tag of the equipment that a command variable belongs to. */
  static String tag(Variable command) {
    int part = command.name().indexOf(COMMAND_PART);
    return part < 0 ? command.name() : command.name().substring(0, part);
  }

  /** The parts of a condition that a reader would list: the operands of an outermost "and". */
  static List<Expr> ingredients(Expr condition) {
    return condition instanceof Expr.All(List<Expr> operands) ? operands : List.of(condition);
  }

  /**
   * What is behind a condition, one phrase each: the named values it reads and how they stand from
   * one state of the run to another. Of several conditions joined by "or" those are told that held. A
   * variable that took several values in between is told with all of them: {@code "P-201 running, then
   * coasting"}.
   */
  List<String> standing(Expr condition, List<int[]> states, int from, int to) {
    var phrases = new ArrayList<String>();
    var definitions = new LinkedHashSet<Integer>();
    var read = new LinkedHashSet<Integer>();
    for (Expr part : condition instanceof Expr.Any(List<Expr> parts) ? parts : List.of(condition)) {
      boolean held = false;
      for (int i = from; i <= to; i++) {
        held |= Values.holds(model, part, states.get(i));
      }
      if (held) {
        mentioned(part, read, definitions);
      }
    }
    for (int d : definitions) {
      Definition definition = model.definitions().get(d);
      boolean holds = Values.of(model, definition.value(), states.get(to)) == 1;
      phrases.add(definition.name() + (holds ? " holds" : " does not hold"));
    }
    for (int v : read) {
      var words = new ArrayList<String>();
      for (int i = from; i <= to; i++) {
        String word = model.variable(v).values().get(states.get(i)[v]);
        if (words.isEmpty() || !words.getLast().equals(word)) {
          words.add(word);
        }
      }
      phrases.add(told(model.variable(v), history(words)));
    }
    return phrases;
  }

  /** In their order; of what comes and goes again and again, by turns which, and which in the end. */
  private static String history(List<String> words) {
    var different = new LinkedHashSet<>(words);
    if (different.size() == words.size()) {
      return String.join(", then ", words);
    }
    String last = words.getLast();
    if (words.indexOf(last) == words.size() - 1) {
      different.remove(last);
    }
    String all = String.join(", ", different);
    int end = all.lastIndexOf(", ");
    String listed = end < 0 ? all : all.substring(0, end) + " and " + all.substring(end + 2);
    return listed + " by turns, in the end " + last;
  }

  /** The names that the condition itself mentions. */
  List<String> names(Expr condition) {
    var read = new LinkedHashSet<Integer>();
    var definitions = new LinkedHashSet<Integer>();
    mentioned(condition, read, definitions);
    var names = new ArrayList<String>();
    definitions.forEach(d -> names.add(model.definitions().get(d).name()));
    read.forEach(v -> names.add(model.variable(v).name()));
    return names;
  }

  /** Variables and definitions that the text itself mentions, in the order it does. */
  private void mentioned(Expr e, Set<Integer> read, Set<Integer> definitions) {
    var named = new LinkedHashSet<Integer>();
    named(e, read, named);
    for (int d : named) {
      Definition definition = model.definitions().get(d);
      if (isCount(definition)
          && definition.value() instanceof Expr.Choose(Expr one, Expr _, Expr others)) {
        mentioned(others, read, definitions);
        mentioned(one, read, definitions);
      } else {
        definitions.add(d);
      }
    }
  }

  /**
   * Whether it adds one condition to a count of several: no condition itself, and nothing the plant
   * has a name for.
   */
  static boolean isCount(Definition definition) {
    return definition.value() instanceof Expr.Choose(Expr _, Expr.Shift _, Expr _);
  }

  /** Variables and definitions that the expression itself mentions. */
  private static void named(Expr e, Set<Integer> read, Set<Integer> definitions) {
    switch (e) {
      case Expr.Constant _ -> {}
      case Expr.Read(int v) -> read.add(v);
      case Expr.Use(int d) -> definitions.add(d);
      case Expr.Not(Expr o) -> named(o, read, definitions);
      case Expr.All(List<Expr> os) -> os.forEach(o -> named(o, read, definitions));
      case Expr.Any(List<Expr> os) -> os.forEach(o -> named(o, read, definitions));
      case Expr.In(Expr o, long _) -> named(o, read, definitions);
      case Expr.Same(Expr l, Expr r) -> {
        named(l, read, definitions);
        named(r, read, definitions);
      }
      case Expr.Choose(Expr c, Expr t, Expr o) -> {
        named(c, read, definitions);
        named(t, read, definitions);
        named(o, read, definitions);
      }
      case Expr.Shift(Expr o, int _) -> named(o, read, definitions);
    }
  }

  /** Every variable that bears on the expression, directly or through definitions. */
  static Set<Integer> variablesOf(Model model, Expr e) {
    var variables = new LinkedHashSet<Integer>();
    var definitions = definitionsOf(model, e);
    named(e, variables, new LinkedHashSet<>());
    for (int d : definitions) {
      named(model.definitions().get(d).value(), variables, new LinkedHashSet<>());
    }
    return variables;
  }

  /** Every definition that bears on the expression, directly or through others. */
  static Set<Integer> definitionsOf(Model model, Expr e) {
    var all = new LinkedHashSet<Integer>();
    var open = new LinkedHashSet<Integer>();
    named(e, new LinkedHashSet<>(), open);
    while (!open.isEmpty()) {
      int d = open.removeFirst();
      if (all.add(d)) {
        named(model.definitions().get(d).value(), new LinkedHashSet<>(), open);
      }
    }
    return all;
  }
}
