package stoplog.model;

import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import org.jspecify.annotations.Nullable;
import stoplog.model.FieldChange.Timing;

/**
 * A model as text: canonical (equal models have equal texts, places and indices aside) and
 * readable. Times are in quanta, {@code [lo, hi]} closed and {@code (lo, hi)} open; sets of values
 * are listed by number and word. Linear in the size of the model.
 */
public final class ModelText {
  private final Model model;
  private final StringBuilder out = new StringBuilder();

  private ModelText(Model model) {
    this.model = model;
  }

  public static String of(Model model) {
    return new ModelText(model).write();
  }

  private String write() {
    line("plant \"" + model.name() + "\", quantum " + model.quantumMicros() + " us");
    if (!model.variables().isEmpty()) {
      line("\nvariables");
    }
    for (Variable v : model.variables()) {
      line(
          "  "
              + v.name()
              + " ("
              + word(v.role())
              + quoted(v.text())
              + "): "
              + set(v, v.domain())
              + " from "
              + set(v, v.initial()));
    }
    definitions();
    if (!model.clocks().isEmpty()) {
      line("\nclocks");
    }
    for (Clock c : model.clocks()) {
      line("  " + c.id() + " \"" + c.name() + "\" while " + text(c.running()) + limit(c.limit()));
    }
    if (!model.changes().isEmpty()) {
      line("\nchanges");
    }
    for (FieldChange c : model.changes()) {
      line(
          "  "
              + word(c.cause())
              + " \""
              + c.text()
              + "\" when "
              + text(c.guard())
              + window(c.timing()));
      assignments(c.effects());
    }
    controller();
    block("start", model.start());
    block("reactions", model.reactions());
    claims();
    return out.toString();
  }

  private void definitions() {
    if (!model.definitions().isEmpty()) {
      line("\ndefinitions");
    }
    for (Definition d : model.definitions()) {
      line("  " + d.name() + quoted(d.text()) + " = " + text(d.value()));
    }
  }

  private void controller() {
    Controller c = model.controller();
    line(
        "\ncontroller reacts within "
            + c.reactionQuanta()
            + ", coincident "
            + c.coincident()
            + ", powered "
            + text(c.powered()));
    assignments(c.program());
    for (Inhibit i : model.inhibits()) {
      line(
          "  "
              + word(i.kind())
              + " of "
              + name(i.command())
              + quoted(i.text())
              + ": "
              + text(i.condition()));
    }
    for (Indication i : model.indications()) {
      String about = i.equipment() < 0 ? "" : ", about " + name(i.equipment());
      line(
          "  taken for the truth: "
              + i.shownText()
              + ", "
              + text(i.shown())
              + ", for "
              + text(i.truth())
              + about);
    }
  }

  private void claims() {
    if (!model.claims().isEmpty()) {
      line("\nclaims");
    }
    for (Claim c : model.claims()) {
      String faults = c.faultBudget() == 0 ? "" : ", " + c.faultBudget() + " faults";
      line(
          "  "
              + c.id()
              + quoted(c.text())
              + " "
              + word(c.kind())
              + ": "
              + text(c.condition())
              + (c.kind() == Claim.Kind.ALWAYS_CAN ? "" : " for more than " + c.forQuanta())
              + (c.onlyWhile().equals(Expr.TRUE) ? "" : ", only while " + text(c.onlyWhile()))
              + faults
              + faultsOf(c)
              + basis(c.basis()));
      assignments(c.monitors());
    }
  }

  private String faultsOf(Claim c) {
    var names = new ArrayList<String>();
    c.faultsOf().forEach(v -> names.add(name(v)));
    return names.isEmpty() ? "" : " in " + String.join(", ", names);
  }

  private static String basis(Claim.Basis b) {
    String severity = b.severity().isEmpty() ? "" : ", severity " + b.severity();
    String source = b.source().isEmpty() ? "" : ", source" + quoted(b.source());
    var text = new StringBuilder(severity + source);
    b.remarks().forEach(r -> text.append(", remark").append(quoted(r)));
    return text.toString();
  }

  private void block(String title, List<Assignment> assignments) {
    if (!assignments.isEmpty()) {
      line("\n" + title);
      assignments(assignments);
    }
  }

  private void assignments(List<Assignment> assignments) {
    for (Assignment a : assignments) {
      line("    " + name(a.variable()) + " := " + text(a.value(), model.variable(a.variable())));
    }
  }

  private void line(String text) {
    out.append(text).append('\n');
  }

  private String name(int variable) {
    return model.variable(variable).name();
  }

  private static String word(Enum<?> e) {
    return e.name().toLowerCase(Locale.ROOT);
  }

  private static String quoted(String text) {
    return text.isEmpty() ? "" : " \"" + text + "\"";
  }

  private static String limit(@Nullable Bound limit) {
    return limit == null ? "" : ", at most " + (limit.closed() ? "" : "under ") + limit.quanta();
  }

  private static String window(@Nullable Timing t) {
    if (t == null) {
      return "";
    }
    String low = (t.earliest().closed() ? "[" : "(") + t.earliest().quanta();
    Bound latest = t.latest();
    String high = latest == null ? "..)" : latest.quanta() + (latest.closed() ? "]" : ")");
    return ", clock " + t.clock() + " in " + low + ", " + high;
  }

  private static String set(@Nullable Variable v, long values) {
    var names = new ArrayList<String>();
    for (int i = 0; i < Variable.MAX_VALUES; i++) {
      if ((values >>> i & 1) != 0) {
        names.add(value(v, i));
      }
    }
    return "{" + String.join(", ", names) + "}";
  }

  private static String value(@Nullable Variable v, int value) {
    return v != null && value < v.size()
        ? value + " " + v.values().get(value)
        : Integer.toString(value);
  }

  /** The variable whose values an expression has, where that is plain. */
  private @Nullable Variable valuesOf(Expr e) {
    return e instanceof Expr.Read(int variable) ? model.variable(variable) : null;
  }

  private String text(Expr e) {
    return text(e, null);
  }

  /**
   * @param target whose values constants are, if that is known
   */
  private String text(Expr e, @Nullable Variable target) {
    return switch (e) {
      case Expr.Constant c -> value(target, c.value());
      case Expr.Read r -> name(r.variable());
      case Expr.Use u -> model.definitions().get(u.definition()).name();
      case Expr.Not n -> "not " + text(n.operand());
      case Expr.All a -> joined(a.operands(), " and ");
      case Expr.Any a -> joined(a.operands(), " or ");
      case Expr.In i -> text(i.operand()) + " in " + set(valuesOf(i.operand()), i.values());
      case Expr.Same s -> "(" + text(s.left()) + " = " + text(s.right()) + ")";
      case Expr.Choose c ->
          "("
              + text(c.condition())
              + " ? "
              + text(c.then(), target)
              + " : "
              + text(c.otherwise(), target)
              + ")";
      case Expr.Shift s ->
          "(" + text(s.operand()) + (s.by() < 0 ? " - " : " + ") + Math.abs(s.by()) + ")";
    };
  }

  private String joined(List<Expr> operands, String sign) {
    var texts = new ArrayList<String>();
    for (Expr e : operands) {
      texts.add(text(e));
    }
    return texts.isEmpty()
        ? (sign.equals(" and ") ? "true" : "false")
        : "(" + String.join(sign, texts) + ")";
  }
}
