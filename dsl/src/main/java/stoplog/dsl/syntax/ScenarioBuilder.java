package stoplog.dsl.syntax;

import java.util.ArrayList;
import org.jspecify.annotations.Nullable;
import stoplog.dsl.tree.Declaration;
import stoplog.dsl.tree.ScenarioItem;
import stoplog.dsl.tree.ScenarioItem.Deed;
import stoplog.dsl.tree.Word;

/** The scenarios of {@link TreeBuilder}. */
final class ScenarioBuilder {
  private final TreeBuilder tree;
  private final ExpressionBuilder expressions;

  ScenarioBuilder(TreeBuilder tree, ExpressionBuilder expressions) {
    this.tree = tree;
    this.expressions = expressions;
  }

  Declaration scenario(PlantParser.ScenarioContext s) {
    var items = new ArrayList<ScenarioItem>();
    tree.separated(s.scenarioBlock().scenarioItem());
    for (PlantParser.ScenarioItemContext i : s.scenarioBlock().scenarioItem()) {
      if (tree.isWhole(i)) {
        items.add(item(i));
      }
    }
    return new Declaration.Scenario(
        tree.word(s.TAG()),
        tree.text(s.STRING()),
        s.CERTAIN() != null,
        items,
        tree.span(s));
  }

  private ScenarioItem item(PlantParser.ScenarioItemContext i) {
    if (i.given() != null) {
      return new ScenarioItem.Given(expressions.of(i.given().expression()), tree.span(i));
    } else if (i.happens() != null) {
      var events = new ArrayList<ScenarioItem.Event>();
      for (PlantParser.EventContext e : i.happens().event()) {
        events.add(event(e));
      }
      return new ScenarioItem.Happens(
          tree.quantity(i.happens().quantity()), events, tree.span(i));
    }
    PlantParser.SeenContext s = i.seen();
    var condition = expressions.of(s.expression());
    if (s.FROM() != null) {
      return new ScenarioItem.SeenThroughout(
          tree.quantity(s.quantity(0)), tree.quantity(s.quantity(1)), condition, tree.span(i));
    }
    return s.AT() != null
        ? new ScenarioItem.SeenAt(tree.quantity(s.quantity(0)), condition, tree.span(i))
        : new ScenarioItem.SeenBy(tree.quantity(s.quantity(0)), condition, tree.span(i));
  }

  private ScenarioItem.Event event(PlantParser.EventContext e) {
    Deed deed = deed(e);
    Word subject =
        e.POWER() != null
            ? tree.word(e.POWER())
            : e.subject() != null ? tree.word(e.subject()) : tree.word(e.name());
    @Nullable Word state =
        e.state() != null ? tree.word(e.state()) : e.fault != null ? tree.word(e.fault) : null;
    return new ScenarioItem.Event(deed, subject, state, tree.span(e));
  }

  private static Deed deed(PlantParser.EventContext e) {
    if (e.PRESS() != null) {
      return Deed.PRESS;
    } else if (e.HOLD() != null) {
      return Deed.HOLD;
    } else if (e.RELEASE() != null) {
      return Deed.RELEASE;
    } else if (e.TURN() != null) {
      return Deed.TURN;
    } else if (e.POWER() != null) {
      return e.FAILS() != null ? Deed.POWER_FAILS : Deed.POWER_RETURNS;
    } else if (e.fault != null) {
      return Deed.FAULT;
    }
    return e.STARTS() != null ? Deed.START : Deed.END;
  }
}
