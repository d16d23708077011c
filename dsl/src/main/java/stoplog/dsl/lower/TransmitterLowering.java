package stoplog.dsl.lower;

import java.util.ArrayList;
import java.util.List;
import org.jspecify.annotations.Nullable;
import stoplog.dsl.lower.FaultLowering.Fault;
import stoplog.dsl.lower.SetpointOrders.Landing;
import stoplog.dsl.resolve.Bands;
import stoplog.dsl.resolve.Bands.Cut;
import stoplog.dsl.resolve.QualityResolver;
import stoplog.dsl.resolve.ResolvedPlant.Transmitting;
import stoplog.dsl.resolve.Symbol;
import stoplog.dsl.resolve.Thresholds;
import stoplog.dsl.resolve.Unit;
import stoplog.model.Assignment;
import stoplog.model.Expr;
import stoplog.model.FieldChange.Cause;
import stoplog.model.FieldChange.Timing;
import stoplog.model.Indication;
import stoplog.model.Role;
import stoplog.source.Span;

/**
 * Transmitters: a reading over bands that follows a value of the process.
 *
 * <p>Every limit the truth passes, the reading passes too, within the lag: see {@link
 * LimitFollowing}, which keeps for each limit whether the reading has yet to follow. A move of the
 * reading passes the limits between two bands at once, if each of them allows it.
 *
 * <p>Without lag, dead band, fault, or setpoint to be compared with, the reading is the truth and
 * needs no variable of its own.
 */
final class TransmitterLowering {
  private final Parts parts;
  private final Meanings meanings;
  private final SetpointOrders orders;
  private final FaultLowering faults;

  TransmitterLowering(
      Parts parts, Meanings meanings, SetpointOrders orders, FaultLowering faults) {
    this.parts = parts;
    this.meanings = meanings;
    this.orders = orders;
    this.faults = faults;
  }

  /**
   * One reading on its way into the model.
   *
   * @param limits for each cut of its bands, in their order
   */
  private record Reading(
      Transmitting plant,
      int variable,
      Bands bands,
      List<LimitFollowing> limits,
      @Nullable Fault fault) {
    Symbol.Transmitter symbol() {
      return plant.instrument();
    }

    String tag() {
      return plant.instrument().name().text();
    }

    Span at() {
      return plant.span();
    }
  }

  void lower(Transmitting t, Bands bands) {
    Symbol.Transmitter s = t.instrument();
    Fault fault = faults.declare(s.name().text(), QualityResolver.faults(s), t.span());
    Meanings.Gauge truth = meanings.gaugeOf(t.follows());
    if (fault == null && isTheTruth(t, bands)) {
      meanings.gauge(s, truth);
      return;
    }
    var names = new ArrayList<String>();
    for (int b = 0; b < bands.count(); b++) {
      names.add(bands.name(b, s.unit()));
    }
    int variable =
        parts.variable(
            s.name().text(), Role.INSTRUMENT, names, bands.all(), s.text(), t.span());
    meanings.gauge(s, new Meanings.Gauge(variable, bands, 1));
    orders.declare(s);
    var limits = new ArrayList<LimitFollowing>();
    for (int cut = 0; cut < bands.count() - 1; cut++) {
      limits.add(limit(t, truth, variable, bands, cut, fault));
    }
    var reading = new Reading(t, variable, bands, limits, fault);
    start(reading);
    limits.forEach(LimitFollowing::lower);
    for (int band = 0; band < bands.count(); band++) {
      moves(reading, band);
      wanders(reading, 1L << band, Expr.TRUE);
    }
    if (fault != null) {
      fails(reading, fault);
    }
    for (LimitFollowing l : limits) {
      parts.indications.add(
          new Indication(l.reads(), l.holds(), s.name().text(), truth.variable()));
    }
  }

  private boolean isTheTruth(Transmitting t, Bands bands) {
    boolean plain =
        t.lag() == null && t.deadBand().signum() == 0 && !orders.compares(t.instrument());
    for (int cut = 0; plain && cut < bands.count() - 1; cut++) {
      plain =
          !isBeyondRange(t, bands.above(cut), true) && !isBeyondRange(t, bands.above(cut), false);
    }
    return plain;
  }

  /** Whether every value of the range lies below (or above) a cut. */
  private static boolean isBeyondRange(Transmitting t, Cut cut, boolean upper) {
    return upper
        ? t.most() != null && cut.compareTo(new Cut(t.most(), true)) >= 0
        : t.least() != null && cut.compareTo(new Cut(t.least(), false)) <= 0;
  }

  private LimitFollowing limit(
      Transmitting t,
      Meanings.Gauge truth,
      int variable,
      Bands bands,
      int number,
      @Nullable Fault fault) {
    Cut cut = bands.above(number);
    Unit unit = t.instrument().unit();
    Bands of = truth.bands();
    long below = of.below(Thresholds.surelyBelow(cut, t));
    long above = of.all() & ~of.below(Thresholds.surelyAbove(cut, t));
    if (isBeyondRange(t, cut, true)) {
      below = of.all();
      above = 0;
    } else if (isBeyondRange(t, cut, false)) {
      below = 0;
      above = of.all();
    }
    long higher = bands.all() & ~((2L << number) - 1);
    return new LimitFollowing(
        parts,
        t,
        (cut.after() ? "beyond " : "at ") + unit.fromBase(cut.value()) + " " + unit,
        new LimitFollowing.Truth(
            truth.in(below), truth.in(above), truth.in(of.all() & ~of.below(cut))),
        Meanings.in(variable, higher),
        fault);
  }

