package stoplog.dsl.syntax;

import java.math.BigDecimal;
import java.util.ArrayList;
import java.util.List;
import org.antlr.v4.runtime.ParserRuleContext;
import org.antlr.v4.runtime.Token;
import org.antlr.v4.runtime.tree.TerminalNode;
import org.jspecify.annotations.Nullable;
import stoplog.diag.Code;
import stoplog.diag.Diagnostic;
import stoplog.dsl.tree.Declaration;
import stoplog.dsl.tree.Declaration.LogicItem;
import stoplog.dsl.tree.Declaration.PanelItem;
import stoplog.dsl.tree.Quantity;
import stoplog.dsl.tree.Window;
import stoplog.dsl.tree.Word;
import stoplog.source.Span;

/** Makes our own tree of what ANTLR parsed. Entries with an error are left out; they were told. */
final class TreeBuilder {
  private final Offsets offsets;
  private final Recovery recovery;
  private final List<Diagnostic> diagnostics;
  private final ExpressionBuilder expressions;

  TreeBuilder(Offsets offsets, Recovery recovery, List<Diagnostic> diagnostics) {
    this.offsets = offsets;
    this.recovery = recovery;
    this.diagnostics = diagnostics;
    this.expressions = new ExpressionBuilder(this);
  }

  /** Whether an entry was read to its end; if not, that was told. */
  boolean isWhole(ParserRuleContext entry) {
    return entry.exception == null && !recovery.isSpoiled(entry);
  }

  Declaration declaration(PlantParser.DeclarationContext d) {
    if (d.header() != null) {
      return new Declaration.Header(text(d.header().STRING()), span(d));
    } else if (d.reacts() != null) {
      TerminalNode coincident = d.reacts().NUMBER();
      return new Declaration.Reacts(
          quantity(d.reacts().quantity()), coincident == null ? null : count(coincident), span(d));
    } else if (d.powerMayFail() != null) {
      return new Declaration.PowerMayFail(span(d));
    } else if (d.equipment() != null) {
      return equipment(d.equipment());
    } else if (d.condition() != null) {
      PlantParser.ConditionContext c = d.condition();
      return new Declaration.Condition(
          word(c.name()),
          text(c.STRING()),
          c.expression() == null ? null : expressions.of(c.expression()),
          span(c));
    } else if (d.level() != null) {
      return level(d.level());
    } else if (d.switchInstrument() != null) {
      PlantParser.SwitchInstrumentContext s = d.switchInstrument();
      return new Declaration.Switch(
          word(s.TAG()),
          text(s.STRING()),
          expressions.of(s.expression()),
          s.window() == null ? null : window(s.window()),
          span(s));
    } else if (d.analyser() != null) {
      return analyser(d.analyser());
    } else if (d.panel() != null) {
      return panel(d.panel());
    } else if (d.logic() != null) {
      return logic(d.logic());
    }
    return new ClaimBuilder(this, expressions).claim(d);
  }

  private Declaration equipment(PlantParser.EquipmentContext e) {
    var members = new ArrayList<Declaration.Member>();
    if (e.equipmentBlock() != null) {
      separated(e.equipmentBlock().member());
      for (PlantParser.MemberContext m : e.equipmentBlock().member()) {
        if (isWhole(m)) {
          member(m, members);
        }
      }
    }
    return new Declaration.Equipment(
        word(e.kind), word(e.TAG()), text(e.STRING()), e.byHand() != null, members, span(e));
  }

  private void member(PlantParser.MemberContext m, List<Declaration.Member> members) {
    if (m.fails() != null) {
      members.add(new Declaration.Fails(word(m.fails().state()), span(m)));
    } else if (m.timing() != null) {
      members.add(
          new Declaration.Timing(word(m.timing().NAME()), window(m.timing().window()), span(m)));
    } else {
      for (PlantParser.FeedbackContext f : m.proves().feedback()) {
        members.add(new Declaration.Proves(word(f.state()), word(f.TAG()), span(f)));
      }
    }
  }

  private Declaration level(PlantParser.LevelContext l) {
    var movements = new ArrayList<Declaration.Movement>();
    var starts = new ArrayList<Quantity>();
    separated(l.levelBlock().levelMember());
    for (PlantParser.LevelMemberContext m : l.levelBlock().levelMember()) {
      if (!isWhole(m)) {
        continue;
      }
      if (m.startsAt() != null) {
        starts.add(quantity(m.startsAt().quantity()));
      } else {
        PlantParser.MovementContext v = m.movement();
        movements.add(
            new Declaration.Movement(
                plain(v.number(0)),
                plain(v.number(1)),
                window(v.window()),
                expressions.of(v.expression()),
                span(v)));
      }
    }
    return new Declaration.Level(
        word(l.TAG()), text(l.STRING()), word(l.unit()), movements, starts, span(l));
  }

  private Declaration analyser(PlantParser.AnalyserContext a) {
    PlantParser.SideContext s = a.side();
    Declaration.Side side =
        s == null
            ? null
            : new Declaration.Side(
                s.ABOVE() != null,
                quantity(s.quantity()),
                window(s.window()),
                expressions.of(s.expression()),
                span(s));
    return new Declaration.Analyser(word(a.TAG()), text(a.STRING()), word(a.unit()), side, span(a));
  }

