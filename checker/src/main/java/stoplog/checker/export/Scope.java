package stoplog.checker.export;

import java.util.BitSet;
import java.util.Collection;
import java.util.List;
import stoplog.model.Assignment;
import stoplog.model.Claim;
import stoplog.model.Clock;
import stoplog.model.Expr;
import stoplog.model.FieldChange;
import stoplog.model.Model;
import stoplog.model.Variable;

/**
 * What clauses tell of a plant. Each variable is <em>constant</em>, for no step that the claim admits
 * assigns it, or <em>kept</em>, or <em>hidden</em>: it may have any value whenever it is read. Of the
 * clocks those are told whose condition reads nothing hidden; the others hold nothing back.
 */
final class Scope {
  private final Model model;
  private final Claim claim;
  private final BitSet constant = new BitSet();
  private final BitSet kept = new BitSet();
  private final BitSet hidden = new BitSet();

  private Scope(Model model, Claim claim, BitSet wanted) {
    this.model = model;
    this.claim = claim;
    for (Variable v : model.variables()) {
      constant.set(v.id(), Long.bitCount(v.initial()) == 1);
    }
    model.changes().stream().filter(claim::admits).forEach(c -> moves(c.effects()));
    moves(model.start());
    moves(model.reactions());
    moves(model.controller().program());
    moves(claim.monitors());
    kept.or(wanted);
    claim.monitors().forEach(a -> kept.set(a.variable()));
    kept.andNot(constant);
    hidden.set(0, model.variables().size());
    hidden.andNot(constant);
    hidden.andNot(kept);
  }

  private void moves(List<Assignment> assignments) {
    assignments.forEach(a -> constant.clear(a.variable()));
  }

  static Scope whole(Model model, Claim claim) {
    var all = new BitSet();
    all.set(0, model.variables().size());
    return new Scope(model, claim, all);
  }

  /**
   * Keeps variables with these names, and what the claim itself remembers.
   *
   * @throws IllegalArgumentException if there is no variable of such a name
   */
  static Scope keeping(Model model, Claim claim, Collection<String> names) {
    var wanted = new BitSet();
    names.forEach(name -> wanted.set(model.variable(name).id()));
    return new Scope(model, claim, wanted);
  }

  Model model() {
    return model;
  }

  /** Whether anything is hidden. */
  boolean hides() {
    return !hidden.isEmpty();
  }

  /** Whether an expression reads anything hidden. */
  boolean hides(Expr e) {
    return Expr.variables(e, model.definitions()).intersects(hidden);
  }

  boolean isHidden(int variable) {
    return hidden.get(variable);
  }

  boolean isConstant(int variable) {
    return constant.get(variable);
  }

  List<Variable> kept() {
    return kept.stream().mapToObj(model::variable).toList();
  }

  List<Variable> hidden() {
    return hidden.stream().mapToObj(model::variable).toList();
  }

  /** Whether what a clock reads is known: only then it is told how long it has run. */
  boolean tells(Clock clock) {
    return !hides(clock.running());
  }

  /** Whether a change is a step of its own: if it assigns something kept, or nothing at all. */
  boolean tells(FieldChange change) {
    return change.effects().isEmpty()
        || change.effects().stream().anyMatch(a -> kept.get(a.variable()));
  }

  /** Whether changes that are no step of their own may happen. */
  boolean changesElsewhere() {
    return model.changes().stream().anyMatch(c -> claim.admits(c) && !tells(c));
  }
}
