package stoplog.dsl.lower;

import java.util.ArrayList;
import java.util.List;
import org.jspecify.annotations.Nullable;
import stoplog.dsl.lower.FaultLowering.Fault;
import stoplog.dsl.lower.SetpointOrders.Landing;
import stoplog.dsl.resolve.Bands;
import stoplog.dsl.resolve.QualityResolver;
import stoplog.dsl.resolve.Ratio;
import stoplog.dsl.resolve.ResolvedPlant.Measuring;
import stoplog.dsl.resolve.ResolvedPlant.Side;
import stoplog.dsl.resolve.Symbol;
import stoplog.dsl.tree.Expression.Relation;
import stoplog.model.Assignment;
import stoplog.model.Expr;
import stoplog.model.FieldChange.Cause;
import stoplog.model.FieldChange.Timing;
import stoplog.model.Indication;
import stoplog.model.Role;
import stoplog.source.Span;

/**
 * Analysers: a value over bands, and beside each adjustable setpoint it is compared with, whether it
 * is below, equal to or above it.
 *
 * <p>With a side the value keeps to that side of the limit, within its lag; there, as without a side,
 * it may go to any other band at any time. One change says both where it goes and where it lands
 * beside its setpoints: a value that enters a setpoint's window may in that instant be beyond the
 * setpoint already, and no scan need lie between.
 */
final class AnalyserLowering {
  private final Parts parts;
  private final Meanings meanings;
  private final InstrumentLowering instruments;
  private final SetpointOrders orders;
  private final FaultLowering faults;

  AnalyserLowering(
      Parts parts,
      Meanings meanings,
      InstrumentLowering instruments,
      SetpointOrders orders,
      FaultLowering faults) {
    this.faults = faults;
    this.parts = parts;
    this.meanings = meanings;
    this.instruments = instruments;
    this.orders = orders;
  }

  void lower(Measuring a, Bands bands) {
    Symbol.Analyser s = a.instrument();
    String tag = s.name().text();
    Span at = a.span();
    var names = new ArrayList<String>();
    for (int b = 0; b < bands.count(); b++) {
      names.add(bands.name(b, s.unit()));
    }
    int value = parts.variable(tag, Role.INSTRUMENT, names, bands.all(), s.text(), at);
    meanings.gauge(s, new Meanings.Gauge(value, bands, 1));
    orders.declare(s);
    Fault fault = faults.declare(tag, QualityResolver.faults(s), at);
    Side side = a.side();
    if (side == null) {
      jumps(a, value, bands, bands.all(), fault);
    } else {
      long high = high(side, bands);
      side(a, side, value, bands, high, fault);
      jumps(a, value, bands, high, fault);
      jumps(a, value, bands, bands.all() & ~high, fault);
    }
    orders.start(s);
    if (fault != null) {
      fails(a, value, bands, fault);
    }
  }

  /** Failed low or high it reads beyond every limit; frozen it reads what it read. */
  private void fails(Measuring a, int value, Bands bands, Fault fault) {
    String tag = a.instrument().name().text();
    for (String name : fault.names()) {
      String text = FaultLowering.words(tag, name);
      if (name.equals(QualityResolver.FROZEN)) {
        faults.strikes(fault, name, text, List.of());
        continue;
      }
      int band = name.equals(QualityResolver.FAILED_LOW) ? 0 : bands.count() - 1;
      for (Landing l : orders.landings(a.instrument(), band)) {
        var effects = new ArrayList<Assignment>();
        effects.add(Parts.set(value, band, a.span()));
        effects.addAll(l.effects());
        faults.strikes(fault, name, text + l.words(), effects);
      }
    }
  }

  /** The side of the limit, which follows the truth; at the start it has long followed. */
  private void side(
      Measuring a, Side side, int value, Bands bands, long high, @Nullable Fault fault) {
    String tag = a.instrument().name().text();
    Expr sound = FaultLowering.sound(fault);
    int nearestLow = Long.bitCount(bands.all() & ~high) - 1;
    Expr truth = instruments.truth(tag, side.of());
    Expr wantsHigh = side.above() ? truth : Expr.not(truth);
    Expr isHigh = new Expr.In(new Expr.Read(value), high);
    Expr settled = new Expr.Same(isHigh, wantsHigh);
    Expr nearest =
        new Expr.Choose(
            wantsHigh, new Expr.Constant(nearestLow + 1), new Expr.Constant(nearestLow));
    parts.start.add(
        new Assignment(value, new Expr.Choose(settled, new Expr.Read(value), nearest), a.span()));
    Timing timing = instruments.lag(tag, Expr.all(Expr.not(settled), sound), side.lag());
    for (int b = 0; b < bands.count(); b++) {
      boolean toHigh = (high >>> b & 1) != 0;
      Expr guard =
          toHigh
              ? Expr.all(Expr.not(isHigh), wantsHigh, sound)
              : Expr.all(isHigh, Expr.not(wantsHigh), sound);
      for (Landing l : orders.landings(a.instrument(), b)) {
        reads(a, value, bands, b, guard, timing, l);
      }
    }
    Expr shown = side.above() ? isHigh : Expr.not(isHigh);
    Integer behind = meanings.variableBehind(truth);
    parts.indications.add(new Indication(shown, truth, tag, behind == null ? -1 : behind));
  }

  /**
   * Within a set of bands the value may go to any other at any time. Within one band it may pass
   * several setpoints at once; a single one passes it just as well.
   */
  private void jumps(
      Measuring a, int value, Bands bands, long among, @Nullable Fault fault) {
    for (int b = 0; b < bands.count(); b++) {
      if ((among >>> b & 1) == 0) {
        continue;
      }
      Expr elsewhere = Meanings.in(value, among & ~(1L << b));
      for (Landing l : orders.landings(a.instrument(), b)) {
        Expr guard =
            l.choices().size() < 2
                ? elsewhere
                : Expr.any(
                    elsewhere, Expr.all(Expr.is(value, b), Expr.not(Expr.all(l.choices()))));
        if (!guard.equals(Expr.FALSE)) {
          Expr sound = FaultLowering.sound(fault);
          reads(a, value, bands, b, Expr.all(guard, sound), null, l);
        }
      }
    }
  }

  private void reads(
      Measuring a,
      int value,
      Bands bands,
      int band,
      Expr guard,
      @Nullable Timing timing,
      Landing landing) {
    Symbol.Analyser s = a.instrument();
    var effects = new ArrayList<Assignment>();
    effects.add(Parts.set(value, band, a.span()));
    effects.addAll(landing.effects());
    String text = s.name() + " reads " + bands.name(band, s.unit()) + landing.words();
    parts.change(text, Cause.INSTRUMENT, guard, timing, effects, a.span());
  }

  /** The bands above the limit of a side; for {@code below}, the limit itself is among them. */
  private static long high(Side side, Bands bands) {
    Ratio limit = side.limit();
    return side.above()
        ? bands.where(Relation.ABOVE, limit)
        : bands.where(Relation.AT_LEAST, limit);
  }
}
