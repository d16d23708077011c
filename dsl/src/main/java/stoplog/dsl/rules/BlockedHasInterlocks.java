package stoplog.dsl.rules;

import java.util.List;
import java.util.Set;
import stoplog.diag.Code;
import stoplog.diag.Diagnostic;
import stoplog.dsl.resolve.ResolvedPlant;
import stoplog.dsl.resolve.Term;
import stoplog.dsl.tree.PlantTree;
import stoplog.model.Inhibit;

/** {@code blocked P-201} says something only if P-201 has an interlock. */
final class BlockedHasInterlocks implements Rule {
  @Override
  public void check(PlantTree tree, ResolvedPlant plant, List<Diagnostic> diagnostics) {
    if (!tree.isWhole()) {
      return;
    }
    Set<String> interlocked = plant.guarded(Inhibit.Kind.INTERLOCK);
    plant.eachTerm(
        t -> {
          if (t instanceof Term.Blocked b && !interlocked.contains(b.equipment().name().text())) {
            diagnostics.add(
                Diagnostic.of(
                        Code.NO_INTERLOCK, b.span(), b.equipment().name() + " has no interlock")
                    .withRelated(b.equipment().name().span(), "declared here")
                    .withWhy("without one nothing ever blocks it; a trip is asked for by `tripped`")
                    .withFix("`interlock \"...\" : ...` in its command"));
          }
        });
  }
}
