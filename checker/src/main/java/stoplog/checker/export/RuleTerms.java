package stoplog.checker.export;

import java.util.ArrayList;
import java.util.HashMap;
import java.util.HashSet;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Set;
import stoplog.model.Assignment;
import stoplog.model.Expr;
import stoplog.model.Model;
import stoplog.model.Variable;

/**
 * The terms of one rule, while assignments are carried out in it one after the other: each value that
 * is assigned gets a name by a {@code let}, and so does a definition where it is used. A variable with
 * two values is a Bool, any other an Int.
 *
 * <p>What is assigned to a hidden variable is not looked at, unless it is followed: it has another name
 * from then on, whose value is as free as that of the one before.
 */
final class RuleTerms {
  private final Scope scope;
  private final Model model;
  private final Map<Integer, String> now = new HashMap<>();
  private final Map<Integer, Integer> assigned = new HashMap<>();
  private final List<String> lets = new ArrayList<>();
  private final Map<Integer, String> definitions = new HashMap<>();
  private final Set<String> defined = new HashSet<>();
  private final Map<String, Free> free = new LinkedHashMap<>();
  private final List<String> limits = new ArrayList<>();

  /** A term and whether it is a Bool. */
  private record Typed(String text, boolean bool) {}

  /**
   * A name that stands for any value of a hidden variable.
   *
   * @param untouched whether nothing has been assigned to it yet
   */
  record Free(String name, Variable variable, boolean untouched) {}

  /** Begins where every variable has its own name. */
  RuleTerms(Scope scope) {
    this.scope = scope;
    this.model = scope.model();
  }

  /** The value a kept variable has now. */
  String value(Variable v) {
    return now.getOrDefault(v.id(), Smt.symbol(v.name()));
  }

  /** The names met with that may have any value, in the order met. */
  List<Free> free() {
    return List.copyOf(free.values());
  }

  /** What holds of values assigned wherever the plant assigns them. */
  List<String> limits() {
    return limits;
  }

  void assign(List<Assignment> assignments) {
    for (Assignment a : assignments) {
      Variable target = model.variable(a.variable());
      if (scope.isHidden(target.id()) && !scope.isFollowed(target.id())) {
        rename(target);
      } else if (!scope.isConstant(target.id())) {
        String value = Smt.isBool(target) ? bool(a.value()) : integer(a.value());
        String name = rename(target);
        lets.add("(" + name + " " + value + ")");
        defined.add(name);
        if (scope.hides() && !Smt.isBool(target) && !isPlain(a.value())) {
          limits.add(Smt.upTo(name, target.size() - 1));
        }
      }
      definitions.clear();
    }
  }

  /** From here on all that is hidden and not followed may have changed. */
  void changeHidden() {
    scope.hidden().stream().filter(v -> !scope.isFollowed(v.id())).forEach(this::rename);
    definitions.clear();
  }

  private String rename(Variable v) {
    String name = Smt.symbol(v.name() + "'" + assigned.merge(v.id(), 1, Integer::sum));
    now.put(v.id(), name);
    return name;
  }

  /** Whether a value is one of those written down in it. */
  private static boolean isPlain(Expr e) {
    return e instanceof Expr.Constant
        || e instanceof Expr.Choose c && isPlain(c.then()) && isPlain(c.otherwise());
  }

  /** Lets a symbol stand for a term. */
  void define(String symbol, String term) {
    lets.add("(" + symbol + " " + term + ")");
  }

  /** Gives a term a name. */
  String named(String name, String term) {
    if (Smt.isKnown(term)) {
      return term;
    }
    String symbol = Smt.symbol(name);
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

  /** Whether so many of a group hold now. */
  String holds(Scope.Group group) {
    var members = new ArrayList<String>();
    for (Scope.Member m : group.members()) {
      members.add(in(read(m.variable()), m.values()));
    }
    return Smt.atLeast(group.atLeast(), members);
  }

  String bool(Expr e) {
    Typed t = term(e);
    return t.bool() ? t.text() : Smt.equal(t.text(), "1");
  }

  private String integer(Expr e) {
    Typed t = term(e);
    return t.bool() ? Smt.choice(t.text(), "1", "0") : t.text();
  }

  private Typed term(Expr e) {
    return switch (e) {
      case Expr.Constant c -> new Typed(Integer.toString(c.value()), false);
      case Expr.Read r -> read(model.variable(r.variable()));
      case Expr.Use u -> use(u.definition());
      case Expr.Not n -> new Typed(Smt.not(bool(n.operand())), true);
      case Expr.All a -> new Typed(Smt.all(bools(a.operands())), true);
      case Expr.Any a -> new Typed(Smt.any(bools(a.operands())), true);
      case Expr.In i -> new Typed(in(term(i.operand()), i.values()), true);
      case Expr.Same s -> same(term(s.left()), term(s.right()), s);
      case Expr.Choose c -> {
        Typed then = term(c.then());
        Typed otherwise = term(c.otherwise());
        boolean bool = then.bool() && otherwise.bool();
        String a = bool ? then.text() : integer(c.then());
        String b = bool ? otherwise.text() : integer(c.otherwise());
        yield new Typed(Smt.choice(bool(c.condition()), a, b), bool);
      }
      case Expr.Shift s -> {
        String operand = integer(s.operand());
        yield new Typed(
            s.by() < 0 ? "(- " + operand + " " + -s.by() + ")" : "(+ " + operand + " " + s.by() + ")",
            false);
      }
    };
  }

  private Typed read(Variable v) {
    if (scope.isConstant(v.id())) {
      String value = "" + Long.numberOfTrailingZeros(v.initial());
      return Smt.isBool(v) ? new Typed(Smt.equal(value, "1"), true) : new Typed(value, false);
    }
    String name = value(v);
    if (scope.isHidden(v.id()) && !defined.contains(name)) {
      free.putIfAbsent(name, new Free(name, v, !now.containsKey(v.id())));
    }
    return new Typed(name, Smt.isBool(v));
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
      case Expr.Read r -> Smt.isBool(model.variable(r.variable()));
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

  private List<String> bools(List<Expr> operands) {
    return operands.stream().map(this::bool).toList();
  }

  private static String in(Typed operand, long values) {
    return operand.bool() ? Smt.inBool(operand.text(), values) : Smt.in(operand.text(), values);
  }

  private Typed same(Typed left, Typed right, Expr.Same s) {
    return left.bool() && right.bool()
        ? new Typed(Smt.equal(left.text(), right.text()), true)
        : new Typed(Smt.equal(integer(s.left()), integer(s.right())), true);
  }
}