  /** At the start the reading has long followed: on the right side of every limit. */
  private void start(Reading r) {
    for (int cut = 0; cut < r.limits().size(); cut++) {
      LimitFollowing l = r.limits().get(cut);
      startIf(r, Expr.all(l.surelyAbove(), Expr.not(l.reads())), cut + 1);
    }
    for (int cut = r.limits().size() - 1; cut >= 0; cut--) {
      LimitFollowing l = r.limits().get(cut);
      startIf(r, Expr.all(l.surelyBelow(), l.reads()), cut);
    }
    orders.start(r.symbol());
  }

  private void startIf(Reading r, Expr wrong, int band) {
    if (wrong.equals(Expr.FALSE)) {
      return;
    }
    Expr value =
        new Expr.Choose(wrong, new Expr.Constant(band), new Expr.Read(r.variable()));
    parts.start.add(new Assignment(r.variable(), value, r.at()));
  }

  /** The reading comes into a band from any lower and from any higher one. */
  private void moves(Reading r, int band) {
    if (band > 0) {
      Expr from = Expr.FALSE;
      for (int cut = 0; cut < band - 1; cut++) {
        from = Expr.all(r.limits().get(cut).mayRise(), Expr.any(Expr.is(r.variable(), cut), from));
      }
      from = Expr.any(Expr.is(r.variable(), band - 1), from);
      for (LimitFollowing.Passage p : r.limits().get(band - 1).passages(true)) {
        reads(r, band, Expr.all(p.when(), from), p.timing());
      }
    }
    if (band < r.limits().size()) {
      Expr from = Expr.FALSE;
      for (int cut = r.limits().size() - 1; cut > band; cut--) {
        from =
            Expr.all(r.limits().get(cut).mayFall(), Expr.any(Expr.is(r.variable(), cut + 1), from));
      }
      from = Expr.any(Expr.is(r.variable(), band + 1), from);
      for (LimitFollowing.Passage p : r.limits().get(band).passages(false)) {
        reads(r, band, Expr.all(p.when(), from), p.timing());
      }
    }
  }

  private void reads(Reading r, int band, Expr guard, @Nullable Timing timing) {
    for (Landing l : orders.landings(r.symbol(), band)) {
      reads(r, band, guard, timing, l);
    }
  }

  private void reads(Reading r, int band, Expr guard, @Nullable Timing timing, Landing landing) {
    if (guard.equals(Expr.FALSE)) {
      return;
    }
    parts.change(
        r.tag() + " reads " + r.bands().name(band, r.symbol().unit()) + landing.words(),
        Cause.INSTRUMENT,
        guard,
        timing,
        effects(r, band, landing),
        r.at());
  }

  private static List<Assignment> effects(Reading r, int band, Landing landing) {
    var effects = new ArrayList<Assignment>();
    effects.add(Parts.set(r.variable(), band, r.at()));
    effects.addAll(landing.effects());
    return effects;
  }

  /**
   * Among these bands the reading may be anywhere at any time, and within each on any side of its
   * setpoints.
   */
  private void wanders(Reading r, long among, Expr when) {
    for (int band = 0; band < r.bands().count(); band++) {
      if ((among >>> band & 1) == 0) {
        continue;
      }
      Expr elsewhere = Meanings.in(r.variable(), among & ~(1L << band));
      for (Landing l : orders.landings(r.symbol(), band)) {
        Expr otherwise = Expr.all(Expr.is(r.variable(), band), Expr.not(Expr.all(l.choices())));
        Expr guard = l.choices().isEmpty() ? elsewhere : Expr.any(elsewhere, otherwise);
        reads(r, band, Expr.all(guard, when), null, l);
      }
    }
  }

  /**
   * Failed low (high) it reads somewhere up to (from) the end of its range, or beyond every limit if
   * it has none; frozen it reads what it read.
   */
  private void fails(Reading r, Fault fault) {
    for (String name : fault.names()) {
      String text = FaultLowering.words(r.tag(), name);
      if (name.equals(QualityResolver.FROZEN)) {
        faults.strikes(fault, name, text, List.of());
        continue;
      }
      long bands = atTheEnd(r, name.equals(QualityResolver.FAILED_LOW));
      for (int band = 0; band < r.bands().count(); band++) {
        if ((bands >>> band & 1) == 0) {
          continue;
        }
        String where = ", reads " + r.bands().name(band, r.symbol().unit());
        for (Landing l : orders.landings(r.symbol(), band)) {
          faults.strikes(fault, name, text + where + l.words(), effects(r, band, l));
        }
      }
      wanders(r, bands, fault.is(name));
    }
  }

  private static long atTheEnd(Reading r, boolean low) {
    Transmitting t = r.plant();
    int last = r.bands().count() - 1;
    if (low) {
      int band = t.least() == null ? 0 : r.bands().of(t.least());
      return (2L << band) - 1;
    }
    int band = t.most() == null ? last : r.bands().of(t.most());
    return r.bands().all() & ~((1L << band) - 1);
  }
}
