package stoplog.dsl.resolve;

import java.util.LinkedHashSet;
import java.util.List;
import java.util.Set;
import org.jspecify.annotations.Nullable;
import stoplog.diag.Code;
import stoplog.diag.Diagnostic;
import stoplog.dsl.tree.Declaration;
import stoplog.dsl.tree.LogicItem;
import stoplog.dsl.tree.Quantity;
import stoplog.dsl.tree.Window;
import stoplog.dsl.tree.Word;

/**
 * First pass: gives every declared name its symbol, so that the second may read them in any order.
 */
final class Declarer {
  private final Scope scope;
  private final Quantities quantities;
  private final List<Diagnostic> diagnostics;
  private final EquipmentDeclarer equipment;
  private final LogicDeclarer logic;

  Declarer(Scope scope, Quantities quantities, Kinds kinds, List<Diagnostic> diagnostics) {
    this.scope = scope;
    this.quantities = quantities;
    this.diagnostics = diagnostics;
    this.equipment = new EquipmentDeclarer(scope, quantities, kinds, diagnostics);
    this.logic = new LogicDeclarer(scope, quantities, diagnostics);
  }

  void declare(Declaration declaration) {
    switch (declaration) {
      case Declaration.Equipment e -> equipment.declare(e);
      case Declaration.Condition c ->
          scope.add(new Symbol.Condition(c.name(), c.text(), false));
      case Declaration.Derived d -> scope.add(new Symbol.Condition(d.name(), d.text(), true));
      case Declaration.Level l -> {
        Unit unit = unit(l.unit(), l.tag());
        if (unit != null) {
          scope.add(new Symbol.Level(l.tag(), l.text(), unit));
        }
      }
      case Declaration.Switch s -> scope.add(QualityResolver.wired(s, diagnostics));
      case Declaration.Analyser a -> {
        Unit unit = unit(a.unit(), a.tag());
        if (unit != null) {
          scope.add(new Symbol.Analyser(a.tag(), a.text(), unit));
        }
      }
      case Declaration.Panel p -> p.items().forEach(this::panelItem);
      case Declaration.Logic l -> l.items().forEach(this::logicItem);
      case Declaration.Hazard h -> scope.add(new Symbol.Claim(h.id(), h.text()));
      case Declaration.Requirement r -> scope.add(new Symbol.Claim(r.id(), r.text()));
      case Declaration.KindOf k -> {}
      case Declaration.Pipe p -> {}
      case Declaration.Count c -> {
        Symbol.Count count = ProcessResolver.count(c, diagnostics);
        if (count == null) {
          scope.forgive(c.name().text());
        } else {
          scope.add(count);
        }
      }
      case Declaration.Transmitter t -> {
        Unit unit = unit(t.unit(), t.tag());
        if (unit != null) {
          scope.add(new Symbol.Transmitter(t.tag(), t.text(), unit));
        }
      }
      case Declaration.Scenario s -> scope.add(new Symbol.Scenario(s.id(), s.text()));
      case Declaration.Header h -> {}
      case Declaration.Reacts r -> {}
      case Declaration.PowerMayFail p -> {}
    }
  }

  /** The unit of a gauge; without one the gauge is not declared, and that is no second error. */
  private @Nullable Unit unit(Word word, Word gauge) {
    Unit unit = quantities.unit(word);
    if (unit == null) {
      scope.forgive(gauge.text());
    }
    return unit;
  }

  private void panelItem(Declaration.PanelItem item) {
    switch (item) {
      case Declaration.Selector s -> {
        Set<String> positions = new LinkedHashSet<>();
        for (Word p : s.positions()) {
          if (!positions.add(p.text())) {
            diagnostics.add(
                Diagnostic.of(Code.STATED_TWICE, p.span(), "position `" + p + "` is stated twice"));
          }
        }
        if (positions.size() > stoplog.model.Variable.MAX_VALUES) {
          diagnostics.add(
              Diagnostic.of(Code.NOT_A_COUNT, s.span(), "a selector has at most 64 positions"));
        }
        scope.add(new Symbol.Selector(s.name(), s.text(), List.copyOf(positions)));
      }
      case Declaration.Button b -> scope.add(new Symbol.Button(b.name(), b.text(), b.hold()));
      case Declaration.Setpoint s -> setpoint(s);
      case Declaration.Key k -> scope.add(new Symbol.Key(k.name(), k.text()));
    }
  }

  private void setpoint(Declaration.Setpoint s) {
    Symbol.Setpoint symbol = window(s);
    if (symbol == null) {
      scope.forgive(s.name().text());
      return;
    }
    scope.add(symbol);
    Word entered = s.enteredIn();
    if (entered != null) {
      new EnteredIn(quantities, diagnostics).check(s, symbol, entered);
    }
    Unit unit = symbol.unit();
    Ratio standard = quantities.value(s.standard(), s.standard().unit(), unit, s.name().text());
    boolean outside =
        standard != null
            && (standard.compareTo(symbol.low()) < 0 || standard.compareTo(symbol.high()) > 0);
    if (outside) {
      diagnostics.add(
          Diagnostic.of(
                  Code.OUTSIDE_WINDOW,
                  s.standard().span(),
                  "the default of `" + s.name() + "` is outside its window")
              .withRelated(s.window().span(), "the window")
              .withWhy("an operator could never set it back"));
    }
  }

  private Symbol.@Nullable Setpoint window(Declaration.Setpoint s) {
    Window w = s.window();
    Quantity high = w.high();
    if (high == null) {
      quantities.notAWindow(w);
      return null;
    }
    Word unitWord = high.unit();
    if (unitWord == null) {
      diagnostics.add(
          Diagnostic.of(Code.NO_UNIT, high.span(), "this window has no unit")
              .withLabel("needs a unit behind its second number")
              .withFix(w.span().text() + " s, or another unit"));
      return null;
    }
    Unit unit = quantities.unit(unitWord);
    if (unit == null) {
      return null;
    }
    if (unit.measures(Unit.TIME)) {
      Long least =
          quantities.timeOrZero(
              w.low(), w.low().unit() == null ? unitWord : w.low().unit(), "time");
      Long most = quantities.timeOrZero(high, unitWord, "time");
      if (least == null || most == null) {
        return null;
      }
    }
    Ratio least =
        quantities.value(
            w.low(), w.low().unit() == null ? unitWord : w.low().unit(), unit, s.name().text());
    Ratio most = quantities.value(high, unitWord, unit, s.name().text());
    if (least == null || most == null) {
      return null;
    }
    if (least.compareTo(most) > 0) {
      quantities.upsideDown(w.span());
      return null;
    }
    return new Symbol.Setpoint(s.name(), s.text(), unit, least, most, w.span());
  }

  private void logicItem(LogicItem item) {
    switch (item) {
      case LogicItem.Latch l -> scope.add(new Symbol.Latch(l.name(), l.text(), l.retained()));
      case LogicItem.Signal s -> scope.add(new Symbol.Signal(s.name(), s.text()));
      case LogicItem.Command c -> {}
      case LogicItem.Assign a -> {}
      case LogicItem.Memory m -> logic.memory(m);
      case LogicItem.Counter c -> logic.counter(c);
      case LogicItem.Duty d -> logic.duty(d);
      case LogicItem.Alarm a -> logic.alarm(a);
      case LogicItem.AlarmGroup g -> logic.group(g);
      case LogicItem.Sequence s -> ChartResolver.declare(s, scope);
    }
  }
}
