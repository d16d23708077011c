package stoplog.dsl.rules;

import java.util.List;
import stoplog.diag.Code;
import stoplog.diag.Diagnostic;
import stoplog.dsl.resolve.ResolvedPlant;
import stoplog.dsl.resolve.ResolvedPlant.LevelProcess;
import stoplog.dsl.tree.PlantTree;

/** A level keeps one bit for each of its movements, and five fit. */
final class FewMovements implements Rule {
  /** More would give the variable that tells which are active more than its 64 values. */
  private static final int MAX = 5;

  @Override
  public void check(PlantTree tree, ResolvedPlant plant, List<Diagnostic> diagnostics) {
    for (LevelProcess l : plant.levels()) {
      if (l.movements().size() > MAX) {
        diagnostics.add(
            Diagnostic.of(
                    Code.TOO_MANY_MOVEMENTS,
                    l.movements().get(MAX).span(),
                    l.level().name() + " has more than " + MAX + " movements")
                .withLabel("one too many")
                .withFix("one movement while the one or the other runs"));
      }
    }
  }
}
