package stoplog.dsl.rules;

import java.util.List;
import java.util.Set;
import stoplog.diag.Code;
import stoplog.diag.Diagnostic;
import stoplog.dsl.resolve.ResolvedPlant;
import stoplog.dsl.resolve.Term;
import stoplog.dsl.tree.PlantTree;
import stoplog.model.Inhibit;

/** {@code tripped P-201} says something only if P-201 has a trip. */
final class TrippedHasTrips implements Rule {
  @Override
  public void check(PlantTree tree, ResolvedPlant plant, List<Diagnostic> diagnostics) {
    if (!tree.isWhole()) {
      return;
    }
    Set<String> withTrips = plant.guarded(Inhibit.Kind.TRIP);
    plant.eachTerm(
        t -> {
          if (t instanceof Term.Tripped r && !withTrips.contains(r.equipment().name().text())) {
            diagnostics.add(
                Diagnostic.of(Code.NO_TRIP, r.span(), r.equipment().name() + " has no trip")
                    .withRelated(r.equipment().name().span(), "declared here")
                    .withWhy("without one it is never tripped")
                    .withFix("`trip \"...\" : ...` in its command"));
          }
        });
  }
}
