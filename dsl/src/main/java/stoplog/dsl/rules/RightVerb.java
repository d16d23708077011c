package stoplog.dsl.rules;

import java.util.List;
import stoplog.diag.Code;
import stoplog.diag.Diagnostic;
import stoplog.dsl.kinds.Kind;
import stoplog.dsl.resolve.ResolvedPlant;
import stoplog.dsl.resolve.Statement;
import stoplog.dsl.resolve.Statement.Drive;
import stoplog.dsl.resolve.Symbol;
import stoplog.dsl.tree.PlantTree;

/** Pumps are run and valves are opened: each kind has its own words for its commands, or none. */
final class RightVerb implements Rule {
  @Override
  public void check(PlantTree tree, ResolvedPlant plant, List<Diagnostic> diagnostics) {
    for (Statement s : plant.program()) {
      if (s instanceof Drive d && d.equipment().kind().command(d.verb().text()) < 0) {
        diagnostics.add(wrong(d, d.equipment()));
      }
    }
  }

  private static Diagnostic wrong(Drive d, Symbol.Equipment e) {
    List<String> verbs = e.kind().commands().stream().map(Kind.Command::verb).toList();
    if (verbs.isEmpty()) {
      return Diagnostic.of(
              Code.NO_COMMAND, d.tagSpan(), e.kind().withArticle() + " takes no command")
          .withRelated(e.name().span(), "declared here")
          .withWhy("the process moves it, as " + e.name() + " says")
          .withFix("leave this command out");
    }
    var ways = verbs.stream().map(v -> v + " " + e.name() + " when ...").toList();
    return Diagnostic.of(
            Code.WRONG_VERB,
            d.verb().span(),
            (verbs.size() == 1 ? "the command of " : "no command of ")
                + e.kind().withArticle()
                + (verbs.size() == 1 ? " is not `" : " is `")
                + d.verb()
                + "`")
        .withFix(String.join(", or ", ways));
  }
}
