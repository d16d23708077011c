package stoplog.checker.certificate;

import java.util.ArrayList;
import java.util.List;
import java.util.stream.IntStream;
import stoplog.model.Assignment;
import stoplog.model.Claim;
import stoplog.model.Expr;
import stoplog.model.Model;
import stoplog.model.Role;
import stoplog.model.Variable;
import stoplog.source.Span;

/**
 * The claims that together say what one claim says, for proofs of which each proves one.
 *
 * <p>Where time must not pass while the condition holds, one of them must not let it: the condition with
 * a disjunction replaced by each of its operands in turn holds whenever one of these does.
 *
 * <p>Where the condition may hold for a time the operands could take turns. But if it asks that none of
 * several things be so, which of them was so last cannot change while it holds. A case is then the
 * condition, and that this thing was the last: a monitor that is set where the thing is so, reset where
 * another is and it is not, and set from the start, so that at least one is wherever none is so.
 *
 * @param model the plant, with what the case remembers
 */
public record Cases(Model model, Claim claim) {
  /**
   * The longest list among the conjuncts of the condition (of several the first) gives the cases. None if
   * it has no such list.
   */
  public static List<Cases> of(Model model, Claim claim) {
    var conjuncts = new ArrayList<Expr>();
    unfold(model, claim.condition(), conjuncts);
    boolean lasting = claim.forQuanta() > 0;
    int at = -1;
    List<Expr> operands = List.of();
    for (int i = 0; i < conjuncts.size(); i++) {
      List<Expr> here = lasting ? noneOf(model, conjuncts.get(i)) : anyOf(conjuncts.get(i));
      if (here.size() > operands.size()) {
        at = i;
        operands = here;
      }
    }
    var cases = new ArrayList<Cases>();
    for (int i = 0; i < operands.size(); i++) {
      var condition = new ArrayList<>(conjuncts);
      condition.set(at, operands.get(i));
      cases.add(
          lasting
              ? last(model, claim, conjuncts, at, operands, i)
              : new Cases(model, asking(claim, condition, claim.monitors())));
    }
    return cases;
  }

  private static Cases last(
      Model model, Claim claim, List<Expr> conjuncts, int at, List<Expr> things, int one) {
    int monitor = model.variables().size() + one;
    var variables = new ArrayList<>(model.variables());
    // All of them, since a proof that keeps everything keeps those of the other cases too.
    for (int i = 0; i < things.size(); i++) {
      variables.add(
          new Variable(
              variables.size(), claim.id() + ".last" + (i + 1), Role.MONITOR, List.of("no", "yes"),
              2, "", Span.NONE));
    }
    Expr thing = things.get(one);
    List<Expr> others =
        IntStream.range(0, things.size()).filter(i -> i != one).mapToObj(things::get).toList();
    Expr was = new Expr.Read(monitor);
    Expr value = new Expr.Choose(thing, Expr.TRUE, new Expr.Choose(new Expr.Any(others), Expr.FALSE, was));
    var monitors = new ArrayList<>(claim.monitors());
    monitors.add(new Assignment(monitor, value));
    var condition = new ArrayList<>(conjuncts);
    // That the others are not so either follows; to leave it out could only let the condition hold longer.
    condition.set(at, Expr.all(Expr.not(thing), was));
    var remembering =
        new Model(
            model.name(), model.quantumMicros(), variables, model.definitions(), model.clocks(),
            model.changes(), model.controller(), model.start(), model.reactions(), List.of(),
            model.inhibits(), model.indications());
    return new Cases(remembering, asking(claim, condition, monitors));
  }

  /**
   * What the monitor of a case tells of unknown variables before a step: it would stay as it is if it were
   * carried out again where the step before has just done so, since what sets and resets it does not read it.
   * True if the case has no monitor that the claim has not.
   */
  public static Expr remembered(Claim whole, Claim one) {
    if (one.monitors().size() == whole.monitors().size()) {
      return Expr.TRUE;
    }
    Assignment last = one.monitors().getLast();
    return new Expr.Same(new Expr.Read(last.variable()), last.value());
  }

  private static Claim asking(Claim claim, List<Expr> condition, List<Assignment> monitors) {
    return new Claim(
        claim.id(), claim.text(), claim.kind(), Expr.all(condition), claim.forQuanta(), monitors,
        claim.onlyWhile(), claim.faultBudget(), claim.faultsOf(), claim.basis(), claim.origin());
  }

  private static void unfold(Model model, Expr e, List<Expr> conjuncts) {
    switch (meaning(model, e)) {
      case Expr.All all -> all.operands().forEach(o -> unfold(model, o, conjuncts));
      case Expr other -> conjuncts.add(other);
    }
  }

  private static List<Expr> anyOf(Expr e) {
    return e instanceof Expr.Any any ? any.operands() : List.of();
  }

  /** Things none of which is to be so, of which one at least takes more than one variable to tell. */
  private static List<Expr> noneOf(Model model, Expr e) {
    List<Expr> things = e instanceof Expr.Not not ? anyOf(meaning(model, not.operand())) : List.of();
    return things.stream().anyMatch(t -> Expr.variables(t, model.definitions()).cardinality() > 1)
        ? things
        : List.of();
  }

  private static Expr meaning(Model model, Expr e) {
    return e instanceof Expr.Use use
        ? meaning(model, model.definitions().get(use.definition()).value())
        : e;
  }
}
