package stoplog.dsl.lower;

import java.math.BigInteger;
import java.util.ArrayList;
import java.util.List;
import org.jspecify.annotations.Nullable;
import stoplog.dsl.resolve.Bands;
import stoplog.dsl.resolve.Ratio;
import stoplog.dsl.resolve.ResolvedPlant.Free;
import stoplog.dsl.resolve.ResolvedPlant.LevelProcess;
import stoplog.dsl.resolve.ResolvedPlant.Movement;
import stoplog.dsl.resolve.Unit;
import stoplog.model.Assignment;
import stoplog.model.Bound;
import stoplog.model.Expr;
import stoplog.model.FieldChange.Cause;
import stoplog.model.FieldChange.Timing;
import stoplog.model.Role;
import stoplog.source.Span;

/**
 * A level or analog value: the band it is in, how it got there, and how soon it may and must leave.
 *
 * <p>Value {@code band * 3 + edge}: edge 0, entered from below, so it stands at the lower end; 1,
 * somewhere inside; 2, entered from above. {@code TAG.flow} is the bit set of movements active now;
 * whenever it changes the edge becomes 1, since the level has moved since it came in.
 *
 * <p>While a set of movements is active, the net rate lies between (slowest fills - fastest drains)
 * and (fastest fills - slowest drains). From the edge, a band is crossed no sooner than its width
 * over the fastest rate, rounded down; from anywhere, it is left no later than its width over the
 * slowest, rounded up. Both roundings allow more than the plant does, never less.
 *
 * <p>While it may move freely it keeps to no rate: the flow has a value of its own then, under which
 * nothing must happen, and after which it may be anywhere in its band. A value that only ever moves
 * freely has its bands as values, and no flow.
 */
final class LevelLowering {
  private static final int FROM_BELOW = 0;
  private static final int INSIDE = 1;
  private static final int FROM_ABOVE = 2;
  private static final int EDGES = 3;

  /** What a value that only moves freely has: it may be anywhere in its band. */
  private static final int NO_EDGES = 1;

  private final Parts parts;
  private final Meanings meanings;

  LevelLowering(Parts parts, Meanings meanings) {
    this.parts = parts;
    this.meanings = meanings;
  }

  /** Its variable; before anything that reads it is lowered. */
  void declare(LevelProcess l, Bands bands) {
    var values = new ArrayList<String>();
    long initial = 0;
    Unit unit = l.level().unit();
    int edges = hasRates(l) ? EDGES : NO_EDGES;
    for (int b = 0; b < bands.count(); b++) {
      for (int edge = 0; edge < edges; edge++) {
        values.add(bands.name(b, unit));
      }
      boolean possible = l.start() == null || bands.of(l.start()) == b;
      initial |= possible ? 1L << inside(b, edges) : 0;
    }
    int variable =
        parts.variable(
            l.level().name().text(), Role.PROCESS, values, initial, l.level().text(), l.span());
    meanings.gauge(l.level(), new Meanings.Gauge(variable, bands, edges));
  }

  /** Its movements; after everything they depend on. */
  void lower(LevelProcess l) {
    Meanings.Gauge gauge = meanings.gaugeOf(l.level());
    Expr free = free(l, gauge);
    if (!hasRates(l)) {
      return;
    }
    int flow = flow(l, gauge, free);
    for (int regime = 1; regime < 1 << l.movements().size(); regime++) {
      Ratio fastest = net(l.movements(), regime, true);
      Ratio slowest = net(l.movements(), regime, false);
      for (int band = 0; band < gauge.bands().count(); band++) {
        leave(l, gauge, flow, regime, band, fastest, slowest);
      }
    }
  }

  /** Whether it ever keeps to its rates: not if it may always move freely. */
  private static boolean hasRates(LevelProcess l) {
    return !l.movements().isEmpty() && l.free().stream().noneMatch(f -> f.during() == null);
  }

  private static int inside(int band, int edges) {
    return band * edges + (edges == EDGES ? INSIDE : 0);
  }

