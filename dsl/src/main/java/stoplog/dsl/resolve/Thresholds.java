package stoplog.dsl.resolve;

import java.util.HashMap;
import java.util.Map;
import java.util.TreeSet;
import org.jspecify.annotations.Nullable;
import stoplog.dsl.resolve.Bands.Cut;
import stoplog.dsl.resolve.ResolvedPlant.LevelProcess;
import stoplog.dsl.resolve.ResolvedPlant.Measuring;
import stoplog.dsl.resolve.ResolvedPlant.Movement;
import stoplog.dsl.tree.Expression.Relation;

/** Every limit with which a plant compares its levels and analysers. */
public final class Thresholds {
  private Thresholds() {}

  /** The bands of each level and analyser, by its tag. Linear but for sorting the limits. */
  public static Map<String, Bands> of(ResolvedPlant plant) {
    var cuts = new HashMap<String, TreeSet<Cut>>();
    plant.levels().forEach(l -> cuts.put(l.level().name().text(), new TreeSet<>()));
    plant.analysers().forEach(a -> cuts.put(a.instrument().name().text(), new TreeSet<>()));
    for (Measuring a : plant.analysers()) {
      if (a.side() != null) {
        Relation r = a.side().above() ? Relation.ABOVE : Relation.BELOW;
        add(cuts, a.instrument(), Cut.of(r, a.side().limit()));
      }
    }
    plant.eachTerm(
        t -> {
          if (t instanceof Term.Beside b) {
            add(cuts, b.gauge(), Cut.of(b.relation(), b.value()));
          } else if (t instanceof Term.BesideSetpoint b) {
            add(cuts, b.gauge(), new Cut(b.setpoint().low(), false));
            add(cuts, b.gauge(), new Cut(b.setpoint().high(), true));
          }
        });
    var bands = new HashMap<String, Bands>();
    for (Measuring a : plant.analysers()) {
      String tag = a.instrument().name().text();
      bands.put(tag, new Bands(cutsOf(cuts, tag), null, null));
    }
    for (LevelProcess l : plant.levels()) {
      String tag = l.level().name().text();
      bands.put(tag, new Bands(cutsOf(cuts, tag), end(l, false), end(l, true)));
    }
    return bands;
  }

  private static TreeSet<Cut> cutsOf(Map<String, TreeSet<Cut>> cuts, String tag) {
    return cuts.getOrDefault(tag, new TreeSet<>());
  }

  private static void add(Map<String, TreeSet<Cut>> cuts, Symbol gauge, Cut cut) {
    TreeSet<Cut> set = cuts.get(gauge.name().text());
    if (set != null) {
      set.add(cut);
    }
  }

  /** The least or greatest value any movement leads to or from; {@code null} if nothing moves. */
  private static @Nullable Ratio end(LevelProcess l, boolean greatest) {
    Ratio end = null;
    for (Movement m : l.movements()) {
      Ratio low = m.from().compareTo(m.to()) < 0 ? m.from() : m.to();
      Ratio high = m.from().compareTo(m.to()) < 0 ? m.to() : m.from();
      Ratio here = greatest ? high : low;
      boolean further =
          end == null || (greatest ? here.compareTo(end) > 0 : here.compareTo(end) < 0);
      end = further ? here : end;
    }
    return end;
  }
}
