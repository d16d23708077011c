package stoplog.dsl.rules;

import java.util.List;
import stoplog.diag.Code;
import stoplog.diag.Diagnostic;
import stoplog.dsl.resolve.ResolvedPlant;
import stoplog.dsl.resolve.Statement;
import stoplog.dsl.resolve.Statement.Drive;
import stoplog.dsl.tree.PlantTree;

/** Equipment moved by hand takes no command of the logic. */
final class HandNotCommanded implements Rule {
  @Override
  public void check(PlantTree tree, ResolvedPlant plant, List<Diagnostic> diagnostics) {
    for (Statement s : plant.program()) {
      if (s instanceof Drive d && d.equipment().byHand()) {
        diagnostics.add(
            Diagnostic.of(
                    Code.HAND_COMMANDED, d.tagSpan(), d.equipment().name() + " is moved by hand")
                .withLabel("takes no command")
                .withRelated(d.equipment().name().span(), "declared here")
                .withFix("leave out `by hand`, or this command"));
      }
    }
  }
}
