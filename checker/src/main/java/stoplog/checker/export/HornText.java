package stoplog.checker.export;

import java.util.ArrayList;
import java.util.Collection;
import java.util.List;
import stoplog.model.Claim;
import stoplog.model.Expr;
import stoplog.model.Model;

/**
 * A plant model and one claim as constrained Horn clauses in SMT-LIB 2.6, logic HORN: {@link Clauses}
 * over one {@link Relation}, {@code plant reached}. {@code sat} means that the claim's condition cannot
 * be reached, {@code unsat} that it can. With some variables kept and all others hidden, {@code sat}
 * holds for the plant too, and {@code unsat} says nothing of it.
 *
 * <p>Text linear in what is kept times the number of its changes: each clause names every variable.
 */
public final class HornText {
  private HornText() {}

  /**
   * The clauses of one claim of a model.
   *
   * @param claim of any kind but {@link Claim.Kind#ALWAYS_CAN}, which no such clauses can ask about
   */
  public static String of(Model model, Claim claim) {
    return write(model, claim, Scope.whole(model, claim));
  }

  /**
   * The clauses over these variables alone and what the claim itself remembers.
   *
   * @param claim as above
   * @param kept names of variables
   * @throws IllegalArgumentException if the model has no variable of such a name
   */
  public static String keeping(Model model, Claim claim, Collection<String> kept) {
    return write(model, claim, Scope.keeping(model, claim, kept));
  }

  private static String write(Model model, Claim claim, Scope scope) {
    if (claim.kind() == Claim.Kind.ALWAYS_CAN) {
      throw new IllegalArgumentException(claim.id() + " asks for what can always be");
    }
    var relation = new Relation("plant reached", claim, scope, false);
    var lines = new ArrayList<String>();
    lines.add(Smt.title(model, claim));
    lines.addAll(meaning(scope));
    lines.add("; Times are numbers of " + model.quantumMicros() + " microseconds.");
    lines.add("(set-logic HORN)");
    String sorts = String.join(" ", relation.sorts());
    lines.add("(declare-fun " + relation.symbol() + " (" + sorts + ") Bool)");
    for (var clause : new Clauses(claim, claim, Expr.TRUE, scope, relation).make()) {
      lines.add("; " + clause.comment());
      lines.add("(assert " + clause.closed() + ")");
    }
    lines.add("(check-sat)");
    return String.join("\n", lines) + "\n";
  }

  private static List<String> meaning(Scope scope) {
    if (!scope.hides()) {
      return List.of("; unsat: the condition of the claim can be reached. sat: it cannot.");
    }
    var lines =
        new ArrayList<>(
            List.of(
                "; sat: the condition of the claim cannot be reached, nor can it by the whole plant.",
                "; unsat: it can as far as the variables below tell, which says nothing of the plant.",
                "; Any other variable has any value whenever it is read; its times hold nothing back.",
                "; Kept:"));
    scope.kept().forEach(v -> lines.add(";   " + v.name()));
    return lines;
  }
}
