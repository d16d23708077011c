package stoplog.dsl.rules;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import stoplog.diag.Code;
import stoplog.diag.Diagnostic;
import stoplog.dsl.resolve.ResolvedPlant;
import stoplog.dsl.resolve.TimeWindow;
import stoplog.dsl.resolve.Times;
import stoplog.dsl.tree.PlantTree;
import stoplog.model.Bound;

/** Every time of the plant is a number of its quanta that the explorer can hold. */
final class TimesFit implements Rule {
  @Override
  public void check(PlantTree tree, ResolvedPlant plant, List<Diagnostic> diagnostics) {
    long quantum = Times.quantumMicros(plant);
    var windows = new ArrayList<TimeWindow>();
    Times.each(plant, windows::add);
    TimeWindow worst =
        windows.stream().max(Comparator.comparingLong(TimeWindow::highMicros)).orElse(null);
    if (worst != null && worst.highMicros() / quantum > Bound.MAX_QUANTA) {
      diagnostics.add(
          Diagnostic.of(
                  Code.TOO_LONG,
                  worst.span(),
                  "this time is too long beside the finest of the plant")
              .withWhy(
                  "all times of this plant are multiples of "
                      + quantum
                      + " us, and at most "
                      + Bound.MAX_QUANTA
                      + " of these")
              .withFix("coarser times elsewhere"));
    }
  }
}
