package stoplog.dsl.syntax;

import java.math.BigDecimal;
import java.util.ArrayDeque;
import java.util.ArrayList;
import java.util.Deque;
import java.util.HashSet;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Set;
import org.antlr.v4.runtime.ParserRuleContext;
import org.jspecify.annotations.Nullable;
import stoplog.diag.Closest;
import stoplog.diag.Code;
import stoplog.diag.Diagnostic;
import stoplog.dsl.tree.Declaration;
import stoplog.dsl.tree.Expression;
import stoplog.dsl.tree.PlantTree;
import stoplog.dsl.tree.Quantity;
import stoplog.dsl.tree.Window;
import stoplog.dsl.tree.Word;
import stoplog.source.SourceFile;
import stoplog.source.Span;

/**
 * All templates of a plant and its files. A use reads the parse tree of the template once more,
 * with its open parts filled; each use has places of its own, in a {@link SourceFile#usedAt view} of
 * the template's text. Linear in the length of what comes out.
 */
final class Templates {
  /** So many words may come out: ten times those of a plant of ten thousand tags. */
  static final int MAX_WORDS = 4_000_000;

  private static final int MAX_DEPTH = 50;
  private static final int MAX_NUMBER = 1_000_000;

  /** Declared in {@code in} as {@code text}. */
  private record Template(
      Word name, List<String> parameters, PlantParser.TemplateContext text, Parsed in) {}

  private final Map<String, Template> byName = new LinkedHashMap<>();
  private final Deque<Template> open = new ArrayDeque<>();
  private final Set<Set<String>> circlesTold = new HashSet<>();
  private final List<Parsed> files;
  private int words;

  /**
   * @param files all that are read; what is told of a use is told of its file
   */
  Templates(List<Parsed> files) {
    this.files = files;
    for (Parsed p : files) {
      for (PlantParser.DeclarationContext d : p.declarations()) {
        if (d.template() != null) {
          add(d.template(), p);
        }
      }
    }
  }

  private void add(PlantParser.TemplateContext t, Parsed in) {
    var plain = new TreeBuilder(in, in.offsets(), Filling.NONE, this);
    Word name = plain.word(t.name());
    var parameters = new ArrayList<String>();
    if (t.parameters() != null) {
      for (Word p : plain.words(t.parameters().name())) {
        if (parameters.contains(p.text())) {
          in.found()
              .add(
                  Diagnostic.of(
                      Code.STATED_TWICE, p.span(), "parameter `" + p + "` is stated twice"));
        }
        parameters.add(p.text());
      }
    }
    Template first = byName.putIfAbsent(name.text(), new Template(name, parameters, t, in));
    if (first != null) {
      in.found()
          .add(
              Diagnostic.of(
                      Code.DECLARED_TWICE, name.span(), "template `" + name + "` is declared twice")
                  .withRelated(first.name().span(), "first time")
                  .withFix("another name for one of them"));
    }
  }

  /** {@code use train(n = 4)}: what it brings is added to {@code declarations}. */
  void use(
      PlantParser.UseContext u, Parsed in, TreeBuilder by, List<Declaration> declarations) {
    Template t = find(by.word(u.name()), in);
    if (t == null) {
      return;
    }
    Span at = by.span(u);
    Map<String, Filling.Value> values = values(t, u.arguments(), in, by);
    if (values == null || !isComplete(t, values, "", by.span(u.name()), in)) {
      in.unread().add(PlantTree.ANYTHING);
      return;
    }
    expand(t, values, at, in, declarations);
  }

