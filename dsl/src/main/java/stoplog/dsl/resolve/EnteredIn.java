package stoplog.dsl.resolve;

import java.util.List;
import org.jspecify.annotations.Nullable;
import stoplog.diag.Code;
import stoplog.diag.Diagnostic;
import stoplog.dsl.tree.Declaration;
import stoplog.dsl.tree.Quantity;
import stoplog.dsl.tree.Window;
import stoplog.dsl.tree.Word;

/**
 * A setpoint whose panel shows another unit than the text uses. The panel is taken to hold whole
 * numbers of its unit, so the default and both ends of the window must be such: a panel that rounds
 * them has another window than the one that is proved.
 */
final class EnteredIn {
  private final Quantities quantities;
  private final List<Diagnostic> diagnostics;

  EnteredIn(Quantities quantities, List<Diagnostic> diagnostics) {
    this.quantities = quantities;
    this.diagnostics = diagnostics;
  }

  /**
   * @param entered the unit of the panel
   */
  void check(Declaration.Setpoint s, Symbol.Setpoint symbol, Word entered) {
    Unit unit = quantities.unit(entered);
    if (unit == null) {
      return;
    }
    if (!unit.measures(symbol.unit().dimension())) {
      diagnostics.add(
          Diagnostic.of(
                  Code.WRONG_UNIT,
                  entered.span(),
                  "`" + unit + "` does not measure " + symbol.unit().dimension())
              .withLabel("needs " + String.join(", ", Unit.symbolsOf(symbol.unit().dimension())))
              .withWhy(s.name() + " is " + symbol.unit().dimension() + " in " + symbol.unit()));
      return;
    }
    Window w = s.window();
    Quantity high = w.high();
    Word highUnit = high == null ? null : high.unit();
    whole(s.standard(), s.standard().unit(), "the default", unit);
    whole(w.low(), w.low().unit() == null ? highUnit : w.low().unit(), "the lower end of the window", unit);
    if (high != null) {
      whole(high, highUnit, "the upper end of the window", unit);
    }
  }

  private void whole(Quantity q, @Nullable Word unitWord, String what, Unit entered) {
    Unit written = unitWord == null ? null : Unit.named(unitWord.text());
    if (written == null || !written.measures(entered.dimension())) {
      return; // Told where the value itself is read.
    }
    Ratio shown = entered.fromBase(written.toBase(Ratio.of(q.value())));
    if (!shown.isWhole()) {
      diagnostics.add(
          Diagnostic.of(
                  Code.NOT_AS_ENTERED, q.span(), what + " cannot be entered in " + entered)
              .withLabel("is " + shown + " " + entered)
              .withWhy("the panel takes whole numbers, and would round this one")
              .withFix("a whole number of " + entered + ", or `entered in` a finer unit"));
    }
  }
}
