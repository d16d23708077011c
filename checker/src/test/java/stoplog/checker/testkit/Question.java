package stoplog.checker.testkit;

import java.util.ArrayList;
import java.util.List;
import stoplog.model.Assignment;
import stoplog.model.Claim;
import stoplog.model.Expr;
import stoplog.source.Span;

/** A claim of a model that is being written ({@link ModelBuilder}). */
public final class Question {
  private final String id;
  private final Claim.Kind kind;
  private final Expr condition;
  private final List<Assignment> monitors = new ArrayList<>();
  private Expr onlyWhile = Expr.TRUE;
  private long forQuanta;
  private int faultBudget;
  private final List<Integer> faultsOf = new ArrayList<>();

  Question(String id, Claim.Kind kind, Expr condition) {
    this.id = id;
    this.kind = kind;
    this.condition = condition;
  }

  /** The condition has to hold for longer than this; without it, for longer than an instant. */
  public Question longerThan(long quanta) {
    forQuanta = quanta;
    return this;
  }

  public Question tolerating(int faults) {
    faultBudget = faults;
    return this;
  }

  /** The same, and no others than these. */
  public Question tolerating(int faults, ModelBuilder.Var... of) {
    List.of(of).forEach(v -> faultsOf.add(v.id()));
    return tolerating(faults);
  }

  /** What the claim takes for granted. */
  public Question onlyWhile(Expr granted) {
    onlyWhile = granted;
    return this;
  }

  /** Appends what the claim remembers. */
  public Question remembering(Assignment... assignments) {
    monitors.addAll(List.of(assignments));
    return this;
  }

  Claim built() {
    return new Claim(
        id, "", kind, condition, forQuanta, monitors, onlyWhile, faultBudget, faultsOf,
        Claim.Basis.NONE, Span.NONE);
  }
}
