package stoplog.checker.certificate;

import java.util.ArrayList;
import java.util.List;
import stoplog.model.Claim;
import stoplog.model.Expr;
import stoplog.model.Model;

/**
 * The conditions one of which holds whenever a claim's condition does, so that time cannot pass while
 * that holds if it cannot pass while one of them does.
 */
final class Cases {
  private Cases() {}

  /**
   * The condition with the longest disjunction among its conjuncts (of several the first) replaced by
   * each of its operands in turn. None if it has no disjunction, or if the condition may hold for a time:
   * then the operands could take turns.
   */
  static List<Claim> of(Model model, Claim claim) {
    if (claim.forQuanta() > 0) {
      return List.of();
    }
    var conjuncts = new ArrayList<Expr>();
    unfold(model, claim.condition(), conjuncts);
    int at = -1;
    List<Expr> operands = List.of();
    for (int i = 0; i < conjuncts.size(); i++) {
      if (conjuncts.get(i) instanceof Expr.Any any && any.operands().size() > operands.size()) {
        at = i;
        operands = any.operands();
      }
    }
    var cases = new ArrayList<Claim>();
    for (Expr operand : operands) {
      var condition = new ArrayList<>(conjuncts);
      condition.set(at, operand);
      cases.add(
          new Claim(
              claim.id(), claim.text(), claim.kind(), Expr.all(condition), claim.forQuanta(),
              claim.monitors(), claim.onlyWhile(), claim.faultBudget(), claim.faultsOf(),
              claim.basis(), claim.origin()));
    }
    return cases;
  }

  private static void unfold(Model model, Expr e, List<Expr> conjuncts) {
    switch (e) {
      case Expr.Use use -> unfold(model, model.definitions().get(use.definition()).value(), conjuncts);
      case Expr.All all -> all.operands().forEach(o -> unfold(model, o, conjuncts));
      default -> conjuncts.add(e);
    }
  }
}
