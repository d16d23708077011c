package stoplog.checker.certificate;

import java.util.Arrays;
import java.util.BitSet;
import java.util.List;
import stoplog.model.Assignment;
import stoplog.model.Expr;
import stoplog.model.Model;

/**
 * Carries out assignments when some variables are unknown: the first time an unknown variable is read,
 * every value it may have is tried in turn; from then on it has that value until it is assigned.
 */
final class Choices {
  /** What is done with the values, once for every way to choose. */
  interface Continuation {
    void go();
  }

  private static final int UNKNOWN = -1;

  private final Model model;
  private final BitSet exact;
  private final BitSet constants;
  private final int[] values;

  /**
   * @param exact the variables that stay known when they are assigned
   * @param constants among them those that always have their initial value
   */
  Choices(Model model, BitSet exact, BitSet constants) {
    this.model = model;
    this.exact = exact;
    this.constants = constants;
    this.values = new int[model.variables().size()];
    forget();
  }

  /** Makes every variable unknown but the constants. */
  void forget() {
    Arrays.fill(values, UNKNOWN);
    constants.stream()
        .forEach(v -> values[v] = Long.numberOfTrailingZeros(model.variable(v).initial()));
  }

  void set(int variable, int value) {
    values[variable] = value;
  }

  int get(int variable) {
    return values[variable];
  }

  /** Goes on wherever the expression is 1. */
  void when(Expr truth, Continuation then) {
    decide(
        truth,
        value -> {
          if (value == 1) {
            then.go();
          }
        });
  }

  /** Carries out the assignments, then goes on. */
  void assign(List<Assignment> assignments, Continuation then) {
    assign(assignments, 0, then);
  }

  private void assign(List<Assignment> assignments, int at, Continuation then) {
    if (at == assignments.size()) {
      then.go();
      return;
    }
    int target = assignments.get(at).variable();
    int before = values[target];
    if (!exact.get(target)) {
      values[target] = UNKNOWN;
      assign(assignments, at + 1, then);
    } else {
      decide(
          assignments.get(at).value(),
          value -> {
            // Choices that no state of the plant has may lead outside the domain: no run there.
            if (value >= 0 && value < model.variable(target).size()) {
              int old = values[target];
              values[target] = value;
              assign(assignments, at + 1, then);
              values[target] = old;
            }
          });
    }
    values[target] = before;
  }

  private interface Use {
    void of(int value);
  }

  private void decide(Expr e, Use use) {
    int unknown;
    int value = 0;
    try {
      value = value(e);
      unknown = UNKNOWN;
    } catch (Unknown u) {
      unknown = u.variable;
    }
    if (unknown == UNKNOWN) {
      use.of(value);
      return;
    }
    for (int v = 0; v < model.variable(unknown).size(); v++) {
      values[unknown] = v;
      decide(e, use);
    }
    values[unknown] = UNKNOWN;
  }

  private int value(Expr e) {
    return switch (e) {
      case Expr.Constant c -> c.value();
      case Expr.Read r -> read(r.variable());
      case Expr.Use u -> value(model.definitions().get(u.definition()).value());
      case Expr.Not n -> 1 - value(n.operand());
      case Expr.All a -> {
        for (Expr o : a.operands()) {
          if (value(o) == 0) {
            yield 0;
          }
        }
        yield 1;
      }
      case Expr.Any a -> {
        for (Expr o : a.operands()) {
          if (value(o) == 1) {
            yield 1;
          }
        }
        yield 0;
      }
      case Expr.In i -> (i.values() >>> value(i.operand()) & 1) == 1 ? 1 : 0;
      case Expr.Same s -> value(s.left()) == value(s.right()) ? 1 : 0;
      case Expr.Choose c -> value(c.condition()) == 1 ? value(c.then()) : value(c.otherwise());
      case Expr.Shift s -> value(s.operand()) + s.by();
    };
  }

  private int read(int variable) {
    if (values[variable] == UNKNOWN) {
      throw new Unknown(variable);
    }
    return values[variable];
  }

  /** Signals that a value is needed before the evaluation can go on. */
  private static final class Unknown extends RuntimeException {
    private final int variable;

    Unknown(int variable) {
      super(null, null, false, false);
      this.variable = variable;
    }
  }
}
