package stoplog.dsl.rules;

import java.util.List;
import java.util.Map;
import stoplog.diag.Code;
import stoplog.diag.Diagnostic;
import stoplog.dsl.resolve.Bands;
import stoplog.dsl.resolve.ResolvedPlant;
import stoplog.dsl.resolve.ResolvedPlant.LevelProcess;
import stoplog.dsl.resolve.ResolvedPlant.Measuring;
import stoplog.dsl.resolve.ResolvedPlant.Transmitting;
import stoplog.dsl.resolve.Symbol;
import stoplog.dsl.resolve.Thresholds;
import stoplog.dsl.tree.PlantTree;
import stoplog.model.Variable;

/** The bands between the limits of a level, analyser or transmitter fit into one variable. */
final class FewBands implements Rule {
  @Override
  public void check(PlantTree tree, ResolvedPlant plant, List<Diagnostic> diagnostics) {
    Map<String, Bands> bands = Thresholds.of(plant);
    for (Measuring a : plant.analysers()) {
      check(a.instrument(), bands, Variable.MAX_VALUES, diagnostics);
    }
    for (Transmitting t : plant.transmitters()) {
      check(t.instrument(), bands, Variable.MAX_VALUES, diagnostics);
    }
    for (LevelProcess l : plant.levels()) {
      // A level that moves at rates remembers for each band how it got there: three values each.
      boolean rates =
          !l.movements().isEmpty() && l.free().stream().noneMatch(f -> f.during() == null);
      check(l.level(), bands, rates ? Variable.MAX_VALUES / 3 : Variable.MAX_VALUES, diagnostics);
    }
  }

  private static void check(
      Symbol gauge, Map<String, Bands> bands, int most, List<Diagnostic> diagnostics) {
    Bands its = bands.get(gauge.name().text());
    if (its != null && its.count() > most) {
      diagnostics.add(
          Diagnostic.of(
              Code.TOO_MANY_BANDS,
              gauge.name().span(),
              gauge.name() + " is compared with more than " + (most - 1) + " limits"));
    }
  }
}