  private Declaration panel(PlantParser.PanelContext p) {
    var items = new ArrayList<PanelItem>();
    separated(p.panelBlock().panelItem());
    for (PlantParser.PanelItemContext i : p.panelBlock().panelItem()) {
      if (!isWhole(i)) {
        continue;
      }
      if (i.selector() != null) {
        var names = new ArrayList<Word>();
        i.selector().name().forEach(n -> names.add(word(n)));
        Word name = names.removeFirst();
        items.add(new Declaration.Selector(name, text(i.selector().STRING()), names, span(i)));
      } else if (i.setpoint() != null) {
        PlantParser.SetpointContext s = i.setpoint();
        items.add(
            new Declaration.Setpoint(
                word(s.name()),
                text(s.STRING()),
                quantity(s.quantity()),
                window(s.window()),
                span(s)));
      } else {
        boolean hold = i.buttons().HOLD_BUTTON() != null;
        for (PlantParser.ButtonContext b : i.buttons().button()) {
          items.add(new Declaration.Button(word(b.name()), text(b.STRING()), hold, span(b)));
        }
      }
    }
    return new Declaration.Panel(items, span(p));
  }

  private Declaration logic(PlantParser.LogicContext l) {
    var items = new ArrayList<LogicItem>();
    separated(l.logicBlock().logicItem());
    for (PlantParser.LogicItemContext i : l.logicBlock().logicItem()) {
      if (!isWhole(i)) {
        continue;
      }
      if (i.latch() != null) {
        PlantParser.LatchContext x = i.latch();
        items.add(
            new Declaration.Latch(
                word(x.name()),
                text(x.STRING()),
                x.RETAINED() != null,
                expressions.of(x.setBy),
                x.guard == null ? null : expressions.of(x.guard),
                expressions.of(x.clearedBy),
                x.dominance() != null && x.dominance().SET() != null,
                span(x)));
      } else if (i.signal() != null) {
        PlantParser.SignalContext s = i.signal();
        items.add(
            new Declaration.Signal(
                word(s.name()), text(s.STRING()), expressions.of(s.expression()), span(s)));
      } else {
        items.add(command(i.command()));
      }
    }
    return new Declaration.Logic(items, span(l));
  }

  private Declaration.Command command(PlantParser.CommandContext c) {
    var inhibits = new ArrayList<Declaration.Inhibit>();
    if (c.commandBlock() != null) {
      separated(c.commandBlock().inhibit());
      for (PlantParser.InhibitContext i : c.commandBlock().inhibit()) {
        if (isWhole(i)) {
          inhibits.add(inhibit(i));
        }
      }
    }
    return new Declaration.Command(
        word(c.VERB()), word(c.TAG()), expressions.of(c.expression()), inhibits, span(c));
  }

  private Declaration.Inhibit inhibit(PlantParser.InhibitContext i) {
    stoplog.model.Inhibit.Kind kind =
        i.PERMISSIVE() != null
            ? stoplog.model.Inhibit.Kind.PERMISSIVE
            : i.INTERLOCK() != null
                ? stoplog.model.Inhibit.Kind.INTERLOCK
                : stoplog.model.Inhibit.Kind.TRIP;
    return new Declaration.Inhibit(
        kind,
        text(i.STRING()),
        expressions.of(i.expression()),
        i.resetBy() == null ? null : expressions.of(i.resetBy().expression()),
        span(i));
  }

  /** Entries of a block stand on lines of their own or have a semicolon between them. */
  private void separated(List<? extends ParserRuleContext> entries) {
    for (int i = 1; i < entries.size(); i++) {
      ParserRuleContext before = entries.get(i - 1);
      ParserRuleContext entry = entries.get(i);
      boolean apart =
          before.exception != null
              || entry.exception != null
              || before.getStop().getLine() < entry.getStart().getLine()
              || before.getStop().getTokenIndex() + 1 < entry.getStart().getTokenIndex();
      if (!apart) {
        diagnostics.add(
            Diagnostic.of(
                    Code.NOT_SEPARATED,
                    offsets.span(entry.getStart(), entry.getStart()),
                    "two entries stand on one line without a semicolon")
                .withLabel("begins a new entry")
                .withFix("; " + entry.getStart().getText() + " ..."));
      }
    }
  }

  Window window(PlantParser.WindowContext w) {
    return new Window(
        quantity(w.quantity(0)), w.quantity().size() < 2 ? null : quantity(w.quantity(1)), span(w));
  }

  Quantity quantity(PlantParser.QuantityContext q) {
    return new Quantity(value(q.number()), q.UNIT() == null ? null : word(q.UNIT()), span(q));
  }

  private Quantity plain(PlantParser.NumberContext n) {
    return new Quantity(value(n), null, span(n));
  }

  Quantity count(TerminalNode number) {
    return new Quantity(new BigDecimal(number.getText()), null, span(number));
  }

  private static BigDecimal value(PlantParser.NumberContext n) {
    return new BigDecimal(n.getText());
  }

  Word word(TerminalNode n) {
    return word(n.getSymbol());
  }

  private Word word(Token t) {
    return new Word(t.getText(), offsets.span(t, t));
  }

  /** Several tokens as one word, one space between them: {@code at rest}. */
  Word word(ParserRuleContext c) {
    var joined = new StringBuilder();
    for (int i = 0; i < c.getChildCount(); i++) {
      joined.append(i == 0 ? "" : " ").append(c.getChild(i).getText());
    }
    return new Word(joined.toString(), span(c));
  }

  /** What stands between the quotes; the empty string for none. */
  static String text(@Nullable TerminalNode string) {
    return string == null ? "" : string.getText().substring(1, string.getText().length() - 1);
  }

  Span span(ParserRuleContext c) {
    return offsets.span(c.getStart(), c.getStop());
  }

  private Span span(TerminalNode n) {
    return offsets.span(n.getSymbol(), n.getSymbol());
  }
}
