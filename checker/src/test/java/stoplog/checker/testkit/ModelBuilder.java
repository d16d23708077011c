package stoplog.checker.testkit;

import java.util.ArrayList;
import java.util.List;
import org.jspecify.annotations.Nullable;
import stoplog.model.Assignment;
import stoplog.model.Bound;
import stoplog.model.Claim;
import stoplog.model.Clock;
import stoplog.model.Controller;
import stoplog.model.Definition;
import stoplog.model.Expr;
import stoplog.model.FieldChange;
import stoplog.model.Model;
import stoplog.model.Role;
import stoplog.model.Variable;
import stoplog.source.Span;

/**
 * Writes down a small {@link Model} with named parts:
 *
 * <pre>{@code
 * var m = new ModelBuilder("valve");
 * Var valve = m.equipment("FV-101", "closed", "opening", "open");
 * Var command = m.bit("FV-101.command", Role.COMMAND);
 * Var start = m.button("start");
 * Watch travel = m.clock("travel", valve.is("opening")).limit(8);
 * m.change("FV-101 open").by(Cause.EQUIPMENT).between(travel, 4, 8).does(valve.to("open"));
 * m.reactions(valve.to(choose(all(command.on(), valve.is("closed")), value(1), valve.read())));
 * m.scans(command.to(start.on()), start.to(0));
 * m.hazard("H-01", valve.is("open")).longerThan(3);
 * Model model = m.build();
 * }</pre>
 *
 * <p>Parts get their indices in the order in which they are mentioned. A variable starts at its first
 * value unless {@link Var#starts} or {@link Var#startsAnywhere} says otherwise. Without {@link
 * #scans} there is no logic and never a scan. The reaction time is 0 and one
 * change may share a scan until {@link #reactsWithin} or {@link #coincident} say otherwise.
 *
 * <p>Words that do not exist are an {@link IllegalArgumentException} at the line of the test that
 * wrote them. Conjunction and the like: {@code import static stoplog.model.Expr.*}.
 */
public final class ModelBuilder {
  private final String name;
  private final List<Var> variables = new ArrayList<>();
  private final List<Definition> definitions = new ArrayList<>();
  private final List<Watch> clocks = new ArrayList<>();
  private final List<Change> changes = new ArrayList<>();
  private final List<Assignment> program = new ArrayList<>();
  private final List<Assignment> start = new ArrayList<>();
  private final List<Assignment> reactions = new ArrayList<>();
  private final List<Question> claims = new ArrayList<>();
  private long reactionQuanta;
  private int coincident = 1;
  private Expr powered = Expr.TRUE;

  public ModelBuilder(String name) {
    this.name = name;
  }

  // Variables

  /** A variable with these words for its values 0, 1, 2, … */
  public Var variable(String variableName, Role role, String... words) {
    var added = new Var(variables.size(), variableName, role, List.of(words));
    variables.add(added);
    return added;
  }

  /** A truth value: "off" (0, where it starts) or "on" (1). */
  public Var bit(String variableName, Role role) {
    return variable(variableName, role, "off", "on");
  }

  /** A variable with the values 0 to {@code size - 1}, called by their numbers. */
  public Var number(String variableName, Role role, int size) {
    String[] words = new String[size];
    for (int i = 0; i < size; i++) {
      words[i] = Integer.toString(i);
    }
    return variable(variableName, role, words);
  }

  public Var equipment(String variableName, String... words) {
    return variable(variableName, Role.EQUIPMENT, words);
  }

  /** A process condition that starts and ends as it likes; off at first. Adds "x starts", "x ends". */
  public Var comesAndGoes(String variableName) {
    return toggled(variableName, Role.PROCESS, FieldChange.Cause.PROCESS, " starts", " ends");
  }

  /** An input without lag that the operator turns on and off; off at first. Adds "x on", "x off". */
  public Var switched(String variableName) {
    return toggled(variableName, Role.PANEL, FieldChange.Cause.OPERATOR, " on", " off");
  }

  private Var toggled(
      String variableName, Role role, FieldChange.Cause cause, String onText, String offText) {
    Var added = bit(variableName, role);
    change(variableName + onText).by(cause).when(added.off()).does(added.to(1));
    change(variableName + offText).by(cause).when(added.on()).does(added.to(0));
    return added;
  }

  /**
   * A button that the operator may press: adds "x pressed". The scan program has to end with {@code
   * button.to(0)}, as the language's does.
   */
  public Var button(String variableName) {
    Var added = bit(variableName, Role.PANEL);
    change(variableName + " pressed")
        .by(FieldChange.Cause.OPERATOR)
        .when(added.off())
        .does(added.to(1));
    return added;
  }

  /** What a claim remembers; off at first. */
  public Var monitor(String variableName) {
    return bit(variableName, Role.MONITOR);
  }

  /** Names an expression; the answer is its use. */
  public Expr definition(String definitionName, Expr value) {
    definitions.add(new Definition(definitions.size(), definitionName, value, "", Span.NONE));
    return new Expr.Use(definitions.size() - 1);
  }

  // Clocks and changes

