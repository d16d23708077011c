package stoplog.dsl.rules;

import java.util.ArrayList;
import java.util.List;
import org.jspecify.annotations.Nullable;
import stoplog.diag.Code;
import stoplog.diag.Diagnostic;
import stoplog.dsl.resolve.Question;
import stoplog.dsl.resolve.ResolvedPlant;
import stoplog.dsl.resolve.Symbol;
import stoplog.dsl.resolve.Term;
import stoplog.dsl.tree.PlantTree;

/**
 * A hazard speaks of positions, motion, conditions and levels; of what is seen or wanted, warily.
 */
final class HazardOnTruth implements Rule {
  @Override
  public void check(PlantTree tree, ResolvedPlant plant, List<Diagnostic> diagnostics) {
    for (ResolvedPlant.Claim c : plant.claims()) {
      if (c.question() instanceof Question.Hazard h) {
        var told = new ArrayList<Diagnostic>();
        h.condition().each(t -> check(t, told));
        // One cause, one message: the first of a claim stands for the others.
        diagnostics.addAll(told.subList(0, Math.min(1, told.size())));
      }
    }
  }

  private static void check(Term t, List<Diagnostic> diagnostics) {
    String what = field(t);
    if (what != null) {
      diagnostics.add(
          Diagnostic.of(Code.HAZARD_ON_FIELD, t.span(), "this hazard speaks of " + what)
              .withWhy("what the controller sees or wants can differ from what is so")
              .withFix("say what the equipment or the process does, if that is what must not be"));
    }
  }

  private static @Nullable String field(Term t) {
    return switch (t) {
      case Term.Commanded c -> "the command of " + c.equipment().name();
      case Term.Tripped r -> "the trips of " + r.equipment().name();
      case Term.Blocked b -> "the interlocks of " + b.equipment().name();
      case Term.Valued v -> v.of().what() + ", `" + v.of().name() + "`";
      case Term.InStep s -> "the steps of `" + s.sequence().name() + "`";
      case Term.HowMany h -> null;
      case Term.Selected s -> "the selector " + s.selector().name();
      case Term.Beside b ->
          b.gauge() instanceof Symbol.Level ? null : "the reading of " + b.gauge().name();
      case Term.BesideSetpoint b -> "the reading of " + b.gauge().name();
      case Term.Holds h ->
          h.symbol() instanceof Symbol.Condition
              ? null
              : h.symbol().what() + ", `" + h.symbol().name() + "`";
      case Term.Positioned p -> null;
      case Term.Counted c -> null;
      case Term.Faulty f -> null;
      case Term.Broken b -> null;
      case Term.Not n -> null;
      case Term.All a -> null;
      case Term.Any a -> null;
      case Term.Timed l -> null;
      case Term.Edge e -> null;
    };
  }
}
