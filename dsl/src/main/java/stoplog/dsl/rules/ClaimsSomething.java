package stoplog.dsl.rules;

import java.util.List;
import stoplog.diag.Code;
import stoplog.diag.Diagnostic;
import stoplog.dsl.resolve.ResolvedPlant;
import stoplog.dsl.tree.Declaration;
import stoplog.dsl.tree.PlantTree;
import stoplog.source.Span;

/** A plant without a hazard or requirement gives the checker nothing to decide. */
final class ClaimsSomething implements Rule {
  @Override
  public void check(PlantTree tree, ResolvedPlant plant, List<Diagnostic> diagnostics) {
    boolean claims = false;
    for (Declaration d : tree.declarations()) {
      claims |=
          d instanceof Declaration.Hazard
              || d instanceof Declaration.Requirement
              || d instanceof Declaration.Scenario;
    }
    if (tree.isWhole() && !claims) {
      int end = tree.file().text().length();
      diagnostics.add(
          Diagnostic.of(Code.NO_CLAIMS, new Span(tree.file(), end, end), "the plant claims nothing")
              .withWhy("there is nothing to decide")
              .withFix("`hazard H-01 \"what must never be\" : ...`"));
    }
  }
}
