package stoplog.checker.abstraction;

import java.util.ArrayList;
import java.util.BitSet;
import java.util.List;
import org.jspecify.annotations.Nullable;
import stoplog.model.Claim;
import stoplog.model.Expr;
import stoplog.model.Model;

/**
 * A claim about any of several things, as one claim about each: "any of these pumps turns while the
 * valve is shut" holds when one of them does.
 *
 * <p><b>Why that is the same.</b> The condition is a conjunction of which one part is a disjunction. In
 * every state in which it holds, it holds with some operand in place of the disjunction, and the other
 * way round. Whether time can pass at all while it holds is asked of single states, so some run does
 * that for the whole if and only if one does it for an operand. Where the condition may hold for a time
 * it is not the same: each operand may hold for less than that, one after the other. There the claim
 * stays whole.
 *
 * <p>That the plant has the same runs whichever is asked takes that its controller watches the same: an
 * output that nothing but the claim looks at calls for a scan for the sake of the claim alone. A claim
 * about such outputs stays whole too.
 */
final class Cases {
  private Cases() {}

  /**
   * The claims, in the order of the operands; the claim alone if there is nothing to part, or if a run
   * is wanted. Of several disjunctions the longest is parted, of those the first.
   */
  static List<Claim> of(Reads reads, Claim claim) {
    Model model = reads.model();
    boolean ofStates =
        switch (claim.kind()) {
          case HAZARD, NEVER, RESPONSE -> claim.forQuanta() == 0;
          case CAN, ALWAYS_CAN -> false;
        };
    var parts = new ArrayList<Expr>();
    conjuncts(model, claim.condition(), parts);
    List<Expr> choice = ofStates ? longest(model, parts) : null;
    if (choice == null || watchesForItself(reads, claim)) {
      return List.of(claim);
    }
    var claims = new ArrayList<Claim>();
    for (Expr operand : choice) {
      var condition = new ArrayList<Expr>();
      boolean chosen = false;
      for (Expr part : parts) {
        boolean here = !chosen && choice.equals(operands(model, part));
        chosen |= here;
        condition.add(here ? operand : part);
      }
      claims.add(
          new Claim(
              claim.id(), claim.text(), claim.kind(), new Expr.All(condition), 0,
              claim.monitors(), claim.onlyWhile(), claim.faultBudget(), claim.faultsOf(),
              claim.basis(), claim.origin()));
    }
    return claims;
  }

  private static @Nullable List<Expr> longest(Model model, List<Expr> parts) {
    List<Expr> longest = null;
    for (Expr part : parts) {
      List<Expr> operands = operands(model, part);
      if (operands.size() > (longest == null ? 1 : longest.size())) {
        longest = operands;
      }
    }
    return longest;
  }

  /** Whether it reads something that scans assign and nothing else in the plant reads. */
  private static boolean watchesForItself(Reads reads, Claim claim) {
    BitSet own = reads.of(claim.condition());
    own.and(reads.programmed());
    own.andNot(reads.betweenSteps());
    if (own.isEmpty()) {
      return false;
    }
    BitSet byChanges = new BitSet();
    reads.model().changes().forEach(c -> reads.ofChange(c.id(), byChanges));
    own.andNot(byChanges);
    return !own.isEmpty();
  }

  /** What a conjunction is of, through definitions. */
  private static void conjuncts(Model model, Expr e, List<Expr> into) {
    if (meaning(model, e) instanceof Expr.All all) {
      all.operands().forEach(o -> conjuncts(model, o, into));
    } else {
      into.add(e);
    }
  }

  /** What a disjunction is of; nothing if it is none. */
  private static List<Expr> operands(Model model, Expr e) {
    return meaning(model, e) instanceof Expr.Any any ? any.operands() : List.of();
  }

  private static Expr meaning(Model model, Expr e) {
    Expr meant = e;
    while (meant instanceof Expr.Use use) {
      meant = model.definitions().get(use.definition()).value();
    }
    return meant;
  }
}
