package stoplog.dsl.syntax;

import java.util.ArrayList;
import java.util.List;
import org.jspecify.annotations.Nullable;
import stoplog.dsl.tree.Declaration;
import stoplog.dsl.tree.Expression;
import stoplog.dsl.tree.LogicItem;
import stoplog.dsl.tree.Word;
import stoplog.model.Inhibit.Kind;

/** The logic of {@link TreeBuilder}. */
final class LogicBuilder {
  private final TreeBuilder tree;
  private final ExpressionBuilder expressions;

  LogicBuilder(TreeBuilder tree, ExpressionBuilder expressions) {
    this.tree = tree;
    this.expressions = expressions;
  }

  Declaration logic(PlantParser.LogicContext l) {
    var items = new ArrayList<LogicItem>();
    tree.separated(l.logicBlock().logicItem());
    for (PlantParser.LogicItemContext i : l.logicBlock().logicItem()) {
      if (tree.isWhole(i)) {
        items.add(item(i));
      }
    }
    return new Declaration.Logic(items, tree.span(l));
  }

  private LogicItem item(PlantParser.LogicItemContext i) {
    if (i.latch() != null) {
      PlantParser.LatchContext x = i.latch();
      return new LogicItem.Latch(
          tree.word(x.name()),
          tree.text(x.STRING()),
          x.RETAINED() != null,
          expressions.of(x.setBy),
          expression(x.guard),
          expressions.of(x.clearedBy),
          x.dominance() != null && x.dominance().SET() != null,
          tree.span(x));
    } else if (i.signal() != null) {
      PlantParser.SignalContext s = i.signal();
      return new LogicItem.Signal(
          tree.word(s.name()),
          tree.text(s.STRING()),
          expressions.of(s.expression()),
          tree.span(s));
    } else if (i.memory() != null) {
      return memory(i.memory());
    } else if (i.assignment() != null) {
      return assign(i.assignment());
    } else if (i.counter() != null) {
      PlantParser.CounterContext c = i.counter();
      return new LogicItem.Counter(
          tree.word(c.name()),
          tree.text(c.STRING()),
          c.RETAINED() != null,
          tree.count(c.NUMBER()),
          expressions.of(c.up),
          expression(c.down),
          expressions.of(c.clearedBy),
          tree.span(c));
    } else if (i.duty() != null) {
      PlantParser.DutyContext d = i.duty();
      return new LogicItem.Duty(
          tree.word(d.name()),
          tree.text(d.STRING()),
          d.RETAINED() != null,
          tree.tags(d.TAG()),
          expressions.of(d.expression()),
          tree.span(d));
    } else if (i.alarm() != null) {
      return alarm(i.alarm());
    } else if (i.alarmGroup() != null) {
      return group(i.alarmGroup());
    } else if (i.sequence() != null) {
      return new ChartBuilder(tree, expressions, this).sequence(i.sequence());
    }
    return command(i.command());
  }

  private LogicItem memory(PlantParser.MemoryContext m) {
    boolean numbers = !m.memoryValues().NUMBER().isEmpty();
    return new LogicItem.Memory(
        tree.word(m.name()),
        tree.text(m.STRING()),
        m.RETAINED() != null,
        numbers ? List.of() : tree.words(m.memoryValues().name()),
        numbers ? tree.count(m.memoryValues().NUMBER(0)) : null,
        numbers ? tree.count(m.memoryValues().NUMBER(1)) : null,
        m.memoryValue() == null ? null : tree.word(m.memoryValue()),
        tree.span(m));
  }

  LogicItem.Assign assign(PlantParser.AssignmentContext a) {
    PlantParser.AssignedContext v = a.assigned();
    Word value = v.name() != null ? tree.word(v.name()) : tree.word(v.NUMBER());
    int by = 0;
    if (v.PLUS() != null || v.MINUS() != null) {
      int amount = tree.count(v.NUMBER()).value().min(java.math.BigDecimal.valueOf(99)).intValue();
      by = v.PLUS() != null ? amount : -amount;
    }
    return new LogicItem.Assign(
        tree.word(a.name()),
        new LogicItem.Assigned(value, by, tree.span(v)),
        expression(a.expression()),
        tree.span(a));
  }

  private LogicItem.Alarm alarm(PlantParser.AlarmContext a) {
    return new LogicItem.Alarm(
        tree.word(a.TAG()),
        tree.text(a.STRING()),
        expressions.of(a.expression()),
        a.latched() != null,
        tree.span(a));
  }

  private LogicItem group(PlantParser.AlarmGroupContext g) {
    var alarms = new ArrayList<LogicItem.Alarm>();
    var acknowledged = new ArrayList<Expression>();
    var reset = new ArrayList<Expression>();
    tree.separated(g.alarmBlock().alarmItem());
    for (PlantParser.AlarmItemContext i : g.alarmBlock().alarmItem()) {
      if (!tree.isWhole(i)) {
        continue;
      }
      if (i.alarm() != null) {
        alarms.add(alarm(i.alarm()));
      } else if (i.acknowledged() != null) {
        acknowledged.add(expressions.of(i.acknowledged().expression()));
      } else {
        reset.add(expressions.of(i.groupReset().expression()));
      }
    }
    return new LogicItem.AlarmGroup(
        tree.word(g.name()),
        tree.text(g.STRING()),
        g.firstOut() != null,
        alarms,
        acknowledged,
        reset,
        tree.span(g));
  }

  private LogicItem.Command command(PlantParser.CommandContext c) {
    var states = new ArrayList<LogicItem.AtState>();
    var inhibits = new ArrayList<LogicItem.Inhibit>();
    if (c.commandBlock() != null) {
      tree.separated(c.commandBlock().commandItem());
      for (PlantParser.CommandItemContext i : c.commandBlock().commandItem()) {
        if (!tree.isWhole(i)) {
          continue;
        }
        if (i.inhibit() != null) {
          inhibits.add(inhibit(i.inhibit()));
        } else {
          PlantParser.AtStateContext a = i.atState();
          states.add(
              new LogicItem.AtState(
                  tree.word(a.name()), expressions.of(a.expression()), tree.span(a)));
        }
      }
    }
    return new LogicItem.Command(
        tree.word(c.VERB()),
        tree.word(c.TAG()),
        expression(c.expression()),
        states,
        inhibits,
        tree.span(c));
  }

  private LogicItem.Inhibit inhibit(PlantParser.InhibitContext i) {
    Kind kind =
        i.PERMISSIVE() != null
            ? Kind.PERMISSIVE
            : i.INTERLOCK() != null ? Kind.INTERLOCK : Kind.TRIP;
    return new LogicItem.Inhibit(
        kind,
        tree.text(i.STRING()),
        expressions.of(i.expression()),
        i.resetBy() == null ? null : expressions.of(i.resetBy().expression()),
        i.bypass() == null ? null : tree.word(i.bypass().name()),
        tree.span(i));
  }

  private @Nullable Expression expression(PlantParser.@Nullable ExpressionContext e) {
    return e == null ? null : expressions.of(e);
  }
}
