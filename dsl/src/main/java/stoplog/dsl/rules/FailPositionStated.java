package stoplog.dsl.rules;

import java.util.ArrayList;
import java.util.List;
import stoplog.diag.Code;
import stoplog.diag.Diagnostic;
import stoplog.dsl.kinds.Kind;
import stoplog.dsl.resolve.ResolvedPlant;
import stoplog.dsl.resolve.Symbol;
import stoplog.dsl.tree.PlantTree;
import stoplog.source.Span;

/** Where power may fail, what has a choice of fail positions says which. */
final class FailPositionStated implements Rule {
  @Override
  public void check(PlantTree tree, ResolvedPlant plant, List<Diagnostic> diagnostics) {
    Span power = plant.power();
    if (power == null || !tree.isWhole()) {
      return;
    }
    for (Symbol.Equipment e : plant.equipment()) {
      if (e.fail() == null && e.kind().statesFail() && !e.byHand()) {
        var words = new ArrayList<String>();
        for (Kind.Fail f : e.kind().fails()) {
          words.add("`fails " + f.words() + "`");
        }
        diagnostics.add(
            Diagnostic.of(
                    Code.NO_FAIL_POSITION,
                    e.name().span(),
                    "the fail position of " + e.name() + " is not stated")
                .withRelated(power, "and power may fail")
                .withFix(
                    String.join(", ", words.subList(0, words.size() - 1))
                        + " or "
                        + words.getLast()));
      }
    }
  }
}
