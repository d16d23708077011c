package stoplog.checker.export;

import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import stoplog.model.Assignment;
import stoplog.model.Expr;
import stoplog.model.Model;
import stoplog.model.Variable;

/**
 * The terms of one rule, while assignments are carried out in it one after the other: each value that
 * is assigned gets a name by a {@code let}, and so does a definition where it is used. A variable with
 * two values is a Bool, any other an Int.
 */
final class RuleTerms {
  private final Model model;
  private final String[] now;
  private final int[] assigned;
  private final List<String> lets = new ArrayList<>();
  private final Map<Integer, String> definitions = new HashMap<>();

  /** A term and whether it is a Bool. */
  private record Typed(String text, boolean bool) {}

  /** Begins where every variable has its own name. */
  RuleTerms(Model model) {
    this.model = model;
    this.now = new String[model.variables().size()];
    this.assigned = new int[now.length];
    for (Variable v : model.variables()) {
      now[v.id()] = symbol(v.name());
    }
  }

  static String symbol(String name) {
    return "|" + name.replace('|', '!').replace('\\', '/') + "|";
  }

  static boolean isBool(Variable v) {
    return v.size() == 2;
  }

  /** The value a variable has now. */
  String value(int variable) {
    return now[variable];
  }

  void assign(List<Assignment> assignments) {
    for (Assignment a : assignments) {
      Variable target = model.variable(a.variable());
      String value = isBool(target) ? bool(a.value()) : integer(a.value());
      String name = symbol(target.name() + "'" + ++assigned[target.id()]);
      lets.add("(" + name + " " + value + ")");
      now[target.id()] = name;
      definitions.clear();
    }
  }

  /** Gives a term a name. */
  String named(String name, String term) {
    String symbol = symbol(name);
    lets.add("(" + symbol + " " + term + ")");
    return symbol;
  }

  /** The body in the scope of everything that was named. */
  String within(String body) {
    var text = new StringBuilder();
    for (String let : lets) {
      text.append("(let (").append(let).append(")\n    ");
    }
    return text.append(body).append(")".repeat(lets.size())).toString();
  }

  String bool(Expr e) {
    Typed t = term(e);
    return t.bool() ? t.text() : "(= " + t.text() + " 1)";
  }

  private String integer(Expr e) {
    Typed t = term(e);
    return t.bool() ? "(ite " + t.text() + " 1 0)" : t.text();
  }

  private Typed term(Expr e) {
    return switch (e) {
      case Expr.Constant c -> new Typed(Integer.toString(c.value()), false);
      case Expr.Read r -> new Typed(now[r.variable()], isBool(model.variable(r.variable())));
      case Expr.Use u -> use(u.definition());
      case Expr.Not n -> new Typed("(not " + bool(n.operand()) + ")", true);
      case Expr.All a -> many("and", "true", a.operands());
      case Expr.Any a -> many("or", "false", a.operands());
      case Expr.In i -> in(term(i.operand()), i.values());
      case Expr.Same s -> same(term(s.left()), term(s.right()), s);
      case Expr.Choose c -> {
        Typed then = term(c.then());
        Typed otherwise = term(c.otherwise());
        boolean bool = then.bool() && otherwise.bool();
        String a = bool ? then.text() : integer(c.then());
        String b = bool ? otherwise.text() : integer(c.otherwise());
        yield new Typed("(ite " + bool(c.condition()) + " " + a + " " + b + ")", bool);
      }
      case Expr.Shift s ->
          new Typed(
              s.by() < 0
                  ? "(- " + integer(s.operand()) + " " + -s.by() + ")"
                  : "(+ " + integer(s.operand()) + " " + s.by() + ")",
              false);
    };
  }

  private Typed use(int definition) {
    Expr value = model.definitions().get(definition).value();
    String known = definitions.get(definition);
    boolean bool = isTruth(value);
    if (known == null) {
      String term = bool ? bool(value) : integer(value);
      String name = "definition " + definition + "." + lets.size();
      known = named(name, term);
      definitions.put(definition, known);
    }
    return new Typed(known, bool);
  }

  private boolean isTruth(Expr e) {
    return switch (e) {
      case Expr.Constant c -> false;
      case Expr.Read r -> isBool(model.variable(r.variable()));
      case Expr.Use u -> isTruth(model.definitions().get(u.definition()).value());
      case Expr.Choose c -> isTruth(c.then()) && isTruth(c.otherwise());
      case Expr.Shift s -> false;
      case Expr.Not n -> true;
      case Expr.All a -> true;
      case Expr.Any a -> true;
      case Expr.In i -> true;
      case Expr.Same s -> true;
    };
  }

  private Typed many(String operator, String none, List<Expr> operands) {
    if (operands.isEmpty()) {
      return new Typed(none, true);
    }
    var text = new StringBuilder("(" + operator);
    for (Expr o : operands) {
      text.append(' ').append(bool(o));
    }
    return new Typed(text.append(')').toString(), true);
  }

  private static Typed in(Typed operand, long values) {
    if (operand.bool()) {
      boolean no = (values & 1) != 0;
      boolean yes = (values & 2) != 0;
      String text =
          no ? (yes ? "true" : "(not " + operand.text() + ")") : yes ? operand.text() : "false";
      return new Typed(text, true);
    }
    var text = new StringBuilder("(or false");
    for (int v = 0; v < 64; v++) {
      if ((values >>> v & 1) != 0) {
        text.append(" (= ").append(operand.text()).append(' ').append(v).append(')');
      }
    }
    return new Typed(text.append(')').toString(), true);
  }

  private Typed same(Typed left, Typed right, Expr.Same s) {
    return left.bool() && right.bool()
        ? new Typed("(= " + left.text() + " " + right.text() + ")", true)
        : new Typed("(= " + integer(s.left()) + " " + integer(s.right()) + ")", true);
  }
}
