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
  private final Parsed in;
  private final Offsets offsets;
  private final Recovery recovery;
  private final List<Diagnostic> diagnostics;
  private final Filler filler;
  private final Templates templates;
  private final ExpressionBuilder expressions;

  /**
   * @param offsets of the file, or of a view of it
   * @param filling what fills its open parts
   */
  TreeBuilder(Parsed in, Offsets offsets, Filling filling, Templates templates) {
    this.in = in;
    this.offsets = offsets;
    this.recovery = in.recovery();
    this.diagnostics = in.found();
    this.filler = new Filler(filling, diagnostics);
    this.templates = templates;
    this.expressions = new ExpressionBuilder(this);
  }

  Filler filler() {
    return filler;
  }

  ExpressionBuilder expressions() {
    return expressions;
  }

  /** Whether an entry was read to its end; if not, that was told. */
  boolean isWhole(ParserRuleContext entry) {
    return entry.exception == null && !recovery.isSpoiled(entry);
  }

  /** Adds what a declaration says to {@code declarations}. */
  void declare(PlantParser.DeclarationContext d, List<Declaration> declarations) {
    if (d.use() != null) {
      templates.use(d.use(), in, this, declarations);
    } else if (d.instances() != null) {
      templates.instances(d.instances(), in, this, declarations);
    } else if (d.template() == null && d.include() == null) {
      declarations.add(declaration(d));
    } else if (filler.filling().template() != null) {
      diagnostics.add(
          Diagnostic.of(
                  Code.UNEXPECTED,
                  offsets.span(d.getStart(), d.getStart()),
                  "`" + d.getStart().getText() + "` does not fit into a template")
              .withFix("put it outside the template"));
    }
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
    separated(entries, offsets, diagnostics);
  }

  static void separated(
      List<? extends ParserRuleContext> entries, Offsets offsets, List<Diagnostic> diagnostics) {
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
    if (w.quantity().size() == 1 && w.quantity(0).HOLE() != null) {
      String hole = w.getText();
      Filling.Value v = filler.value(hole, span(w));
      if (v != null && v.window() != null) {
        return v.window();
      } else if (v != null) {
        filler.misfit(hole, v, "a window such as 1..2 s", span(w));
      }
      return new Window(new Quantity(BigDecimal.ONE, null, span(w)), null, span(w));
    }
    return new Window(
        quantity(w.quantity(0)), w.quantity().size() < 2 ? null : quantity(w.quantity(1)), span(w));
  }

  Quantity quantity(PlantParser.QuantityContext q) {
    if (q.HOLE() != null) {
      Filling.Value v = filler.value(q.getText(), span(q));
      Window w = v == null ? null : v.window();
      if (w != null && w.high() == null) {
        return w.low();
      } else if (v != null) {
        filler.misfit(q.getText(), v, "one value", span(q));
      }
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
    Span at = offsets.span(t, t);
    String text = t.getText();
    boolean tag = t.getType() == PlantParser.TAG;
    boolean open = Filler.isOpen(text) && (tag || t.getType() == PlantParser.NAME);
    return new Word(
        open ? filler.word(text, tag ? Filler.Shape.TAG : Filler.Shape.NAME, at) : text, at);
  }

  /** Several tokens as one word, one space between them: {@code at rest}. */
  Word word(ParserRuleContext c) {
    var joined = new StringBuilder();
    for (int i = 0; i < c.getChildCount(); i++) {
      joined.append(i == 0 ? "" : " ").append(c.getChild(i).getText());
    }
    String text = joined.toString();
    boolean subject = c instanceof PlantParser.SubjectContext;
    Filler.Shape shape =
        !subject
            ? Filler.Shape.NAME
            : text.startsWith("{") ? Filler.Shape.EITHER : shape(text);
    return new Word(Filler.isOpen(text) ? filler.word(text, shape, span(c)) : text, span(c));
  }

  private static Filler.Shape shape(String text) {
    return Character.isUpperCase(text.charAt(0)) ? Filler.Shape.TAG : Filler.Shape.NAME;
  }

  /** What stands between the quotes; the empty string for none. */
  String text(@Nullable TerminalNode string) {
    return string == null
        ? ""
        : filler.text(string.getText().substring(1, string.getText().length() - 1), span(string));
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

  Span span(TerminalNode n) {
    return offsets.span(n.getSymbol(), n.getSymbol());
  }
}
