package stoplog.checker.report;

import java.util.ArrayList;
import java.util.HashSet;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Locale;
import java.util.Set;
import stoplog.diag.Visible;
import stoplog.model.Assignment;
import stoplog.model.Definition;
import stoplog.model.Model;
import stoplog.model.Variable;
import stoplog.source.Span;

/** What a verdict leans on, as a reader of the plant knows it. */
final class LeansOn {
  private static final int LONGEST_TEXT = 52;

  private final Model model;
  private final Answer answer;

  /** A tag or name if the plant text gives it one, what it is, and where. */
  private record Row(String name, String text, Span at) {}

  LeansOn(Model model, Answer answer) {
    this.model = model;
    this.answer = answer;
  }

  /** All of it in a few words. */
  String listed() {
    return String.join(", ", answer.verdict().kept().stream().map(this::known).toList());
  }

  private String known(String name) {
    return Visible.of(PlainWords.known(model, model.variable(name)));
  }

  /** All of it, each with its place in the plant text, and the feedbacks that show it at once. */
  String explained(Ink ink) {
    var text = new StringBuilder();
    String heading =
        String.format(
            Locale.ROOT, "%s leans on %d of %,d variables",
            answer.claim().id(), answer.verdict().kept().size(), model.variables().size());
    text.append('\n').append(ink.strong(heading)).append("\n\n");
    var rows = new ArrayList<Row>();
    for (String name : answer.verdict().kept()) {
      Variable v = model.variable(name);
      boolean plain = known(name).equals(name);
      rows.add(new Row(plain ? name : "", plain ? Visible.of(v.text()) : known(name), v.origin()));
    }
    for (Definition d : feedbacks()) {
      rows.add(new Row(d.name(), Visible.of(d.text()), d.origin()));
    }
    int nameWidth = rows.stream().mapToInt(r -> Columns.length(r.name())).max().orElse(0);
    int textWidth = rows.stream().mapToInt(r -> Columns.length(r.text())).max().orElse(0);
    for (Row r : rows) {
      String line =
          "  "
              + Columns.left(r.name(), nameWidth)
              + "  "
              + Columns.left(r.text(), Math.min(textWidth, LONGEST_TEXT))
              + "  "
              + (r.at().isKnown() ? r.at().place() : "");
      text.append(line.stripTrailing()).append('\n');
    }
    return text.toString();
  }

  /**
   * The contacts without a time of their own through which the claim, or the logic of what it leans on,
   * sees equipment that it leans on. They are no variables: their wiring has to be looked at all the same.
   */
  private List<Definition> feedbacks() {
    var kept = new HashSet<Integer>();
    answer.verdict().kept().forEach(k -> kept.add(model.variable(k).id()));
    Set<Integer> read = new LinkedHashSet<>(PlainWords.definitionsOf(model, answer.claim().condition()));
    for (Assignment a : model.controller().program()) {
      if (kept.contains(a.variable())) {
        read.addAll(PlainWords.definitionsOf(model, a.value()));
      }
    }
    return model.definitions().stream()
        .filter(d -> read.contains(d.id()) && Character.isUpperCase(d.name().charAt(0)))
        .filter(d -> kept.containsAll(PlainWords.variablesOf(model, d.value())))
        .toList();
  }
}