  /** The movements that keep to no rate. The value is true while one of them is possible. */
  private Expr free(LevelProcess l, Meanings.Gauge gauge) {
    var any = new ArrayList<Expr>();
    int number = 0;
    for (Free f : l.free()) {
      String name = l.level().name() + ".free" + ++number;
      Expr during =
          f.during() == null
              ? Expr.TRUE
              : parts.define(
                  name, meanings.of(f.during()), "what frees " + l.level().name(), f.span());
      any.add(during);
      for (int band = 0; band < gauge.bands().count(); band++) {
        if (f.gradual()) {
          neighbour(l, gauge, f, during, band, band + 1);
          neighbour(l, gauge, f, during, band, band - 1);
        } else {
          Expr elsewhere = gauge.in(gauge.bands().all() & ~(1L << band));
          String text =
              l.level().name() + " jumps to " + gauge.bands().name(band, l.level().unit());
          free(text, Expr.all(elsewhere, during), gauge, band, f.span());
        }
      }
    }
    return Expr.any(any);
  }

  private void neighbour(
      LevelProcess l, Meanings.Gauge gauge, Free f, Expr during, int from, int to) {
    if (to >= 0 && to < gauge.bands().count()) {
      String text = text(gauge.bands().above(Math.min(from, to)), to > from, l);
      free(text, Expr.all(gauge.in(1L << from), during), gauge, to, f.span());
    }
  }

  private void free(String text, Expr guard, Meanings.Gauge gauge, int to, Span at) {
    if (!guard.equals(Expr.FALSE)) {
      var effect = Parts.set(gauge.variable(), inside(to, gauge.edges()), at);
      parts.change(text, Cause.PROCESS, guard, null, List.of(effect), at);
    }
  }

  private int flow(LevelProcess l, Meanings.Gauge gauge, Expr free) {
    String name = l.level().name() + ".flow";
    var words = new ArrayList<String>();
    for (int regime = 0; regime < 1 << l.movements().size(); regime++) {
      words.add(words(l.movements(), regime));
    }
    if (!free.equals(Expr.FALSE)) {
      words.add("moving freely");
    }
    int flow =
        parts.variable(name, Role.PROCESS, words, 1, "what moves " + l.level().name(), l.span());
    // Each partial sum is a definition, so that the next one reads it twice without doubling in
    // size.
    Expr active = new Expr.Constant(0);
    for (int i = 0; i < l.movements().size(); i++) {
      Movement m = l.movements().get(i);
      Expr with = i == 0 ? new Expr.Constant(1) : new Expr.Shift(active, 1 << i);
      active =
          parts.define(
              name + (i + 1),
              new Expr.Choose(meanings.of(m.during()), with, active),
              "what moves " + l.level().name(),
              m.span());
    }
    if (!free.equals(Expr.FALSE)) {
      Expr freely = new Expr.Constant(1 << l.movements().size());
      active =
          parts.define(
              name + ".any",
              new Expr.Choose(free, freely, active),
              "what moves " + l.level().name(),
              l.span());
    }
    Expr level = new Expr.Read(gauge.variable());
    Expr inside = level;
    for (int b = 0; b < gauge.bands().count(); b++) {
      long edges = 1L << (b * EDGES + FROM_BELOW) | 1L << (b * EDGES + FROM_ABOVE);
      inside =
          new Expr.Choose(new Expr.In(level, edges), new Expr.Constant(b * EDGES + INSIDE), inside);
    }
    Expr unchanged = new Expr.Same(new Expr.Read(flow), active);
    parts.reactions.add(
        new Assignment(gauge.variable(), new Expr.Choose(unchanged, level, inside), l.span()));
    parts.reactions.add(new Assignment(flow, active, l.span()));
    return flow;
  }

  private static String words(List<Movement> movements, int regime) {
    boolean rises = false;
    boolean falls = false;
    for (int i = 0; i < movements.size(); i++) {
      if ((regime >>> i & 1) != 0) {
        rises |= movements.get(i).rises();
        falls |= !movements.get(i).rises();
      }
    }
    return rises && falls
        ? "filling and draining"
        : rises ? "filling" : falls ? "draining" : "still";
  }