  /** {@code 3 of train(flow = FS-1) from 201}: the first parameter counts. */
  void instances(
      PlantParser.InstancesContext i, Parsed in, TreeBuilder by, List<Declaration> declarations) {
    Template t = find(by.word(i.name()), in);
    if (t == null) {
      return;
    }
    Span at = by.span(i);
    Span name = by.span(i.name());
    Map<String, Filling.Value> values = values(t, i.arguments(), in, by);
    Integer count = whole(by.count(i.NUMBER(0)), 1, "so many uses", in);
    Quantity from = i.NUMBER().size() < 2 ? null : by.count(i.NUMBER(1));
    Integer first = from == null ? Integer.valueOf(1) : whole(from, 0, "the first number", in);
    if (values != null && t.parameters().isEmpty()) {
      in.found()
          .add(
              Diagnostic.of(
                      Code.WRONG_ARGUMENTS, name, "template `" + t.name() + "` has no parameter")
                  .withRelated(t.name().span(), "declared here")
                  .withWhy("each of several uses gives its number to the first parameter"));
      values = null;
    }
    String counting = values == null ? "" : t.parameters().getFirst();
    if (values != null && values.containsKey(counting)) {
      in.found()
          .add(
              Diagnostic.of(
                      Code.WRONG_ARGUMENTS,
                      java.util.Objects.requireNonNull(values.get(counting)).span(),
                      "`" + counting + "` is the number of each use and cannot be stated")
                  .withFix("state where the numbers begin: `from 201`"));
      values = null;
    }
    if (values == null
        || count == null
        || first == null
        || !isComplete(t, values, counting, name, in)) {
      in.unread().add(PlantTree.ANYTHING);
      return;
    }
    int width = from == null ? 1 : from.span().text().length();
    for (int k = 0; k < count && words <= MAX_WORDS; k++) {
      var each = new LinkedHashMap<>(values);
      String number = Repeat.padded(first + k, width);
      Quantity q = new Quantity(BigDecimal.valueOf((long) first + k), null, at);
      each.put(counting, new Filling.Value(number, true, new Window(q, null, at), null, at));
      expand(t, each, at, in, declarations);
    }
  }

  private @Nullable Integer whole(Quantity q, int low, String what, Parsed in) {
    boolean fits =
        q.value().scale() <= 0
            && q.value().compareTo(BigDecimal.valueOf(low)) >= 0
            && q.value().compareTo(BigDecimal.valueOf(MAX_NUMBER)) <= 0;
    if (!fits) {
      in.found()
          .add(
              Diagnostic.of(
                  Code.NOT_A_COUNT,
                  q.span(),
                  what + " must be a whole number from " + low + " to " + MAX_NUMBER));
    }
    return fits ? q.value().intValueExact() : null;
  }

  private @Nullable Template find(Word name, Parsed in) {
    Template t = byName.get(name.text());
    if (t == null) {
      boolean unread = files.stream().anyMatch(f -> f.unread().contains(name.text()));
      if (!unread && files.stream().noneMatch(f -> f.unread().contains(PlantTree.ANYTHING))) {
        Diagnostic d =
            Diagnostic.of(
                Code.UNKNOWN_TEMPLATE, name.span(), "there is no template `" + name + "`");
        String known = String.join(", ", byName.keySet());
        boolean few = !known.isEmpty() && byName.size() <= 7;
        Diagnostic labelled = few ? d.withLabel("known are " + known) : d;
        in.found().add(Closest.suggested(labelled, name.text(), byName.keySet()));
      }
      in.unread().add(PlantTree.ANYTHING);
    }
    return t;
  }

  // ---- arguments

  /** By parameter; {@code null} if one of them is wrong, which is told. */
  private @Nullable Map<String, Filling.Value> values(
      Template t, PlantParser.@Nullable ArgumentsContext arguments, Parsed in, TreeBuilder by) {
    var values = new LinkedHashMap<String, Filling.Value>();
    boolean sound = true;
    List<PlantParser.ArgumentContext> written =
        arguments == null ? List.of() : arguments.argument();
    for (PlantParser.ArgumentContext a : written) {
      Word name = by.word(a.name());
      Filling.Value value = value(a, by);
      if (value == null) {
        sound = false;
      } else if (!t.parameters().contains(name.text())) {
        String has =
            t.parameters().isEmpty() ? "has none" : "has " + String.join(", ", t.parameters());
        in.found()
            .add(
                Diagnostic.of(
                        Code.WRONG_ARGUMENTS,
                        name.span(),
                        "template `" + t.name() + "` has no parameter `" + name + "`")
                    .withLabel(has)
                    .withRelated(t.name().span(), "declared here"));
        sound = false;
      } else if (values.putIfAbsent(name.text(), value) != null) {
        in.found()
            .add(Diagnostic.of(Code.STATED_TWICE, name.span(), "`" + name + "` is stated twice"));
        sound = false;
      }
    }
    return sound ? values : null;
  }

