package stoplog.dsl.lower;

import java.util.ArrayList;
import java.util.List;
import java.util.Set;
import stoplog.model.Assignment;
import stoplog.model.Expr;
import stoplog.model.FieldChange.Cause;
import stoplog.model.Role;
import stoplog.model.Variable;
import stoplog.source.Span;

/** Power that fails and returns: commands drop, memory that is not retained is lost. */
final class PowerLowering {
  private final Parts parts;
  private final Span origin;
  private final int power;

  PowerLowering(Parts parts, Span origin) {
    this.parts = parts;
    this.origin = origin;
    this.power =
        parts.variable("power", Role.POWER, List.of("off", "on"), 2, "power supply", origin);
  }

  Expr powered() {
    return Expr.is(power, 1);
  }

  /** After all variables of the controller are known. */
  void lower(Set<Integer> retained, List<Integer> buttons) {
    List<Assignment> lost = new ArrayList<>();
    lost.add(Parts.set(power, 0, origin));
    for (Variable v : parts.variables) {
      boolean forgets =
          switch (v.role()) {
            case COMMAND, TIMER -> true;
            case MEMORY -> !retained.contains(v.id());
            case PANEL -> buttons.contains(v.id());
            case EQUIPMENT, PROCESS, INSTRUMENT, FAULT, POWER, MONITOR -> false;
          };
      if (forgets) {
        // Commands, timers and buttons begin at 0; a memory at what it starts with.
        lost.add(Parts.set(v.id(), Long.numberOfTrailingZeros(v.initial()), origin));
      }
    }
    parts.change("power fails", Cause.POWER, powered(), null, lost, origin);
    parts.change(
        "power returns",
        Cause.POWER,
        Expr.not(powered()),
        null,
        List.of(Parts.set(power, 1, origin)),
        origin);
  }
}
