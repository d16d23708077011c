package stoplog.dsl.resolve;

import java.util.HashMap;
import java.util.Map;
import java.util.TreeSet;
import stoplog.dsl.resolve.Bands.Cut;
import stoplog.dsl.resolve.ResolvedPlant.LevelProcess;
import stoplog.dsl.resolve.ResolvedPlant.Measuring;
import stoplog.dsl.resolve.ResolvedPlant.Transmitting;
import stoplog.dsl.tree.Expression.Relation;

/**
 * Every limit with which a plant compares its levels and instruments. A value that a transmitter
 * follows is cut where the transmitter's readings are, or a dead band to either side of that.
 */
public final class Thresholds {
  private Thresholds() {}

  /** The bands of each level, analyser and transmitter, by its tag. Linear but for sorting the limits. */
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
    plant.transmitters().forEach(t -> cuts.put(t.instrument().name().text(), new TreeSet<>()));
    plant.eachTerm(
        t -> {
          if (t instanceof Term.Beside b) {
            add(cuts, b.gauge(), Cut.of(b.relation(), b.value()));
          } else if (t instanceof Term.BesideSetpoint b) {
            add(cuts, b.gauge(), new Cut(b.setpoint().low(), false));
            add(cuts, b.gauge(), new Cut(b.setpoint().high(), true));
          }
        });
    for (Transmitting t : plant.transmitters()) {
      for (Cut c : cutsOf(cuts, t.instrument().name().text())) {
        add(cuts, t.follows(), surelyBelow(c, t));
        add(cuts, t.follows(), surelyAbove(c, t));
      }
    }
    var bands = new HashMap<String, Bands>();
    for (Transmitting t : plant.transmitters()) {
      String tag = t.instrument().name().text();
      bands.put(tag, new Bands(cutsOf(cuts, tag), null, null));
    }
    for (Measuring a : plant.analysers()) {
      String tag = a.instrument().name().text();
      bands.put(tag, new Bands(cutsOf(cuts, tag), null, null));
    }
    for (LevelProcess l : plant.levels()) {
      String tag = l.level().name().text();
      bands.put(tag, new Bands(cutsOf(cuts, tag), l.least(), l.most()));
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

  /** Below this the truth is so far below the cut that a settled reading is below it too. */
  public static Cut surelyBelow(Cut reading, Transmitting t) {
    return new Cut(reading.value().minus(t.deadBand()), reading.after());
  }

  /** Above this the truth is so far above the cut that a settled reading is above it too. */
  public static Cut surelyAbove(Cut reading, Transmitting t) {
    return new Cut(reading.value().plus(t.deadBand()), reading.after());
  }
}
