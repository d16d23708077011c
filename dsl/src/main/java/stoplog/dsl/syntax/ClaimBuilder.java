package stoplog.dsl.syntax;

import java.util.ArrayList;
import java.util.List;
import stoplog.dsl.tree.Declaration;
import stoplog.dsl.tree.Declaration.ClaimOption;
import stoplog.dsl.tree.Declaration.Promise;

/** The claims of {@link TreeBuilder}. */
final class ClaimBuilder {
  private final TreeBuilder tree;
  private final ExpressionBuilder expressions;

  ClaimBuilder(TreeBuilder tree, ExpressionBuilder expressions) {
    this.tree = tree;
    this.expressions = expressions;
  }

  Declaration claim(PlantParser.DeclarationContext d) {
    if (d.hazard() != null) {
      PlantParser.HazardContext h = d.hazard();
      return new Declaration.Hazard(
          tree.word(h.TAG()),
          tree.text(h.STRING()),
          expressions.of(h.expression()),
          options(h.claimOption()),
          tree.span(h));
    }
    PlantParser.RequirementContext r = d.requirement();
    return new Declaration.Requirement(
        tree.word(r.TAG()),
        tree.text(r.STRING()),
        promise(r.promise()),
        options(r.claimOption()),
        tree.span(r));
  }

  private Promise promise(PlantParser.PromiseContext p) {
    return switch (p) {
      case PlantParser.CanContext c ->
          new Declaration.Can(expressions.of(c.expression()), tree.span(c));
      case PlantParser.AlwaysCanContext c ->
          new Declaration.AlwaysCan(expressions.of(c.expression()), tree.span(c));
      case PlantParser.ResponseContext c ->
          new Declaration.Response(
              expressions.of(c.expression(0)),
              expressions.of(c.expression(1)),
              tree.quantity(c.quantity()),
              tree.span(c));
      case PlantParser.NeverTogetherContext c ->
          new Declaration.NeverTogether(expressions.list(c.expression()), tree.span(c));
      case PlantParser.StaysContext c ->
          new Declaration.Stays(
              expressions.of(c.expression(0)),
              expressions.of(c.expression(1)),
              expressions.of(c.expression(2)),
              tree.span(c));
      // ANTLR's classes are not sealed.
      default -> throw new IllegalStateException("promise of another kind: " + p.getText());
    };
  }

  private List<ClaimOption> options(List<PlantParser.ClaimOptionContext> contexts) {
    var list = new ArrayList<ClaimOption>();
    for (PlantParser.ClaimOptionContext o : contexts) {
      list.add(option(o));
    }
    return list;
  }

  private ClaimOption option(PlantParser.ClaimOptionContext o) {
    return switch (o) {
      case PlantParser.ToleratesContext t ->
          new Declaration.Tolerates(
              tree.count(t.NUMBER()),
              t.subject().stream().map(tree::word).toList(),
              tree.span(t));
      case PlantParser.AssumingContext a ->
          new Declaration.Assuming(expressions.of(a.expression()), tree.span(a));
      case PlantParser.SeverityContext v ->
          new Declaration.Severity(tree.word(v.name()), tree.span(v));
      case PlantParser.SourceContext c ->
          new Declaration.Note(true, tree.text(c.STRING()), tree.span(c));
      case PlantParser.RemarkContext r ->
          new Declaration.Note(false, tree.text(r.STRING()), tree.span(r));
      case PlantParser.WithoutPowerContext w ->
          new Declaration.WithoutPowerFailure(tree.span(w));
      // ANTLR's classes are not sealed.
      default -> throw new IllegalStateException("option of another kind: " + o.getText());
    };
  }
}
