package stoplog.dsl.lower;

import java.util.List;
import stoplog.dsl.resolve.Bands;
import stoplog.dsl.resolve.Bands.Cut;
import stoplog.dsl.resolve.Ratio;
import stoplog.dsl.resolve.ResolvedPlant.Following;
import stoplog.dsl.resolve.ResolvedPlant.Measuring;
import stoplog.dsl.resolve.ResolvedPlant.Side;
import stoplog.dsl.resolve.Symbol;
import stoplog.dsl.resolve.Term;
import stoplog.dsl.resolve.TimeWindow;
import stoplog.dsl.resolve.Unit;
import stoplog.dsl.tree.Expression.Relation;
import stoplog.model.Assignment;
import stoplog.model.Bound;
import stoplog.model.Expr;
import stoplog.model.FieldChange.Cause;
import stoplog.model.FieldChange.Timing;
import stoplog.model.Indication;
import stoplog.model.Role;
import stoplog.source.Span;

/** Switches, analysers, and the order between an analyser and an adjustable setpoint. */
final class InstrumentLowering {
  private final Parts parts;
  private final Meanings meanings;

  InstrumentLowering(Parts parts, Meanings meanings) {
    this.parts = parts;
    this.meanings = meanings;
  }

  /** A reading that becomes what it follows within its lag; without lag it is what it follows. */
  void lower(Following s) {
    String tag = s.instrument().name().text();
    Expr truth = truth(tag, s.follows());
    TimeWindow lag = s.lag();
    Expr reading =
        lag == null
            ? parts.define(tag, truth, s.instrument().text(), s.span())
            : lagging(s, tag, truth, lag);
    meanings.truth(s.instrument(), reading);
    Integer behind = meanings.variableBehind(truth);
    parts.indications.add(new Indication(reading, truth, tag, behind == null ? -1 : behind));
  }

  private Expr lagging(Following s, String tag, Expr truth, TimeWindow lag) {
    int reading = parts.flag(tag, Role.INSTRUMENT, "off", "on", s.instrument().text(), s.span());
    Expr on = Expr.is(reading, 1);
    parts.start.add(new Assignment(reading, truth, s.span()));
    Expr differs = Expr.not(new Expr.Same(new Expr.Read(reading), truth));
    Timing timing = lag(tag, differs, lag);
    parts.change(
        tag + " makes",
        Cause.INSTRUMENT,
        Expr.all(Expr.not(on), truth),
        timing,
        List.of(Parts.set(reading, 1, s.span())),
        s.span());
    parts.change(
        tag + " drops",
        Cause.INSTRUMENT,
        Expr.all(on, Expr.not(truth)),
        timing,
        List.of(Parts.set(reading, 0, s.span())),
        s.span());
    return on;
  }

  private Timing lag(String tag, Expr running, TimeWindow lag) {
    Bound latest = parts.bound(lag.highMicros());
    int clock = parts.clock(tag + " lag", running, latest, lag.span());
    return new Timing(clock, parts.bound(lag.lowMicros()), latest);
  }

  /** What an instrument follows, as one truth value: several places read it. */
  private Expr truth(String tag, Term follows) {
    Expr truth = meanings.of(follows);
    return switch (truth) {
      case Expr.Use u -> u;
      case Expr.In i -> i;
      case Expr.Constant c -> c;
      default -> parts.define(tag + ".follows", truth, "what " + tag + " follows", follows.span());
    };
  }

