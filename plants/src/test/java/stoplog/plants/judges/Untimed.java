package stoplog.plants.judges;

import java.util.ArrayList;
import java.util.List;
import stoplog.model.Claim;
import stoplog.model.Controller;
import stoplog.model.Expr;
import stoplog.model.FieldChange;
import stoplog.model.Model;

/**
 * A model with its times taken out: no clock runs, no limit binds, whatever waited for a window may
 * happen as soon as its clock would run, and the controller reacts at once. Claims ask for their
 * condition for longer than an instant. It is another plant than the one it was made of; judges and
 * search are asked about this one alike.
 */
public final class Untimed {
  private Untimed() {}

  public static Model of(Model model) {
    List<FieldChange> changes = new ArrayList<>();
    for (FieldChange c : model.changes()) {
      Expr guard =
          c.timing() == null
              ? c.guard()
              : Expr.all(c.guard(), model.clocks().get(c.timing().clock()).running());
      changes.add(
          new FieldChange(c.id(), c.text(), c.cause(), guard, null, c.effects(), c.origin()));
    }
    Controller timed = model.controller();
    var controller =
        new Controller(0, timed.coincident(), timed.powered(), timed.program());
    List<Claim> claims =
        model.claims().stream()
            .filter(c -> c.kind() != Claim.Kind.ALWAYS_CAN)
            .map(Untimed::forAnInstant)
            .toList();
    return new Model(
        model.name(),
        model.quantumMicros(),
        model.variables(),
        model.definitions(),
        List.of(),
        changes,
        controller,
        model.start(),
        model.reactions(),
        claims,
        model.inhibits(),
        model.indications());
  }

  private static Claim forAnInstant(Claim c) {
    return new Claim(
        c.id(),
        c.text(),
        c.kind(),
        c.condition(),
        0,
        c.monitors(),
        c.faultBudget(),
        c.faultsOf(),
        c.basis(),
        c.origin());
  }
}
