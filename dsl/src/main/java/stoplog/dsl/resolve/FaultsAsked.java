package stoplog.dsl.resolve;

import java.util.HashSet;
import java.util.List;
import java.util.Set;
import stoplog.dsl.tree.Declaration;
import stoplog.dsl.tree.Declaration.ClaimOption;
import stoplog.dsl.tree.Declaration.Tolerates;
import stoplog.dsl.tree.PlantTree;
import stoplog.dsl.tree.ScenarioItem;
import stoplog.dsl.tree.Word;

/**
 * Whose faults some claim or scenario of a plant asks for. Only these become part of the model, so
 * that a plant without such claims pays nothing for the faults it could have.
 *
 * @param everybody whether some claim tolerates faults without saying whose
 * @param tags those whose faults are asked for by name
 */
public record FaultsAsked(boolean everybody, Set<String> tags) {
  public FaultsAsked {
    tags = Set.copyOf(tags);
  }

  /** Whether the faults of this tag, or of the panel item of this name, are asked for. */
  public boolean of(String tag) {
    return everybody || tags.contains(tag);
  }

  /** Read from the text as it stands, whether or not its claims can be resolved. Linear. */
  static FaultsAsked of(PlantTree tree) {
    boolean everybody = false;
    var tags = new HashSet<String>();
    for (Declaration d : tree.declarations()) {
      List<ClaimOption> options = List.of();
      if (d instanceof Declaration.Hazard h) {
        options = h.options();
      } else if (d instanceof Declaration.Requirement r) {
        options = r.options();
      } else if (d instanceof Declaration.Scenario s) {
        scripted(s, tags);
      }
      for (ClaimOption o : options) {
        if (o instanceof Tolerates t && t.faults().value().signum() > 0) {
          everybody |= t.of().isEmpty();
          for (Word w : t.of()) {
            tags.add(w.text());
          }
        }
      }
    }
    return new FaultsAsked(everybody, tags);
  }

  private static void scripted(Declaration.Scenario s, Set<String> tags) {
    for (ScenarioItem i : s.items()) {
      if (i instanceof ScenarioItem.Happens h) {
        for (ScenarioItem.Event e : h.events()) {
          if (e.deed() == ScenarioItem.Deed.FAULT) {
            tags.add(e.subject().text());
          }
        }
      }
    }
  }
}