  /** The greatest (or least) net rate of a set of movements, per microsecond. */
  private static Ratio net(List<Movement> movements, int regime, boolean greatest) {
    Ratio sum = Ratio.ZERO;
    for (int i = 0; i < movements.size(); i++) {
      if ((regime >>> i & 1) != 0) {
        Movement m = movements.get(i);
        sum = sum.plus(m.rises() == greatest ? m.fast() : m.slow());
      }
    }
    return sum;
  }

  private void leave(
      LevelProcess l,
      Meanings.Gauge gauge,
      int flow,
      int regime,
      int band,
      Ratio fastest,
      Ratio slowest) {
    boolean mayRise = band + 1 < gauge.bands().count() && fastest.signum() > 0;
    boolean mayFall = band > 0 && slowest.signum() < 0;
    if (!mayRise && !mayFall) {
      return;
    }
    Ratio width = gauge.bands().width(band);
    Bound limit = null;
    if (mayRise && slowest.signum() > 0) {
      limit = latest(width.dividedBy(slowest));
    } else if (mayFall && fastest.signum() < 0) {
      limit = latest(width.dividedBy(fastest.abs()));
    }
    Expr here = Expr.all(gauge.in(1L << band), Expr.is(flow, regime));
    String name =
        l.level().name() + " " + gauge.bands().name(band, l.level().unit()) + ", flow " + regime;
    int clock = parts.clock(name, here, limit, l.span());
    if (mayRise) {
      Bound earliest = earliest(width.dividedBy(fastest));
      cross(l, gauge, flow, regime, band, band + 1, clock, earliest);
    }
    if (mayFall) {
      Bound earliest = earliest(width.dividedBy(slowest.abs()));
      cross(l, gauge, flow, regime, band, band - 1, clock, earliest);
    }
  }

  private void cross(
      LevelProcess l,
      Meanings.Gauge gauge,
      int flow,
      int regime,
      int from,
      int to,
      int clock,
      Bound earliest) {
    boolean up = to > from;
    Expr level = new Expr.Read(gauge.variable());
    int far = from * EDGES + (up ? FROM_BELOW : FROM_ABOVE);
    int enter = to * EDGES + (up ? FROM_BELOW : FROM_ABOVE);
    long all = 7L << (from * EDGES);
    Span at = l.span();
    String text = text(gauge.bands().above(Math.min(from, to)), up, l);
    List<Assignment> effects = List.of(Parts.set(gauge.variable(), enter, at));
    Expr flowing = Expr.is(flow, regime);
    boolean soon = earliest.quanta() == 0;
    Expr anywhere = new Expr.In(level, soon ? all : all & ~(1L << far));
    parts.change(
        text,
        Cause.PROCESS,
        Expr.all(anywhere, flowing),
        new Timing(clock, Bound.at(0), null),
        effects,
        at);
    if (!soon) {
      Expr across = new Expr.In(level, 1L << far);
      parts.change(
          text,
          Cause.PROCESS,
          Expr.all(across, flowing),
          new Timing(clock, earliest, null),
          effects,
          at);
    }
  }

  private static String text(Bands.Cut cut, boolean up, LevelProcess l) {
    String how =
        up
            ? (cut.after() ? "rises above" : "rises to")
            : (cut.after() ? "falls to" : "falls below");
    Unit unit = l.level().unit();
    return l.level().name() + " " + how + " " + unit.fromBase(cut.value()) + " " + unit;
  }

  /** Rounded down, and never beyond what a bound can hold. */
  private Bound earliest(Ratio micros) {
    BigInteger quanta = micros.dividedBy(Ratio.of(parts.quantumMicros())).floor();
    return Bound.at(quanta.min(BigInteger.valueOf(Bound.MAX_QUANTA)).longValueExact());
  }

  /** Rounded up; no limit at all if a bound cannot hold it. */
  private @Nullable Bound latest(Ratio micros) {
    BigInteger quanta = micros.dividedBy(Ratio.of(parts.quantumMicros())).ceiling();
    return quanta.compareTo(BigInteger.valueOf(Bound.MAX_QUANTA)) > 0
        ? null
        : Bound.at(quanta.longValueExact());
  }
}