  /** A clock that runs while this holds. It has no limit until it is given one. */
  public Watch clock(String clockName, Expr running) {
    var added = new Watch(clocks.size(), clockName, running);
    clocks.add(added);
    return added;
  }

  /** A field change: of the process, always possible and without effect until it is told more. */
  public Change change(String text) {
    var added = new Change(changes.size(), text);
    changes.add(added);
    return added;
  }

  // Controller and assignments at large

  public ModelBuilder reactsWithin(long quanta) {
    reactionQuanta = quanta;
    return this;
  }

  public ModelBuilder coincident(int count) {
    coincident = count;
    return this;
  }

  public ModelBuilder powered(Expr condition) {
    powered = condition;
    return this;
  }

  /** Appends to the scan program. */
  public ModelBuilder scans(Assignment... assignments) {
    program.addAll(List.of(assignments));
    return this;
  }

  /** Appends to the start assignments. */
  public ModelBuilder start(Assignment... assignments) {
    start.addAll(List.of(assignments));
    return this;
  }

  /** Appends to the reactions of the field. */
  public ModelBuilder reactions(Assignment... assignments) {
    reactions.addAll(List.of(assignments));
    return this;
  }

  // Claims

  public Question hazard(String id, Expr condition) {
    return claim(id, Claim.Kind.HAZARD, condition);
  }

  public Question can(String id, Expr condition) {
    return claim(id, Claim.Kind.CAN, condition);
  }

  public Question claim(String id, Claim.Kind kind, Expr condition) {
    var added = new Question(id, kind, condition);
    claims.add(added);
    return added;
  }

  /**
   * The model as written so far; the builder may be used further.
   *
   * @throws IllegalArgumentException if the parts make no model
   */
  public Model build() {
    return new Model(
        name,
        1_000_000,
        variables.stream().map(Var::built).toList(),
        definitions,
        clocks.stream().map(Watch::built).toList(),
        changes.stream().map(Change::built).toList(),
        new Controller(reactionQuanta, coincident, powered, program),
        start,
        reactions,
        claims.stream().map(Question::built).toList(),
        List.of(),
        List.of());
  }

  // Expressions that Expr has no short word for

  public static Expr value(int constant) {
    return new Expr.Constant(constant);
  }

  public static Expr choose(Expr condition, Expr then, Expr otherwise) {
    return new Expr.Choose(condition, then, otherwise);
  }

  public static Expr same(Expr left, Expr right) {
    return new Expr.Same(left, right);
  }

  public static Expr shift(Expr operand, int by) {
    return new Expr.Shift(operand, by);
  }

  /** A variable of the model being written. */
  public static final class Var {
    private final int id;
    private final String name;
    private final Role role;
    private final List<String> words;
    private long initial = 1;

    private Var(int id, String name, Role role, List<String> words) {
      this.id = id;
      this.name = name;
      this.role = role;
      this.words = words;
    }

    public int id() {
      return id;
    }

    /** It starts with one of these values. */
    public Var starts(int... values) {
      initial = 0;
      for (int value : values) {
        initial |= 1L << value;
      }
      return this;
    }

    /** It starts with one of these values. */
    public Var starts(String... values) {
      initial = 0;
      for (String word : values) {
        initial |= 1L << valueOf(word);
      }
      return this;
    }

    /** It starts with any of its values. */
    public Var startsAnywhere() {
      initial = words.size() == Variable.MAX_VALUES ? -1L : (1L << words.size()) - 1;
      return this;
    }

    public Expr read() {
      return new Expr.Read(id);
    }

    public Expr is(int value) {
      return Expr.is(id, value);
    }

    /** It has one of these values. */
    public Expr is(String... values) {
      long set = 0;
      for (String word : values) {
        set |= 1L << valueOf(word);
      }
      return new Expr.In(read(), set);
    }

    /** A truth value that is true. */
    public Expr on() {
      return is(1);
    }

    /** A truth value that is false. */
    public Expr off() {
      return is(0);
    }

    public Assignment to(int value) {
      return to(value(value));
    }

    public Assignment to(String word) {
      return to(valueOf(word));
    }

    public Assignment to(Expr value) {
      return new Assignment(id, value);
    }

    private int valueOf(String word) {
      int value = words.indexOf(word);
      if (value < 0) {
        throw new IllegalArgumentException(name + " is never " + word + ", only " + words);
      }
      return value;
    }

    private Variable built() {
      return new Variable(id, name, role, words, initial, "", Span.NONE);
    }
  }

  /** A clock of the model being written. */
  public static final class Watch {
    private final int id;
    private final String name;
    private final Expr running;
    private @Nullable Bound limit;
    private @Nullable String setting;

    private Watch(int id, String name, Expr running) {
      this.id = id;
      this.name = name;
      this.running = running;
    }

    public int id() {
      return id;
    }

    /** Time may pass up to and including this many quanta. */
    public Watch limit(long quanta) {
      return limit(Bound.at(quanta));
    }

    public Watch limit(Bound bound) {
      limit = bound;
      return this;
    }

    /** The setpoint that gives its time. */
    public Watch setBy(String setpoint) {
      setting = setpoint;
      return this;
    }

    private Clock built() {
      return new Clock(id, name, running, limit, setting, Span.NONE);
    }
  }
}