  private static Filling.@Nullable Value value(PlantParser.ArgumentContext a, TreeBuilder by) {
    if (a.STRING() != null) {
      String text = by.text(a.STRING());
      return new Filling.Value(text, true, null, null, by.span(a.STRING()));
    } else if (a.window() != null) {
      PlantParser.WindowContext w = a.window();
      if (w.quantity().size() == 1 && w.quantity(0).HOLE() != null) {
        return by.filler().value(w.getText(), by.span(w));
      }
      boolean plain = w.getStart() == w.getStop();
      return new Filling.Value(words(w, by), plain, by.window(w), null, by.span(w));
    }
    PlantParser.ExpressionContext e = a.expression();
    Expression expression = by.expressions().of(e);
    boolean plain = expression instanceof Expression.Named && e.getStart() == e.getStop();
    String words =
        plain && expression instanceof Expression.Named n ? n.name().text() : words(e, by);
    return new Filling.Value(words, plain, null, expression, by.span(e));
  }

  private static String words(ParserRuleContext c, TreeBuilder by) {
    return by.span(c).text();
  }

  private boolean isComplete(
      Template t, Map<String, Filling.Value> values, String counting, Span at, Parsed in) {
    var missing = new ArrayList<String>();
    for (String p : t.parameters()) {
      if (!values.containsKey(p) && !p.equals(counting)) {
        missing.add("`" + p + "`");
      }
    }
    if (!missing.isEmpty()) {
      in.found()
          .add(
              Diagnostic.of(
                      Code.WRONG_ARGUMENTS, at, "this use does not state " + String.join(", ", missing))
                  .withRelated(t.name().span(), "declared here")
                  .withFix(missing.getFirst().replace("`", "") + " = ..."));
    }
    return missing.isEmpty();
  }

  // ---- expansion

  private void expand(
      Template t,
      Map<String, Filling.Value> values,
      Span at,
      Parsed in,
      List<Declaration> declarations) {
    if (open.contains(t)) {
      var chain = new ArrayList<String>();
      for (Template o : open) {
        chain.addFirst(o.name().text());
        if (o == t) {
          break;
        }
      }
      // Whoever uses one of its templates comes upon the circle; it is told to the first.
      if (circlesTold.add(Set.copyOf(chain))) {
        chain.add(t.name().text());
        in.found()
            .add(
                Diagnostic.of(Code.TEMPLATE_CIRCLE, at, "templates use each other in a circle")
                    .withLabel(String.join(" -> ", chain))
                    .withRelated(t.name().span(), "begins here")
                    .withWhy("what they bring would never end"));
      }
      in.unread().add(PlantTree.ANYTHING);
      return;
    }
    if (open.size() >= MAX_DEPTH) {
      in.found()
          .add(
              Diagnostic.of(
                  Code.TOO_DEEP, at, "templates use each other more than " + MAX_DEPTH + " deep"));
      in.unread().add(PlantTree.ANYTHING);
      return;
    }
    PlantParser.TemplateBlockContext block = t.text().templateBlock();
    long more = block.getStop().getTokenIndex() - block.getStart().getTokenIndex() + 1L;
    if (words + more > MAX_WORDS) {
      if (words <= MAX_WORDS) {
        in.found()
            .add(
                Diagnostic.of(Code.TOO_MANY_COPIES, at, "the templates bring too much")
                    .withWhy("no plant has more than " + MAX_WORDS + " words"));
      }
      words = MAX_WORDS + 1;
      in.unread().add(PlantTree.ANYTHING);
      return;
    }
    words += (int) more;
    open.push(t);
    var filling = new Filling(t.name().text(), values);
    SourceFile view = t.in().file().usedAt(at, text -> Filler.filled(text, filling));
    var builder = new TreeBuilder(t.in(), t.in().offsets().in(view), filling, this);
    for (PlantParser.DeclarationContext d : block.declaration()) {
      if (builder.isWhole(d)) {
        builder.declare(d, declarations);
      }
    }
    open.pop();
  }
}
