package stoplog.dsl.syntax;

import java.util.ArrayList;
import java.util.List;
import org.jspecify.annotations.Nullable;
import stoplog.dsl.tree.Declaration;
import stoplog.dsl.tree.Quantity;
import stoplog.dsl.tree.Window;
import stoplog.dsl.tree.Word;

/** Process and instruments of {@link TreeBuilder}. */
final class ProcessBuilder {
  private final TreeBuilder tree;
  private final ExpressionBuilder expressions;

  ProcessBuilder(TreeBuilder tree, ExpressionBuilder expressions) {
    this.tree = tree;
    this.expressions = expressions;
  }

  Declaration of(PlantParser.DeclarationContext d) {
    if (d.condition() != null) {
      return condition(d.condition());
    } else if (d.count() != null) {
      return count(d.count());
    } else if (d.level() != null) {
      PlantParser.LevelContext l = d.level();
      return level(
          tree.word(l.TAG()),
          tree.text(l.STRING()),
          tree.word(l.unit()),
          extent(l.extent()),
          l.levelBlock());
    } else if (d.analog() != null) {
      PlantParser.AnalogContext a = d.analog();
      return level(
          tree.word(a.name()),
          tree.text(a.STRING()),
          tree.word(a.unit()),
          extent(a.extent()),
          a.levelBlock());
    } else if (d.switchInstrument() != null) {
      PlantParser.SwitchInstrumentContext s = d.switchInstrument();
      return new Declaration.Switch(
          tree.word(s.TAG()),
          tree.text(s.STRING()),
          s.wiring() == null ? null : tree.word(s.wiring().name()),
          expressions.of(s.expression()),
          window(s.window()),
          tree.span(s));
    } else if (d.analyser() != null) {
      return analyser(d.analyser());
    }
    return transmitter(d.transmitter());
  }

  private Declaration condition(PlantParser.ConditionContext c) {
    Word name = tree.word(c.name());
    String text = tree.text(c.STRING());
    if (c.expression() != null) {
      return new Declaration.Derived(name, text, expressions.of(c.expression()), tree.span(c));
    }
    var causes = new ArrayList<Declaration.Cause>();
    var initially = new ArrayList<Declaration.Initially>();
    if (c.causeBlock() != null) {
      causes(c.causeBlock(), causes, initially);
    }
    return new Declaration.Condition(name, text, causes, initially, tree.span(c));
  }

  private Declaration count(PlantParser.CountContext c) {
    var causes = new ArrayList<Declaration.Cause>();
    var initially = new ArrayList<Declaration.Initially>();
    causes(c.causeBlock(), causes, initially);
    return new Declaration.Count(
        tree.word(c.name()),
        tree.text(c.STRING()),
        tree.count(c.NUMBER(0)),
        tree.count(c.NUMBER(1)),
        causes,
        initially,
        tree.span(c));
  }

  private void causes(
      PlantParser.CauseBlockContext b,
      List<Declaration.Cause> causes,
      List<Declaration.Initially> initially) {
    tree.separated(b.cause());
    for (PlantParser.CauseContext c : b.cause()) {
      if (!tree.isWhole(c)) {
        continue;
      }
      if (c.initially() != null) {
        PlantParser.InitiallyContext i = c.initially();
        initially.add(new Declaration.Initially(tree.word(i.getStop()), tree.span(i)));
        continue;
      }
      PlantParser.MovesOneStepContext m = c.movesOneStep();
      causes.add(
          new Declaration.Cause(
              m.START() != null || m.RISE() != null,
              m.RISE() != null || m.FALL() != null,
              window(m.window()),
              expressions.of(m.expression()),
              tree.span(m)));
    }
  }

  private Declaration level(
      Word name,
      String text,
      Word unit,
      Declaration.@Nullable Extent extent,
      PlantParser.LevelBlockContext block) {
    var movements = new ArrayList<Declaration.Moving>();
    var starts = new ArrayList<Quantity>();
    tree.separated(block.levelMember());
    for (PlantParser.LevelMemberContext m : block.levelMember()) {
      if (!tree.isWhole(m)) {
        continue;
      }
      if (m.startsAt() != null) {
        starts.add(tree.quantity(m.startsAt().quantity()));
      } else {
        movements.add(moving(m));
      }
    }
    var span = tree.span((org.antlr.v4.runtime.ParserRuleContext) block.getParent());
    return new Declaration.Level(name, text, unit, extent, movements, starts, span);
  }

  private Declaration.Moving moving(PlantParser.LevelMemberContext m) {
    if (m.movement() != null) {
      PlantParser.MovementContext v = m.movement();
      return new Declaration.Movement(
          tree.plain(v.number(0)),
          tree.plain(v.number(1)),
          tree.window(v.window()),
          expressions.of(v.expression()),
          tree.span(v));
    } else if (m.rate() != null) {
      PlantParser.RateContext r = m.rate();
      return new Declaration.Rate(
          r.RISES() != null,
          tree.window(r.window()),
          expressions.of(r.expression()),
          tree.span(r));
    }
    PlantParser.FreeContext f = m.free();
    return new Declaration.Free(
        f.JUMPS() == null,
        f.expression() == null ? null : expressions.of(f.expression()),
        tree.span(f));
  }

  private Declaration analyser(PlantParser.AnalyserContext a) {
    PlantParser.SideContext s = a.side();
    Declaration.Side side =
        s == null
            ? null
            : new Declaration.Side(
                s.ABOVE() != null,
                tree.quantity(s.quantity()),
                tree.window(s.window()),
                expressions.of(s.expression()),
                tree.span(s));
    return new Declaration.Analyser(
        tree.word(a.TAG()), tree.text(a.STRING()), tree.word(a.unit()), side, tree.span(a));
  }

  private Declaration transmitter(PlantParser.TransmitterContext t) {
    return new Declaration.Transmitter(
        tree.word(t.TAG()),
        tree.text(t.STRING()),
        tree.word(t.unit()),
        extent(t.extent()),
        tree.word(t.subject()),
        window(t.window()),
        t.deadBand() == null ? null : tree.quantity(t.deadBand().quantity()),
        tree.span(t));
  }

  private Declaration.@Nullable Extent extent(PlantParser.@Nullable ExtentContext e) {
    return e == null
        ? null
        : new Declaration.Extent(tree.plain(e.number(0)), tree.plain(e.number(1)), tree.span(e));
  }

  private @Nullable Window window(PlantParser.@Nullable WindowContext w) {
    return w == null ? null : tree.window(w);
  }
}
