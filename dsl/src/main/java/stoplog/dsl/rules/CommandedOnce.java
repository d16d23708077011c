package stoplog.dsl.rules;

import java.util.HashMap;
import java.util.List;
import java.util.Map;
import stoplog.diag.Code;
import stoplog.diag.Diagnostic;
import stoplog.dsl.kinds.Kind;
import stoplog.dsl.resolve.ResolvedPlant;
import stoplog.dsl.resolve.Statement;
import stoplog.dsl.resolve.Statement.Drive;
import stoplog.dsl.tree.PlantTree;

/** Each command of a piece of equipment is given once: of two, only the later would count. */
final class CommandedOnce implements Rule {
  @Override
  public void check(PlantTree tree, ResolvedPlant plant, List<Diagnostic> diagnostics) {
    Map<String, Drive> first = new HashMap<>();
    for (Statement s : plant.program()) {
      if (s instanceof Drive d && !isWrong(d)) {
        Drive before = first.putIfAbsent(d.equipment().name() + " " + d.command(), d);
        if (before != null) {
          diagnostics.add(
              Diagnostic.of(
                      Code.COMMANDED_TWICE,
                      d.tagSpan(),
                      d.equipment().name() + " is commanded twice")
                  .withLabel("second command")
                  .withRelated(before.tagSpan(), "first command")
                  .withWhy("only the later of two commands would count")
                  .withFix("one command that holds when either is wanted: `... or ...`"));
        }
      }
    }
  }

  /** A command that its kind does not have, told elsewhere, of a kind where it might be any. */
  private static boolean isWrong(Drive d) {
    Kind kind = d.equipment().kind();
    return kind.commands().size() != 1 && kind.command(d.verb().text()) < 0;
  }
}