  /** A value over bands; with a side it keeps to that side of the limit, within its lag. */
  void lower(Measuring a, Bands bands) {
    Symbol.Analyser s = a.instrument();
    String tag = s.name().text();
    Unit unit = s.unit();
    var names = new java.util.ArrayList<String>();
    for (int b = 0; b < bands.count(); b++) {
      names.add(bands.name(b, unit));
    }
    Side side = a.side();
    long high = side == null ? 0 : high(side, bands);
    int nearestLow = Long.bitCount(bands.all() & ~high) - 1;
    long initial = side == null ? bands.all() : 1L << nearestLow;
    int value = parts.variable(tag, Role.INSTRUMENT, names, initial, s.text(), a.span());
    meanings.gauge(s, new Meanings.Gauge(value, bands, 1));
    if (side == null) {
      jumps(s, value, bands, bands.all(), a.span());
      return;
    }
    Expr truth = truth(tag, side.of());
    Expr wantsHigh = side.above() ? truth : Expr.not(truth);
    Expr isHigh = new Expr.In(new Expr.Read(value), high);
    parts.start.add(
        new Assignment(
            value,
            new Expr.Choose(
                wantsHigh, new Expr.Constant(nearestLow + 1), new Expr.Constant(nearestLow)),
            a.span()));
    Timing timing = lag(tag, Expr.not(new Expr.Same(isHigh, wantsHigh)), side.lag());
    for (int b = 0; b < bands.count(); b++) {
      boolean toHigh = (high >>> b & 1) != 0;
      Expr guard =
          toHigh ? Expr.all(Expr.not(isHigh), wantsHigh) : Expr.all(isHigh, Expr.not(wantsHigh));
      parts.change(
          reads(s, bands, b),
          Cause.INSTRUMENT,
          guard,
          timing,
          List.of(Parts.set(value, b, a.span())),
          a.span());
    }
    jumps(s, value, bands, high, a.span());
    jumps(s, value, bands, bands.all() & ~high, a.span());
    Expr shown = side.above() ? isHigh : Expr.not(isHigh);
    Integer behind = meanings.variableBehind(truth);
    parts.indications.add(new Indication(shown, truth, tag, behind == null ? -1 : behind));
  }

  /** The bands above the limit of a side; for {@code below}, the limit itself is among them. */
  private static long high(Side side, Bands bands) {
    Ratio limit = side.limit();
    return side.above()
        ? bands.where(Relation.ABOVE, limit)
        : bands.where(Relation.AT_LEAST, limit);
  }

  /** Within a set of bands the value may go to any other at any time. */
  private void jumps(Symbol.Analyser s, int value, Bands bands, long among, Span at) {
    for (int b = 0; b < bands.count(); b++) {
      long others = among & ~(1L << b);
      if ((among >>> b & 1) != 0 && others != 0) {
        parts.change(
            reads(s, bands, b),
            Cause.INSTRUMENT,
            new Expr.In(new Expr.Read(value), others),
            null,
            List.of(Parts.set(value, b, at)),
            at);
      }
    }
  }

  private static String reads(Symbol.Analyser s, Bands bands, int band) {
    return s.name() + " reads " + bands.name(band, s.unit());
  }

  /**
   * For each analyser and setpoint that are compared: which of the two is greater while the value
   * lies in the setpoint's window. One variable serves all their comparisons.
   */
  void orders(List<Term.BesideSetpoint> comparisons) {
    for (Term.BesideSetpoint c : comparisons) {
      if (meanings.hasOrder(c.gauge(), c.setpoint())) {
        continue;
      }
      String tag = c.gauge().name().text();
      Symbol.Setpoint s = c.setpoint();
      int order =
          parts.variable(
              tag + "?" + s.name(),
              Role.PANEL,
              List.of("below", "equal", "above"),
              7,
              tag + " beside " + s.name(),
              s.name().span());
      meanings.order(c.gauge(), s, order);
      Meanings.Gauge gauge = meanings.gaugeOf(c.gauge());
      long below = gauge.bands().below(new Cut(s.low(), false));
      Expr inside = gauge.in(gauge.bands().below(new Cut(s.high(), true)) & ~below);
      order(order, Meanings.BELOW, s.name() + " set just above " + tag, inside, s.name().span());
      order(order, Meanings.EQUAL, s.name() + " set equal to " + tag, inside, s.name().span());
      order(order, Meanings.ABOVE, s.name() + " set just below " + tag, inside, s.name().span());
    }
  }

  private void order(int variable, int to, String text, Expr inside, Span origin) {
    parts.change(
        text,
        Cause.OPERATOR,
        Expr.all(inside, Expr.not(Expr.is(variable, to))),
        null,
        List.of(Parts.set(variable, to, origin)),
        origin);
  }
}
