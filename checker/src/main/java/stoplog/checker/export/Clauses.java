package stoplog.checker.export;

import java.util.ArrayList;
import java.util.List;
import stoplog.model.Claim;
import stoplog.model.Clock;
import stoplog.model.Expr;
import stoplog.model.FieldChange;
import stoplog.model.Model;

/**
 * The clauses of one claim over one {@link Relation}: what it holds at least, namely the starts, and
 * what follows by each field change and by a scan, after as much time as may pass before it; and that
 * the claim's condition has never held for too long.
 *
 * <p><b>With some variables kept and all others hidden</b> every run of the plant, with the hidden
 * variables struck out, is a run of the clauses. Each clause may choose the values of what is hidden for
 * itself, and after each assignment anew: among them are those of the run. What is followed is hidden
 * only between steps: once assigned it is known to the end of the step. Changes of hidden variables
 * alone are one clause that leaves those variables with any values; a scan may come at any time, for the
 * sake of something hidden that the controller watches. Of the clocks those are told whose condition
 * reads nothing hidden. The changes counted as unseen are those of kept variables, never more than there
 * are, so that they call for a scan no sooner and hold back no change that could happen; so are the
 * faults.
 */
final class Clauses {
  private final Model model;
  private final Claim claim;
  private final Scope scope;
  private final Sight sight;
  private final Expr remembered;
  private final Relation relation;
  private final List<Clause> made = new ArrayList<>();

  /**
   * One of them.
   *
   * @param comment what it is about, in one line
   * @param names what it holds for all values of, with their sorts
   */
  record Clause(String comment, List<Smt.Name> names, String body) {
    /** The whole as one closed term. */
    String closed() {
      return names.isEmpty() ? body : "(forall " + Smt.declared(names) + "\n  " + body + ")";
    }
  }

  /**
   * @param watching the claim that says what the controller watches
   * @param remembered what holds before each scan, whatever is hidden
   */
  Clauses(Claim claim, Claim watching, Expr remembered, Scope scope, Relation relation) {
    this.model = scope.model();
    this.claim = claim;
    this.scope = scope;
    this.sight = new Sight(model, claim, watching);
    this.remembered = remembered;
    this.relation = relation;
  }

  List<Clause> make() {
    start();
    model.changes().stream().filter(c -> claim.admits(c) && scope.tells(c)).forEach(this::change);
    if (scope.changesElsewhere()) {
      changeElsewhere();
    }
    if (relation.scans) {
      scan();
    }
    query();
    return made;
  }

  private void start() {
    var terms = new RuleTerms(scope);
    var given = new ArrayList<String>();
    scope.kept().forEach(v -> given.add(Smt.among(Smt.symbol(v.name()), v, v.initial())));
    terms.assign(model.start());
    terms.assign(model.reactions());
    terms.assign(claim.monitors());
    String due = terms.named("due first", Smt.choice(relation.powered(terms), "1", "0"));
    String head = relation.atStart(terms, due, given);
    terms.free().stream()
        .filter(RuleTerms.Free::untouched)
        .forEach(f -> given.add(Smt.among(f.name(), f.variable(), f.variable().initial())));
    clause("the start", relation.beforeStart(), terms, given, head);
  }

  private void change(FieldChange change) {
    var terms = new RuleTerms(scope);
    List<String> given = relation.known(terms);
    given.add(terms.bool(change.guard()));
    FieldChange.Timing timing = change.timing();
    Clock clock = timing == null ? null : model.clocks().get(timing.clock());
    if (clock != null && scope.tells(clock.running())) {
      String name = Relation.reading(clock);
      given.add(terms.bool(clock.running()));
      given.add(Smt.from(name, timing.earliest()));
      if (timing.latest() != null) {
        given.add(Smt.upTo(name, timing.latest()));
      }
    }
    boolean fault = change.cause() == FieldChange.Cause.FAULT;
    if (fault) {
      given.add("(< " + Relation.FAULTS + " " + claim.faultBudget() + ")");
    }
    String poweredBefore = terms.named("had power", relation.powered(terms));
    terms.assign(change.effects());
    changed(change.text(), terms, given, poweredBefore, fault);
  }

  /** A change that assigns nothing kept, but may lead to anything in what answers to it at once. */
  private void changeElsewhere() {
    var terms = new RuleTerms(scope);
    List<String> given = relation.known(terms);
    String poweredBefore = terms.named("had power", relation.powered(terms));
    terms.changeHidden();
    changed("something hidden changes", terms, given, poweredBefore, false);
  }

  private void changed(
      String text, RuleTerms terms, List<String> given, String poweredBefore, boolean fault) {
    terms.assign(model.reactions());
    terms.assign(claim.monitors());
    String concerned = terms.named("concerned", relation.differs(sight.watched(), terms));
    String powered = terms.named("has power", relation.powered(terms));
    int coincident = model.controller().coincident();
    String due = Relation.DUE;
    if (relation.scans && !relation.waits) {
      String full = Smt.equal(due, "" + coincident);
      given.add(Smt.not(Smt.all(List.of(full, powered, concerned))));
    }
    String more =
        relation.waits ? "1" : Smt.choice("(< " + due + " " + coincident + ")", "(+ " + due + " 1)", due);
    String counted = Smt.choice(concerned, more, due);
    String dueThen = Smt.choice(powered, Smt.choice(poweredBefore, counted, "1"), "0");
    String next = relation.scans ? terms.named("due next", dueThen) : "0";
    String none = "(or (= " + next + " 0) (= " + due + " 0))";
    String waited = Smt.choice(none, "0.0", Relation.WAITED);
    String faults = fault ? "(+ " + Relation.FAULTS + " 1)" : Relation.FAULTS;
    String head = relation.after(terms, next, waited, false, faults, given);
    clause(text, relation.before(), terms, given, head);
  }

  private void scan() {
    var terms = new RuleTerms(scope);
    List<String> given = relation.known(terms);
    if (scope.keepsAll(sight.watched())) {
      given.add("(> " + Relation.DUE + " 0)");
    }
    given.add(relation.powered(terms));
    given.add(terms.bool(remembered));
    terms.assign(model.controller().program());
    terms.assign(model.reactions());
    terms.assign(claim.monitors());
    String another = Smt.choice(relation.differs(sight.visible(), terms), "1", "0");
    String next = terms.named("due next", Smt.choice(relation.powered(terms), another, "0"));
    String head = relation.after(terms, next, "0.0", true, Relation.FAULTS, given);
    clause("the controller scans", relation.before(), terms, given, head);
  }

  private void query() {
    var terms = new RuleTerms(scope);
    List<String> given = relation.known(terms);
    given.add(terms.bool(claim.condition()));
    given.add(relation.tooLong());
    clause("the claim", relation.before(), terms, given, "false");
  }

  /** What follows from what is given, for all values; nothing if it can never be given. */
  private void clause(
      String comment, List<Smt.Name> all, RuleTerms terms, List<String> given, String head) {
    var conditions = new ArrayList<>(given);
    var names = new ArrayList<>(all);
    for (RuleTerms.Free f : terms.free()) {
      names.add(new Smt.Name(f.name(), Smt.sort(f.variable())));
      conditions.add(Smt.among(f.name(), f.variable(), f.variable().domain()));
    }
    conditions.addAll(terms.limits());
    conditions.removeIf("true"::equals);
    if (conditions.contains("false")) {
      return;
    }
    String body = "(=> (and true " + String.join("\n      ", conditions) + ")\n    " + head + ")";
    made.add(new Clause(comment.replaceAll("\\s+", " "), names, terms.within(body)));
  }
}
