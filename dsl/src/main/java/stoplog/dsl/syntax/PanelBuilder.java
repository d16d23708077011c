package stoplog.dsl.syntax;

import java.util.ArrayList;
import java.util.List;
import stoplog.dsl.tree.Declaration;
import stoplog.dsl.tree.Declaration.PanelItem;
import stoplog.dsl.tree.Word;

/** The panel of {@link TreeBuilder}. */
final class PanelBuilder {
  private final TreeBuilder tree;

  PanelBuilder(TreeBuilder tree) {
    this.tree = tree;
  }

  Declaration panel(PlantParser.PanelContext p) {
    var items = new ArrayList<PanelItem>();
    tree.separated(p.panelBlock().panelItem());
    for (PlantParser.PanelItemContext i : p.panelBlock().panelItem()) {
      if (tree.isWhole(i)) {
        item(i, items);
      }
    }
    return new Declaration.Panel(items, tree.span(p));
  }

  private void item(PlantParser.PanelItemContext i, List<PanelItem> items) {
    if (i.selector() != null) {
      List<Word> names = tree.words(i.selector().name());
      Word name = names.removeFirst();
      items.add(
          new Declaration.Selector(
              name, tree.text(i.selector().STRING()), names, tree.span(i)));
    } else if (i.setpoint() != null) {
      PlantParser.SetpointContext s = i.setpoint();
      items.add(
          new Declaration.Setpoint(
              tree.word(s.name()),
              tree.text(s.STRING()),
              tree.quantity(s.quantity()),
              tree.window(s.window()),
              s.unit() == null ? null : tree.word(s.unit()),
              tree.span(s)));
    } else if (i.keys() != null) {
      for (PlantParser.ButtonContext b : i.keys().button()) {
        items.add(
            new Declaration.Key(
                tree.word(b.name()), tree.text(b.STRING()), tree.span(b)));
      }
    } else {
      boolean hold = i.buttons().HOLD_BUTTON() != null;
      for (PlantParser.ButtonContext b : i.buttons().button()) {
        items.add(
            new Declaration.Button(
                tree.word(b.name()), tree.text(b.STRING()), hold, tree.span(b)));
      }
    }
  }
}
