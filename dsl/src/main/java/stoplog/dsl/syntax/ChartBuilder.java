package stoplog.dsl.syntax;

import java.util.ArrayList;
import java.util.List;
import stoplog.dsl.tree.ChartItem;
import stoplog.dsl.tree.LogicItem;
import stoplog.dsl.tree.Word;

/** The sequences of {@link TreeBuilder}. */
final class ChartBuilder {
  private final TreeBuilder tree;
  private final ExpressionBuilder expressions;
  private final LogicBuilder logic;

  ChartBuilder(TreeBuilder tree, ExpressionBuilder expressions, LogicBuilder logic) {
    this.tree = tree;
    this.expressions = expressions;
    this.logic = logic;
  }

  LogicItem.Sequence sequence(PlantParser.SequenceContext s) {
    return new LogicItem.Sequence(
        tree.word(s.name()),
        tree.text(s.STRING()),
        items(s.sequenceBlock()),
        tree.span(s));
  }

  private List<ChartItem> items(PlantParser.SequenceBlockContext b) {
    var items = new ArrayList<ChartItem>();
    tree.separated(b.sequenceItem());
    for (PlantParser.SequenceItemContext i : b.sequenceItem()) {
      if (tree.isWhole(i)) {
        items.add(item(i));
      }
    }
    return items;
  }

  private ChartItem item(PlantParser.SequenceItemContext i) {
    if (i.step() != null) {
      return step(i.step());
    } else if (i.transition() != null) {
      return transition(i.transition());
    } else if (i.hold() != null) {
      return new ChartItem.Hold(expressions.of(i.hold().expression()), tree.span(i));
    } else if (i.abort() != null) {
      return new ChartItem.Abort(
          tree.word(i.abort().name()), expressions.of(i.abort().expression()), tree.span(i));
    }
    PlantParser.MacroContext m = i.macro();
    return new ChartItem.Macro(
        tree.word(m.name()), tree.text(m.STRING()), items(m.sequenceBlock()), tree.span(i));
  }

  private ChartItem step(PlantParser.StepContext s) {
    ChartItem.Mark mark =
        s.INITIAL() != null
            ? ChartItem.Mark.INITIAL
            : s.ENTRY() != null
                ? ChartItem.Mark.ENTRY
                : s.EXIT() != null ? ChartItem.Mark.EXIT : ChartItem.Mark.PLAIN;
    var actions = new ArrayList<ChartItem.Action>();
    if (s.stepBlock() != null) {
      tree.separated(s.stepBlock().action());
      for (PlantParser.ActionContext a : s.stepBlock().action()) {
        if (tree.isWhole(a)) {
          actions.add(action(a));
        }
      }
    }
    return new ChartItem.Step(
        tree.word(s.name()),
        tree.text(s.STRING()),
        mark,
        s.ofMacro() == null ? null : tree.word(s.ofMacro().name()),
        actions,
        tree.span(s));
  }

  private ChartItem.Action action(PlantParser.ActionContext a) {
    if (a.VERB() != null) {
      return new ChartItem.Continuous(
          tree.word(a.VERB()),
          tree.word(a.TAG()),
          a.name() == null ? null : tree.word(a.name()),
          tree.span(a));
    }
    boolean onEntry = a.ENTRY() != null;
    return a.assignment() != null
        ? new ChartItem.Stored(onEntry, logic.assign(a.assignment()), tree.span(a))
        : new ChartItem.StoredLatch(
            onEntry, a.SET() != null, tree.word(a.name()), tree.span(a));
  }

  private ChartItem transition(PlantParser.TransitionContext t) {
    int to = t.TO().getSymbol().getTokenIndex();
    var from = new ArrayList<Word>();
    var into = new ArrayList<Word>();
    for (PlantParser.NameContext n : t.name()) {
      (n.getStart().getTokenIndex() < to ? from : into).add(tree.word(n));
    }
    return new ChartItem.Transition(
        from,
        into,
        t.expression() == null ? null : expressions.of(t.expression()),
        t.delay() == null ? null : expressions.delay(t.delay()),
        tree.span(t));
  }
}
