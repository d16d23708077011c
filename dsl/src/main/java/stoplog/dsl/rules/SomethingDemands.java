package stoplog.dsl.rules;

import java.util.HashSet;
import java.util.List;
import java.util.Set;
import stoplog.diag.Code;
import stoplog.diag.Diagnostic;
import stoplog.dsl.resolve.ResolvedPlant;
import stoplog.dsl.resolve.Statement;
import stoplog.dsl.resolve.Statement.Drive;
import stoplog.dsl.tree.ChartItem;
import stoplog.dsl.tree.Declaration;
import stoplog.dsl.tree.LogicItem;
import stoplog.dsl.tree.PlantTree;

/** A command without {@code when} is one that some step of a sequence calls for. */
final class SomethingDemands implements Rule {
  @Override
  public void check(PlantTree tree, ResolvedPlant plant, List<Diagnostic> diagnostics) {
    if (!tree.isWhole()) {
      return;
    }
    Set<String> called = new HashSet<>();
    for (Declaration d : tree.declarations()) {
      if (d instanceof Declaration.Logic l) {
        for (LogicItem i : l.items()) {
          if (i instanceof LogicItem.Sequence s) {
            calls(s.items(), called);
          }
        }
      }
    }
    for (Statement s : plant.program()) {
      if (s instanceof Drive d
          && d.demand() == null
          && !called.contains(key(d.verb().text(), d.equipment().name().text()))) {
        diagnostics.add(
            Diagnostic.of(
                    Code.NO_DEMAND,
                    d.tagSpan(),
                    "nothing says when " + d.equipment().name() + " is wanted")
                .withWhy("no step of a sequence calls for it either, so it would never come on")
                .withFix(d.verb() + " " + d.equipment().name() + " when ..."));
      }
    }
  }

  private static String key(String verb, String tag) {
    return verb + " " + tag;
  }

  private static void calls(List<ChartItem> items, Set<String> called) {
    for (ChartItem i : items) {
      switch (i) {
        case ChartItem.Step s -> {
          for (ChartItem.Action a : s.actions()) {
            if (a instanceof ChartItem.Continuous c) {
              called.add(key(c.verb().text(), c.tag().text()));
            }
          }
        }
        case ChartItem.Macro m -> calls(m.items(), called);
        case ChartItem.Transition t -> {}
        case ChartItem.Hold h -> {}
        case ChartItem.Abort a -> {}
      }
    }
  }
}
