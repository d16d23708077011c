package stoplog.checker.testkit;

import java.util.ArrayList;
import java.util.List;
import org.jspecify.annotations.Nullable;
import stoplog.checker.testkit.ModelBuilder.Watch;
import stoplog.model.Assignment;
import stoplog.model.Bound;
import stoplog.model.Expr;
import stoplog.model.FieldChange;
import stoplog.source.Span;

/** A field change of a model that is being written ({@link ModelBuilder}). */
public final class Change {
  private final int id;
  private final String text;
  private final List<Assignment> effects = new ArrayList<>();
  private FieldChange.Cause cause = FieldChange.Cause.PROCESS;
  private Expr guard = Expr.TRUE;
  private FieldChange.@Nullable Timing timing;

  Change(int id, String text) {
    this.id = id;
    this.text = text;
  }

  public int id() {
    return id;
  }

  public Change by(FieldChange.Cause who) {
    cause = who;
    return this;
  }

  public Change when(Expr condition) {
    guard = condition;
    return this;
  }

  /** With the clock at this many quanta or more. */
  public Change from(Watch clock, long earliest) {
    return within(clock, Bound.at(earliest), null);
  }

  /** With the clock in this closed window. */
  public Change between(Watch clock, long earliest, long latest) {
    return within(clock, Bound.at(earliest), Bound.at(latest));
  }

  public Change within(Watch clock, Bound earliest, @Nullable Bound latest) {
    timing = new FieldChange.Timing(clock.id(), earliest, latest);
    return this;
  }

  /** Appends effects. */
  public Change does(Assignment... assignments) {
    effects.addAll(List.of(assignments));
    return this;
  }

  FieldChange built() {
    return new FieldChange(id, text, cause, guard, timing, effects, Span.NONE);
  }
}
