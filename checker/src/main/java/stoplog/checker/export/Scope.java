package stoplog.checker.export;

import java.util.ArrayList;
import java.util.BitSet;
import java.util.Collection;
import java.util.List;
import stoplog.checker.certificate.Certificate;
import stoplog.model.Assignment;
import stoplog.model.Claim;
import stoplog.model.Expr;
import stoplog.model.FieldChange;
import stoplog.model.Model;
import stoplog.model.Variable;

/**
 * What clauses tell of a plant. Each variable is <em>constant</em>, for no step that the claim admits
 * assigns it, or <em>kept</em>, or <em>hidden</em>: it may have any value whenever it is read. Hidden
 * variables that are <em>followed</em> have known values from where they are assigned to the end of a
 * step, and groups of such variables are told of between steps.
 */
final class Scope {
  private final Model model;
  private final Claim claim;
  private final BitSet constant = new BitSet();
  private final BitSet kept = new BitSet();
  private final BitSet hidden = new BitSet();
  private final BitSet followed = new BitSet();
  private final List<Group> groups = new ArrayList<>();

  /** That at least so many members hold. */
  record Group(int atLeast, List<Member> members) {}

  /** That a variable has one of these values. */
  record Member(Variable variable, long values) {}

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
    return new Scope(model, claim, named(model, names));
  }

  /**
   * Tells what the states of a certificate tell.
   *
   * @throws IllegalArgumentException if it speaks of variables that are none
   */
  static Scope of(Model model, Claim claim, Certificate certificate) {
    var scope = new Scope(model, claim, named(model, certificate.keeps()));
    scope.followed.or(named(model, certificate.follows()));
    for (Certificate.Group g : certificate.groups()) {
      var members = new ArrayList<Member>();
      for (Certificate.Member m : g.members()) {
        members.add(new Member(model.variable(m.variable()), m.values()));
        scope.followed.set(model.variable(m.variable()).id());
      }
      scope.groups.add(new Group(g.atLeast(), members));
    }
    return scope;
  }

  private static BitSet named(Model model, Collection<String> names) {
    var named = new BitSet();
    names.forEach(name -> named.set(model.variable(name).id()));
    return named;
  }

  Model model() {
    return model;
  }

  /** Whether anything is hidden. */
  boolean hides() {
    return !hidden.isEmpty();
  }

  /**
   * Whether an expression reads nothing hidden, unless it is followed: then its value may be known by
   * way of a group. Only of clocks whose condition is so it is told how long they have run.
   */
  boolean tells(Expr e) {
    BitSet unknown = Expr.variables(e, model.definitions());
    unknown.and(hidden);
    unknown.andNot(followed);
    return unknown.isEmpty();
  }

  boolean isHidden(int variable) {
    return hidden.get(variable);
  }

  boolean isFollowed(int variable) {
    return followed.get(variable);
  }

  boolean isConstant(int variable) {
    return constant.get(variable);
  }

  List<Variable> kept() {
    return kept.stream().mapToObj(model::variable).toList();
  }

  /** Whether none of these is hidden. */
  boolean keepsAll(BitSet variables) {
    return !variables.intersects(hidden);
  }

  List<Variable> hidden() {
    return hidden.stream().mapToObj(model::variable).toList();
  }

  /** What is told of several hidden variables at once. */
  List<Group> groups() {
    return groups;
  }

  /** Whether a change is a step of its own: if it assigns something known, or nothing at all. */
  boolean tells(FieldChange change) {
    return change.effects().isEmpty()
        || change.effects().stream()
            .anyMatch(a -> kept.get(a.variable()) || followed.get(a.variable()));
  }

  /** Whether changes that are no step of their own may happen. */
  boolean changesElsewhere() {
    return model.changes().stream().anyMatch(c -> claim.admits(c) && !tells(c));
  }
}
