package stoplog.dsl.rules;

import java.util.List;
import stoplog.diag.Diagnostic;
import stoplog.dsl.resolve.ResolvedPlant;
import stoplog.dsl.tree.PlantTree;

/**
 * Something a plant must keep to. A rule about what is missing looks at {@link PlantTree#isWhole}
 * first: what is missing may stand in a passage that could not be read.
 */
interface Rule {
  void check(PlantTree tree, ResolvedPlant plant, List<Diagnostic> diagnostics);
}
