package stoplog.dsl.rules;

import java.util.List;
import stoplog.diag.Code;
import stoplog.diag.Diagnostic;
import stoplog.dsl.resolve.ResolvedPlant;
import stoplog.dsl.resolve.Statement;
import stoplog.dsl.resolve.Statement.Drive;
import stoplog.dsl.resolve.Statement.Guard;
import stoplog.dsl.tree.PlantTree;
import stoplog.model.Inhibit;

/** A trip that nothing resets stops the plant for good. */
final class TripsHaveReset implements Rule {
  @Override
  public void check(PlantTree tree, ResolvedPlant plant, List<Diagnostic> diagnostics) {
    if (!tree.isWhole() || plant.resetButton() != null) {
      return;
    }
    for (Statement s : plant.program()) {
      if (s instanceof Drive d) {
        for (Guard g : d.guards()) {
          if (g.kind() == Inhibit.Kind.TRIP && g.resetBy() == null) {
            diagnostics.add(
                Diagnostic.of(Code.NO_RESET, g.span(), "nothing resets this trip")
                    .withWhy("once tripped, " + d.equipment().name() + " could never start again")
                    .withFix("a `button reset` on the panel, or `reset by ...` behind the trip"));
          }
        }
      }
    }
  }
}
