package stoplog.dsl.rules;

import java.util.List;
import stoplog.diag.Code;
import stoplog.diag.Diagnostic;
import stoplog.dsl.resolve.ResolvedPlant;
import stoplog.dsl.tree.PlantTree;
import stoplog.source.Span;

/** {@code without power failure} says something only where power may fail. */
final class PowerCanFail implements Rule {
  @Override
  public void check(PlantTree tree, ResolvedPlant plant, List<Diagnostic> diagnostics) {
    if (plant.power() != null || !tree.isWhole()) {
      return;
    }
    for (ResolvedPlant.Claim c : plant.claims()) {
      Span stated = c.under().withoutPowerFailure();
      if (stated != null) {
        diagnostics.add(
            Diagnostic.of(Code.NEVER_WITHOUT_POWER, stated, "power never fails in this plant")
                .withWhy("every claim of this plant is decided without power failure")
                .withFix("leave this out, or write `power may fail` at the top of the plant"));
      }
    }
  }
}
