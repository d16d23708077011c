package stoplog.checker.abstraction;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertInstanceOf;

import java.time.Duration;
import java.util.ArrayList;
import java.util.List;
import org.junit.jupiter.api.Test;
import stoplog.checker.explore.Budget;
import stoplog.checker.explore.Progress;
import stoplog.model.Assignment;
import stoplog.model.Claim;
import stoplog.model.Controller;
import stoplog.model.Expr;
import stoplog.model.FieldChange;
import stoplog.model.Model;
import stoplog.model.Role;
import stoplog.model.Variable;
import stoplog.model.Verdict;
import stoplog.source.Span;

/** Steps that are not worked out to the end leave a claim undecided, and it is said why. */
class LimitedStepsTest {
  private static final int COPIES = 26;
  private static final Budget BUDGET = new Budget(100_000, 1L << 29, Duration.ofMinutes(5));

  /**
   * One change gives each of many things what something hidden is then: two to the power of their number are the
   * results of one step. No run has a thing that is and is not, but nobody has looked at all results.
   */
  @Test
  void aStepWithTooManyResultsLeavesTheClaimUndecided() {
    var variables = new ArrayList<Variable>();
    var copied = new ArrayList<Assignment>();
    var stirred = new ArrayList<Assignment>();
    var parts = new ArrayList<Expr>();
    for (int i = 0; i < COPIES; i++) {
      variables.add(variable(i, "copy" + i));
      copied.add(new Assignment(i, new Expr.Read(COPIES + i)));
      stirred.add(new Assignment(COPIES + i, Expr.not(new Expr.Read(COPIES + i))));
      // Of each other's values, so that no group tells of them.
      parts.add(new Expr.Same(new Expr.Read(i), new Expr.Read((i + 1) % COPIES)));
    }
    parts.add(new Expr.Read(0));
    for (int i = 0; i < COPIES; i++) {
      variables.add(variable(COPIES + i, "original" + i));
    }
    parts.add(Expr.not(new Expr.Read(0)));
    var changes = new ArrayList<FieldChange>();
    changes.add(change(0, copied));
    stirred.forEach(a -> changes.add(change(changes.size(), List.of(a))));
    var condition = new Expr.All(parts);
    var claim =
        new Claim("H-1", "is and is not", Claim.Kind.HAZARD, condition, 0, List.of(), 0, Span.NONE);
    var model =
        new Model(
            "copies", 1, variables, List.of(), List.of(), changes, Controller.none(), List.of(),
            List.of(), List.of(claim), List.of(), List.of());
    Verdict.Undecided undecided =
        assertInstanceOf(Verdict.Undecided.class, Decider.decide(model, claim, BUDGET, Progress.NONE));
    assertEquals("a step has too many results", undecided.reason());
  }

  private static Variable variable(int id, String name) {
    return new Variable(id, name, Role.PROCESS, List.of("no", "yes"), 1, "", Span.NONE);
  }

  private static FieldChange change(int id, List<Assignment> effects) {
    return new FieldChange(
        id, "change " + id, FieldChange.Cause.PROCESS, Expr.TRUE, null, effects, Span.NONE);
  }
}
