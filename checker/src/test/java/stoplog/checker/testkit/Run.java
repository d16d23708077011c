package stoplog.checker.testkit;

import java.util.ArrayList;
import java.util.List;
import org.jspecify.annotations.Nullable;
import stoplog.checker.reference.Interpreter;
import stoplog.checker.reference.State;
import stoplog.model.Claim;
import stoplog.model.Clock;
import stoplog.model.Expr;
import stoplog.model.FieldChange;
import stoplog.model.Model;
import stoplog.model.Variable;
import stoplog.source.Span;

/**
 * One run of a model, told move by move with the names of its parts:
 *
 * <pre>{@code
 * Run run = Run.of(model).start("FV-101", "open");
 * run.does("start pressed").scan().pass(4).does("FV-101 closed");
 * assertEquals("closed", run.is("FV-101"));
 * }</pre>
 *
 * <p>A move that the interpreter refuses throws what the interpreter throws. {@link #copy} branches.
 */
public final class Run {
  /** For models that claim nothing. */
  public static final Claim NO_CLAIM =
      new Claim("none", "", Claim.Kind.HAZARD, Expr.FALSE, 0, List.of(), 0, Span.NONE);

  private final Model model;
  private final Interpreter interpreter;
  private @Nullable State state;

  private Run(Model model, Interpreter interpreter, @Nullable State state) {
    this.model = model;
    this.interpreter = interpreter;
    this.state = state;
  }

  /** About the model's first claim, if it has one; one tick is one quantum. */
  public static Run of(Model model) {
    return of(model, model.claims().isEmpty() ? NO_CLAIM : model.claims().getFirst(), 1);
  }

  public static Run of(Model model, Claim claim, int ticksPerQuantum) {
    return new Run(model, new Interpreter(model, claim, ticksPerQuantum), null);
  }

  public Run copy() {
    return new Run(model, interpreter, state);
  }

  /** Starts with the least initial values, except for these variables: name, word, name, word, … */
  public Run start(String... namesAndWords) {
    var values = new ArrayList<Integer>();
    for (Variable v : model.variables()) {
      values.add(Long.numberOfTrailingZeros(v.initial()));
    }
    for (int i = 0; i < namesAndWords.length; i += 2) {
      Variable v = model.variable(namesAndWords[i]);
      values.set(v.id(), v.values().indexOf(namesAndWords[i + 1]));
    }
    state = interpreter.start(values);
    return this;
  }

  public Run pass(long ticks) {
    state = interpreter.pass(state(), ticks);
    return this;
  }

  /** The field change with this text happens. */
  public Run does(String text) {
    state = interpreter.apply(state(), change(text));
    return this;
  }

  public Run scan() {
    state = interpreter.scan(state());
    return this;
  }

  /** Scans until no scan is due. */
  public Run settle() {
    while (mayScan()) {
      scan();
    }
    return this;
  }

  public boolean can(String text) {
    return whyNot(text) == null;
  }

  public @Nullable String whyNot(String text) {
    return interpreter.whyNotApply(state(), change(text));
  }

  public boolean mayScan() {
    return interpreter.mayScan(state());
  }

  public long mayPass() {
    return interpreter.mayPass(state());
  }

  public boolean violated() {
    return interpreter.violated(state());
  }

  public int due() {
    return state().due();
  }

  /** The word for the variable's present value. */
  public String is(String variable) {
    Variable v = model.variable(variable);
    return v.values().get(state().value(v.id()));
  }

  public int value(String variable) {
    return state().value(model.variable(variable).id());
  }

  /** The clock's reading in ticks, or {@link State#NOT_RUNNING}. */
  public long clock(String name) {
    for (Clock c : model.clocks()) {
      if (c.name().equals(name)) {
        return state().clockTicks(c.id());
      }
    }
    throw new IllegalArgumentException("no clock " + name);
  }

  public State state() {
    if (state == null) {
      throw new IllegalStateException("the run has not been started");
    }
    return state;
  }

  private FieldChange change(String text) {
    for (FieldChange c : model.changes()) {
      if (c.text().equals(text)) {
        return c;
      }
    }
    throw new IllegalArgumentException("no field change " + text);
  }
}
