package stoplog.dsl.rules;

import java.util.HashSet;
import java.util.List;
import java.util.Set;
import stoplog.diag.Code;
import stoplog.diag.Diagnostic;
import stoplog.dsl.resolve.ResolvedPlant;
import stoplog.dsl.resolve.ResolvedPlant.Drive;
import stoplog.dsl.resolve.Symbol;
import stoplog.dsl.tree.PlantTree;

/** Equipment that nobody moves proves nothing: it is commanded by the logic, or by hand. */
final class EverythingCommanded implements Rule {
  @Override
  public void check(PlantTree tree, ResolvedPlant plant, List<Diagnostic> diagnostics) {
    // A misspelt tag in a command is one error, not two.
    boolean misspelt = diagnostics.stream().anyMatch(d -> d.code().equals(Code.UNKNOWN_NAME.id()));
    if (!tree.isWhole() || misspelt) {
      return;
    }
    Set<String> commanded = new HashSet<>();
    for (ResolvedPlant.Statement s : plant.program()) {
      if (s instanceof Drive d) {
        commanded.add(d.equipment().name().text());
      }
    }
    for (Symbol.Equipment e : plant.equipment()) {
      if (!e.byHand() && !commanded.contains(e.name().text())) {
        diagnostics.add(
            Diagnostic.of(
                    Code.NEVER_COMMANDED, e.name().span(), "the logic never commands " + e.name())
                .withWhy("it would stand still for ever, and everything about it would be proved")
                .withFix(
                    "`"
                        + e.kind().verb()
                        + " "
                        + e.name()
                        + " when ...` in the logic, or `by hand`"
                        + " behind its name if an operator moves it"));
      }
    }
  }
}
