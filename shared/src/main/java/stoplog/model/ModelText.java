package stoplog.model;

import java.util.List;
import java.util.stream.Collectors;
import org.jspecify.annotations.Nullable;

/**
 * The canonical text of a model: everything that bears on its behaviour and its claims, one thing a
 * line, in index order. Two models with the same text behave alike. Places in the plant text and
 * descriptions are left out, so that a changed comment does not change it.
 *
 * <p>Meant for fingerprints, for comparing and for reading while developing; nothing reads it back.
 */
public final class ModelText {
  private final Model model;
  private final StringBuilder text = new StringBuilder();

  private ModelText(Model model) {
    this.model = model;
  }

  /** Linear in the size of the model. */
  public static String of(Model model) {
    return new ModelText(model).write();
  }

  private String write() {
    line("plant " + quoted(model.name()));
    line("quantum " + model.quantumMicros() + " us");
    model.variables().forEach(this::variable);
    model.definitions().forEach(d -> line("define " + d.name() + " = " + expression(d.value())));
    model.clocks().forEach(this::clock);
    model.changes().forEach(this::change);
    Controller c = model.controller();
    line("controller reacts within " + c.reactionQuanta() + ", coincident " + c.coincident()
        + ", powered " + expression(c.powered()));
    assignments("scan", c.program());
    assignments("start", model.start());
    assignments("reaction", model.reactions());
    model.claims().forEach(this::claim);
    return text.toString();
  }

  private void line(String line) {
    text.append(line).append('\n');
  }

  private void variable(Variable v) {
    String words =
        v.values().stream().map(ModelText::quoted).collect(Collectors.joining(" "));
    line(v.role().name().toLowerCase(java.util.Locale.ROOT) + " " + v.name() + " : " + words
        + " from " + values(v.initial()));
  }

  private void clock(Clock c) {
    line("clock " + c.name() + " runs while " + expression(c.running()) + " until " + bound(c.limit()));
  }

  private void change(FieldChange c) {
    FieldChange.Timing t = c.timing();
    String timing =
        t == null
            ? ""
            : " at " + model.clocks().get(t.clock()).name() + " from " + bound(t.earliest())
                + " until " + bound(t.latest());
    line("change " + c.cause().name().toLowerCase(java.util.Locale.ROOT) + " " + quoted(c.text())
        + " if " + expression(c.guard()) + timing);
    assignments("  sets", c.effects());
  }

  private void claim(Claim c) {
    line("claim " + c.id() + " " + c.kind().name().toLowerCase(java.util.Locale.ROOT) + " "
        + expression(c.condition()) + " for longer than " + c.forQuanta() + ", faults "
        + c.faultBudget());
    assignments("  remembers", c.monitors());
  }

  private void assignments(String word, List<Assignment> assignments) {
    for (Assignment a : assignments) {
      line(word + " " + model.variable(a.variable()).name() + " := " + expression(a.value()));
    }
  }

  private static String bound(@Nullable Bound b) {
    return b == null ? "ever" : b.quanta() + (b.closed() ? "" : " open");
  }

  private static String values(long mask) {
    var list = new StringBuilder("{");
    for (long rest = mask; rest != 0; rest &= rest - 1) {
      list.append(list.length() > 1 ? "," : "").append(Long.numberOfTrailingZeros(rest));
    }
    return list.append('}').toString();
  }

  private static String quoted(String s) {
    return '"' + s.replace("\\", "\\\\").replace("\"", "\\\"").replace("\n", "\\n") + '"';
  }

  /** The expression with variables and definitions by name. */
  private String expression(Expr e) {
    return switch (e) {
      case Expr.Constant c -> Integer.toString(c.value());
      case Expr.Read r -> model.variable(r.variable()).name();
      case Expr.Use u -> "[" + model.definitions().get(u.definition()).name() + "]";
      case Expr.Not n -> "not " + expression(n.operand());
      case Expr.All a -> joined("all", a.operands());
      case Expr.Any a -> joined("any", a.operands());
      case Expr.In i -> expression(i.operand()) + " in " + values(i.values());
      case Expr.Same s -> joined("same", List.of(s.left(), s.right()));
      case Expr.Choose c -> joined("choose", List.of(c.condition(), c.then(), c.otherwise()));
      case Expr.Shift s -> "(" + expression(s.operand()) + (s.by() < 0 ? " - " : " + ")
          + Math.abs(s.by()) + ")";
    };
  }

  private String joined(String word, List<Expr> operands) {
    return operands.stream().map(this::expression).collect(Collectors.joining(", ", word + "(", ")"));
  }
}
