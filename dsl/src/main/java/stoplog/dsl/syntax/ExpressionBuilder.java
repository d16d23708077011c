package stoplog.dsl.syntax;

import java.math.BigDecimal;
import java.util.ArrayList;
import java.util.List;
import org.jspecify.annotations.Nullable;
import stoplog.dsl.tree.Expression;
import stoplog.dsl.tree.Expression.Aspect;
import stoplog.dsl.tree.Expression.Relation;
import stoplog.dsl.tree.Quantity;
import stoplog.dsl.tree.TimerForm;
import stoplog.dsl.tree.Word;

/** The expressions of {@link TreeBuilder}. Parentheses leave no trace in the tree. */
final class ExpressionBuilder {
  private final TreeBuilder tree;

  ExpressionBuilder(TreeBuilder tree) {
    this.tree = tree;
  }

  Expression of(PlantParser.ExpressionContext e) {
    Expression operand = disjunction(e.disjunction());
    PlantParser.DelayContext d = e.delay();
    TimerForm form =
        e.PULSE() != null
            ? TimerForm.PULSE
            : e.held() != null ? TimerForm.OFF_DELAY : TimerForm.ON_DELAY;
    if (d == null) {
      return operand;
    }
    return new Expression.Timed(form, operand, delay(d), tree.span(e));
  }

  /**
   * Each element of a list, one with a range of numbers once for each of them. Linear in what comes
   * out.
   */
  List<Expression> list(List<PlantParser.ExpressionContext> elements) {
    var list = new ArrayList<Expression>();
    for (PlantParser.ExpressionContext e : elements) {
      var repeat = new Repeat();
      Repeat outer = tree.filler().begin(repeat);
      do {
        list.add(of(e));
      } while (repeat.next());
      tree.filler().begin(outer);
    }
    return list;
  }

  Expression.Delay delay(PlantParser.DelayContext d) {
    Word name = d.quantity() == null ? null : named(d.quantity());
    if (name != null) {
      return new Expression.Delay(null, name, tree.span(d));
    }
    return d.quantity() != null
        ? new Expression.Delay(tree.quantity(d.quantity()), null, tree.span(d))
        : new Expression.Delay(null, tree.word(d.name()), tree.span(d));
  }

  /** The name that fills an open part where a value could stand too; {@code null} if none does. */
  private @Nullable Word named(PlantParser.QuantityContext q) {
    if (q.HOLE() == null) {
      return null;
    }
    String hole = q.getText();
    Filling.Value v = tree.filler().filling().values().get(hole.substring(1, hole.length() - 1));
    return v != null && v.plain() && v.expression() instanceof Expression.Named n ? n.name() : null;
  }

  private Expression disjunction(PlantParser.DisjunctionContext d) {
    if (d.conjunction().size() == 1) {
      return conjunction(d.conjunction(0));
    }
    var operands = new ArrayList<Expression>();
    for (PlantParser.ConjunctionContext c : d.conjunction()) {
      operands.add(conjunction(c));
    }
    return new Expression.Or(operands, tree.span(d));
  }

  private Expression conjunction(PlantParser.ConjunctionContext c) {
    if (c.negation().size() == 1) {
      return negation(c.negation(0));
    }
    var operands = new ArrayList<Expression>();
    for (PlantParser.NegationContext n : c.negation()) {
      operands.add(negation(n));
    }
    return new Expression.And(operands, tree.span(c));
  }

  private Expression negation(PlantParser.NegationContext n) {
    return n.negation() != null
        ? new Expression.Not(negation(n.negation()), tree.span(n))
        : atom(n.atom());
  }

  private Expression atom(PlantParser.AtomContext a) {
    if (a.howMany() != null) {
      return howMany(a);
    } else if (!a.expression().isEmpty()) {
      return of(a.expression(0));
    } else if (a.TAG() != null) {
      Word tag = tree.word(a.TAG());
      return a.TRIPPED() != null
          ? new Expression.Tripped(tag, tree.span(a))
          : new Expression.Blocked(tag, tree.span(a));
    } else if (!a.pipeEnd().isEmpty()) {
      return new Expression.Path(
          a.FLOW() != null, tree.pipeEnd(a.pipeEnd(0)), tree.pipeEnd(a.pipeEnd(1)), tree.span(a));
    }
    Expression filled = filled(a);
    if (filled != null) {
      return filled;
    }
    Word subject = tree.word(a.subject());
    if (a.predicate() != null) {
      PlantParser.PredicateContext p = a.predicate();
      if (p.state() == null) {
        return new Expression.Edge(
            new Expression.Named(subject), p.RISES() != null, tree.span(a));
      }
      Aspect aspect =
          p.COMMANDED() != null
              ? Aspect.COMMANDED
              : p.PROVEN() != null ? Aspect.PROVEN : Aspect.ACTUAL;
      return new Expression.Is(
          subject, p.NOT() != null, aspect, tree.word(p.state()), tree.span(a));
    } else if (a.comparison() != null) {
      PlantParser.ComparisonContext c = a.comparison();
      Relation relation = relation(c.getStart().getText());
      Word limit = c.quantity() == null ? null : named(c.quantity());
      if (limit != null) {
        return new Expression.Compared(subject, relation, null, limit, tree.span(a));
      }
      return c.quantity() != null
          ? new Expression.Compared(
              subject, relation, tree.quantity(c.quantity()), null, tree.span(a))
          : new Expression.Compared(subject, relation, null, tree.word(c.subject()), tree.span(a));
    }
    return new Expression.Named(subject);
  }

  /** What fills an open part that stands for a whole condition; {@code null} if that is no such. */
  private @Nullable Expression filled(PlantParser.AtomContext a) {
    String hole = a.getText();
    boolean alone = a.predicate() == null && a.comparison() == null && hole.startsWith("{");
    Filling.Value v =
        alone ? tree.filler().filling().values().get(hole.substring(1, hole.length() - 1)) : null;
    if (v != null && v.expression() == null && !v.plain()) {
      tree.filler().misfit(hole, v, "a condition", tree.span(a));
      return new Expression.Named(new Word(hole, tree.span(a)));
    }
    return v == null ? null : v.expression();
  }

  private Expression howMany(PlantParser.AtomContext a) {
    List<Expression> operands = list(a.expression());
    PlantParser.HowManyContext h = a.howMany();
    Quantity all = number(operands.size(), h);
    Quantity none = number(0, h);
    Quantity stated = h.NUMBER() == null ? all : tree.count(h.NUMBER());
    Quantity least = h.NONE() != null || h.MOST() != null ? none : stated;
    Quantity most = h.NONE() != null ? none : h.LEAST() != null ? all : stated;
    if (h.ANY() != null) {
      least = number(1, h);
      most = all;
    }
    return new Expression.HowMany(least, most, operands, tree.span(a));
  }

  private Quantity number(int value, PlantParser.HowManyContext at) {
    return new Quantity(BigDecimal.valueOf(value), null, tree.span(at));
  }

  private static Relation relation(String sign) {
    for (Relation r : Relation.values()) {
      if (r.sign().equals(sign)) {
        return r;
      }
    }
    throw new IllegalStateException("no relation " + sign);
  }
}
