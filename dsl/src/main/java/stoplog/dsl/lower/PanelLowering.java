package stoplog.dsl.lower;

import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Set;
import stoplog.dsl.resolve.QualityResolver;
import stoplog.dsl.resolve.Symbol;
import stoplog.model.Expr;
import stoplog.model.FieldChange.Cause;
import stoplog.model.Role;
import stoplog.source.Span;

/**
 * Selectors, keys, buttons and hold-buttons: each may be moved at any time. Setpoints are no variables.
 */
final class PanelLowering {
  private final Parts parts;
  private final Meanings meanings;
  private final Expr powered;
  private final FaultLowering faults;
  private final Map<String, Integer> touch = new LinkedHashMap<>();

  PanelLowering(Parts parts, Meanings meanings, Expr powered, FaultLowering faults) {
    this.parts = parts;
    this.meanings = meanings;
    this.powered = powered;
    this.faults = faults;
  }

  void lower(Symbol symbol) {
    String name = symbol.name().text();
    Span at = symbol.name().span();
    if (symbol instanceof Symbol.Selector s) {
      selector(s, at);
    } else if (symbol instanceof Symbol.Key k) {
      key(k, at);
    } else if (symbol instanceof Symbol.Button b && b.hold()) {
      int held = parts.flag(name, Role.PANEL, "released", "held", b.text(), at);
      Expr on = Expr.is(held, 1);
      meanings.truth(b, pressed(b, on));
      parts.change(
          name + " held", Cause.OPERATOR, Expr.not(on), null, List.of(Parts.set(held, 1, at)), at);
      parts.change(
          name + " released", Cause.OPERATOR, on, null, List.of(Parts.set(held, 0, at)), at);
    } else if (symbol instanceof Symbol.Button b) {
      int pressed = parts.flag(name, Role.PANEL, "released", "pressed", b.text(), at);
      Expr on = Expr.is(pressed, 1);
      meanings.truth(b, pressed(b, on));
      touch.put(name, pressed);
      parts.change(
          name + " pressed",
          Cause.OPERATOR,
          Expr.all(Expr.not(on), powered),
          null,
          List.of(Parts.set(pressed, 1, at)),
          at);
    }
  }

  /** What the controller sees of a button: one that is stuck is pressed for good. */
  private Expr pressed(Symbol.Button b, Expr on) {
    String name = b.name().text();
    FaultLowering.Fault fault =
        faults.declare(name, QualityResolver.faults(b), b.name().span());
    if (fault == null) {
      return on;
    }
    faults.strikes(
        fault, QualityResolver.STUCK, FaultLowering.words(name, QualityResolver.STUCK), List.of());
    Expr seen = Expr.any(on, fault.is(QualityResolver.STUCK));
    return parts.define(name + " seen", seen, b.text(), b.name().span());
  }

  /** Stays as it is turned, with or without power, and may stand either way at the start. */
  private void key(Symbol.Key k, Span at) {
    String name = k.name().text();
    int key = parts.variable(name, Role.PANEL, List.of("off", "on"), 3, k.text(), at);
    Expr on = Expr.is(key, 1);
    meanings.truth(k, on);
    for (int turned = 0; turned <= 1; turned++) {
      parts.change(
          name + (turned == 1 ? " turned on" : " turned off"),
          Cause.OPERATOR,
          turned == 1 ? Expr.not(on) : on,
          null,
          List.of(Parts.set(key, turned, at)),
          at);
    }
  }

  private void selector(Symbol.Selector s, Span at) {
    int size = s.positions().size();
    long any = -1L >>> (64 - size);
    int variable = parts.variable(s.name().text(), Role.PANEL, s.positions(), any, s.text(), at);
    meanings.selector(s, variable);
    for (int p = 0; p < size; p++) {
      parts.change(
          s.name() + " to " + s.positions().get(p),
          Cause.OPERATOR,
          Expr.not(Expr.is(variable, p)),
          null,
          List.of(Parts.set(variable, p, at)),
          at);
    }
  }

  /** The end of the scan: a touch-panel button that was pressed has been seen. */
  void endOfScan(Set<String> read) {
    touch.forEach(
        (name, variable) -> {
          if (read.contains(name)) {
            parts.program.add(Parts.set(variable, 0, parts.variables.get(variable).origin()));
          }
        });
  }

  /** The variables of the touch-panel buttons, which a power failure releases. */
  List<Integer> touchButtons() {
    return new ArrayList<>(touch.values());
  }
}
