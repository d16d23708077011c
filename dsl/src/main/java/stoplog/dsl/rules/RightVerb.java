package stoplog.dsl.rules;

import java.util.List;
import stoplog.diag.Code;
import stoplog.diag.Diagnostic;
import stoplog.dsl.resolve.ResolvedPlant;
import stoplog.dsl.resolve.ResolvedPlant.Drive;
import stoplog.dsl.resolve.ResolvedPlant.Statement;
import stoplog.dsl.tree.PlantTree;

/** Pumps are run and valves are opened: each kind has one word for its command. */
final class RightVerb implements Rule {
  @Override
  public void check(PlantTree tree, ResolvedPlant plant, List<Diagnostic> diagnostics) {
    for (Statement s : plant.program()) {
      if (s instanceof Drive d && !d.verb().text().equals(d.equipment().kind().verb())) {
        String verb = d.equipment().kind().verb();
        diagnostics.add(
            Diagnostic.of(
                    Code.WRONG_VERB,
                    d.verb().span(),
                    "the command of "
                        + d.equipment().kind().withArticle()
                        + " is not `"
                        + d.verb()
                        + "`")
                .withFix(verb + " " + d.equipment().name() + " when ..."));
      }
    }
  }
}
