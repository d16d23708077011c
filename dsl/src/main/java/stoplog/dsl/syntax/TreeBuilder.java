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

  /** Adds what a declaration says to {@code declarations}. */
  void declare(PlantParser.DeclarationContext d, List<Declaration> declarations) {
    if (d.template() != null || d.use() != null || d.instances() != null || d.include() != null) {
      diagnostics.add(
          Diagnostic.of(
              Code.NOT_SUPPORTED,
              span(d),
              "`" + d.getStart().getText() + "` is not supported yet"));
      return;
    }
    declarations.add(declaration(d));
  }

  private Declaration declaration(PlantParser.DeclarationContext d) {
    if (d.header() != null) {
      return new Declaration.Header(text(d.header().STRING()), span(d));
    } else if (d.reacts() != null) {
      TerminalNode coincident = d.reacts().NUMBER();
      return new Declaration.Reacts(
          quantity(d.reacts().quantity()), coincident == null ? null : count(coincident), span(d));
    } else if (d.powerMayFail() != null) {
      return new Declaration.PowerMayFail(span(d));
    } else if (d.kind() != null) {
      return new KindBuilder(this).kind(d.kind());
    } else if (d.equipment() != null || d.pipe() != null) {
      return new EquipmentBuilder(this, expressions).of(d);
    } else if (d.panel() != null) {
      return new PanelBuilder(this).panel(d.panel());
    } else if (d.logic() != null) {
      return new LogicBuilder(this, expressions).logic(d.logic());
    } else if (d.scenario() != null) {
      return new ScenarioBuilder(this, expressions).scenario(d.scenario());
    } else if (d.hazard() != null || d.requirement() != null) {
      return new ClaimBuilder(this, expressions).claim(d);
    }
    return new ProcessBuilder(this, expressions).of(d);
  }

  /** Entries of a block stand on lines of their own or have a semicolon between them. */
  void separated(List<? extends ParserRuleContext> entries) {
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
    if (q.HOLE() != null) {
      diagnostics.add(
          Diagnostic.of(Code.NOT_SUPPORTED, span(q), "`" + q.getText() + "` is not supported yet"));
      return new Quantity(BigDecimal.ONE, null, span(q));
    }
    return new Quantity(value(q.number()), q.UNIT() == null ? null : word(q.UNIT()), span(q));
  }

  Quantity plain(PlantParser.NumberContext n) {
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

  Word word(Token t) {
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

  Declaration.PipeEnd pipeEnd(PlantParser.PipeEndContext e) {
    int first = e.TAG() == null ? 1 : 0;
    Word name = e.TAG() == null ? word(e.name(0)) : word(e.TAG());
    Word port = e.name().size() > first ? word(e.name(first)) : null;
    return new Declaration.PipeEnd(name, port, span(e));
  }

  /** Each of some words. */
  List<Word> words(List<? extends ParserRuleContext> contexts) {
    var list = new ArrayList<Word>(contexts.size());
    for (ParserRuleContext c : contexts) {
      list.add(word(c));
    }
    return list;
  }

  /** Each of some tags. */
  List<Word> tags(List<TerminalNode> tokens) {
    var list = new ArrayList<Word>(tokens.size());
    for (TerminalNode t : tokens) {
      list.add(word(t));
    }
    return list;
  }

  private Span span(TerminalNode n) {
    return offsets.span(n.getSymbol(), n.getSymbol());
  }
}
