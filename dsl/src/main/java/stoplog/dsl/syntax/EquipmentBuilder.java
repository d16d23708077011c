package stoplog.dsl.syntax;

import java.util.ArrayList;
import java.util.List;
import stoplog.dsl.tree.Declaration;

/** Equipment and pipes of {@link TreeBuilder}. */
final class EquipmentBuilder {
  private final TreeBuilder tree;
  private final ExpressionBuilder expressions;

  EquipmentBuilder(TreeBuilder tree, ExpressionBuilder expressions) {
    this.tree = tree;
    this.expressions = expressions;
  }

  Declaration of(PlantParser.DeclarationContext d) {
    return d.pipe() == null ? equipment(d.equipment()) : pipe(d.pipe());
  }

  private Declaration equipment(PlantParser.EquipmentContext e) {
    var members = new ArrayList<Declaration.Member>();
    if (e.equipmentBlock() != null) {
      tree.separated(e.equipmentBlock().member());
      for (PlantParser.MemberContext m : e.equipmentBlock().member()) {
        if (tree.isWhole(m)) {
          member(m, members);
        }
      }
    }
    return new Declaration.Equipment(
        tree.word(e.kindWord),
        tree.word(e.TAG()),
        tree.text(e.STRING()),
        e.byHand() != null,
        members,
        tree.span(e));
  }

  private void member(PlantParser.MemberContext m, List<Declaration.Member> members) {
    if (m.fails() != null) {
      members.add(new Declaration.Fails(tree.word(m.fails().state()), tree.span(m)));
    } else if (m.timing() != null) {
      PlantParser.TimingContext t = m.timing();
      members.add(
          new Declaration.Timing(tree.word(t.name()), tree.window(t.window()), tree.span(m)));
    } else if (m.drive() != null) {
      PlantParser.DriveContext d = m.drive();
      members.add(
          new Declaration.Driven(
              tree.word(d.name()), expressions.of(d.expression()), tree.span(m)));
    } else {
      for (PlantParser.FeedbackContext f : m.proves().feedback()) {
        members.add(
            new Declaration.Proves(
                tree.word(f.state()),
                tree.word(f.TAG()),
                f.window() == null ? null : tree.window(f.window()),
                tree.span(f)));
      }
    }
  }

  private Declaration pipe(PlantParser.PipeContext p) {
    return new Declaration.Pipe(
        tree.pipeEnd(p.pipeEnd(0)), tree.tags(p.TAG()), tree.pipeEnd(p.pipeEnd(1)), tree.span(p));
  }
}
