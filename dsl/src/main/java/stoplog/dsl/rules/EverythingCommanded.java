package stoplog.dsl.rules;

import java.util.HashSet;
import java.util.List;
import java.util.Set;
import stoplog.diag.Code;
import stoplog.diag.Diagnostic;
import stoplog.dsl.kinds.Kind;
import stoplog.dsl.resolve.ResolvedPlant;
import stoplog.dsl.resolve.Statement;
import stoplog.dsl.resolve.Statement.Drive;
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
    for (Statement s : plant.program()) {
      if (s instanceof Drive d) {
        commanded.add(d.equipment().name() + " " + d.command());
      }
    }
    for (Symbol.Equipment e : plant.equipment()) {
      List<Kind.Command> commands = e.kind().commands();
      for (int c = 0; c < commands.size() && !e.byHand(); c++) {
        if (!commanded.contains(e.name() + " " + c)) {
          diagnostics.add(never(e, commands.get(c).verb(), commands.size() > 1));
        }
      }
    }
  }

  private static Diagnostic never(Symbol.Equipment e, String verb, boolean several) {
    String command = "`" + verb + " " + e.name() + " when ...` in the logic";
    return several
        ? Diagnostic.of(
                Code.NEVER_COMMANDED,
                e.name().span(),
                "the logic never says when to " + verb + " " + e.name())
            .withWhy("this command would never be given, and much about it would be proved")
            .withFix(command)
        : Diagnostic.of(
                Code.NEVER_COMMANDED, e.name().span(), "the logic never commands " + e.name())
            .withWhy("it would stand still for ever, and everything about it would be proved")
            .withFix(command + ", or `by hand` behind its name if an operator moves it");
  }
}
