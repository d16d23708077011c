package stoplog.dsl.lower;

import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.stream.Collectors;
import stoplog.dsl.resolve.Bands;
import stoplog.dsl.resolve.Bands.Cut;
import stoplog.dsl.resolve.Symbol;
import stoplog.dsl.resolve.Term;
import stoplog.model.Assignment;
import stoplog.model.Expr;
import stoplog.model.FieldChange.Cause;
import stoplog.model.Role;
import stoplog.source.Span;

/**
 * Where an analyser or transmitter stands beside the adjustable setpoints it is compared with. One
 * variable for each instrument and setpoint serves all their comparisons: the value is below the setpoint, equal to it or
 * above it.
 *
 * <p>INVARIANT (truthful): an order is always one that the value's band allows. Below the setpoint's
 * window it is "below" and above the window "above"; inside, any order for which some value of the
 * band and some setting of the window stand so. Hence a comparison reads the order alone.
 *
 * <p>Settings are not remembered: each setpoint may be anywhere in its window at any time.
 */
final class SetpointOrders {
  private static final String[] WORDS = {"below", "equal to", "above"};

  private final Parts parts;
  private final Meanings meanings;
  private final Map<String, Map<String, Symbol.Setpoint>> compared = new LinkedHashMap<>();
  private final Map<String, List<Beside>> bySetpoint = new LinkedHashMap<>();
  private final Map<String, List<Beside>> byInstrument = new LinkedHashMap<>();

  /**
   * One pair.
   *
   * @param bands for each order, the bands of the value in which it can be
   */
  private record Beside(
      Symbol instrument, Symbol.Setpoint setpoint, int order, Meanings.Gauge gauge,
      long[] bands) {
    /** The bands in which the setting matters. */
    long inside() {
      return bands[Meanings.EQUAL];
    }

    Span at() {
      return setpoint.name().span();
    }
  }

  /**
   * One way to stand beside all setpoints of an instrument in one of its bands.
   *
   * @param words for the setpoints whose window the band lies in: {@code ", above orp_trip"}
   * @param effects all orders
   * @param choices that the orders are these, for those the band leaves open
   */
  record Landing(String words, List<Assignment> effects, List<Expr> choices) {}

  SetpointOrders(Parts parts, Meanings meanings, List<Term.BesideSetpoint> comparisons) {
    this.parts = parts;
    this.meanings = meanings;
    for (Term.BesideSetpoint c : comparisons) {
      compared
          .computeIfAbsent(c.gauge().name().text(), k -> new LinkedHashMap<>())
          .putIfAbsent(c.setpoint().name().text(), c.setpoint());
    }
  }

  /** Whether the instrument is compared with any setpoint. */
  boolean compares(Symbol a) {
    return compared.containsKey(a.name().text());
  }

  /** The orders of an instrument, whose variable there is already. */
  void declare(Symbol a) {
    String tag = a.name().text();
    var pairs = new ArrayList<Beside>();
    for (Symbol.Setpoint s : compared.getOrDefault(tag, Map.of()).values()) {
      int order =
          parts.variable(
              tag + "?" + s.name(),
              Role.PANEL,
              List.of("below", "equal", "above"),
              7,
              tag + " beside " + s.name(),
              s.name().span());
      meanings.order(a, s, order);
      Meanings.Gauge gauge = meanings.gaugeOf(a);
      var pair = new Beside(a, s, order, gauge, possible(gauge.bands(), s));
      pairs.add(pair);
      bySetpoint.computeIfAbsent(s.name().text(), k -> new ArrayList<>()).add(pair);
    }
    byInstrument.put(tag, pairs);
  }

  /** For each order, the bands with a value that stands so to some setting. */
  private static long[] possible(Bands bands, Symbol.Setpoint s) {
    long[] possible = new long[WORDS.length];
    possible[Meanings.BELOW] = bands.below(new Cut(s.high(), true));
    possible[Meanings.ABOVE] = bands.all() & ~bands.below(new Cut(s.low(), false));
    possible[Meanings.EQUAL] = possible[Meanings.BELOW] & possible[Meanings.ABOVE];
    for (int b = 0; b < bands.count(); b++) {
      if (b > 0 && bands.above(b - 1).compareTo(new Cut(s.high(), false)) >= 0) {
        possible[Meanings.BELOW] &= ~(1L << b);
      }
      if (b < bands.count() - 1 && bands.above(b).compareTo(new Cut(s.low(), true)) <= 0) {
        possible[Meanings.ABOVE] &= ~(1L << b);
      }
    }
    return possible;
  }

  /** Brings the orders of an instrument in line with its band, once the start has settled that. */
  void start(Symbol a) {
    for (Beside p : pairs(a)) {
      var fits = new ArrayList<Expr>();
      for (int o = 0; o < WORDS.length; o++) {
        fits.add(Expr.all(Expr.is(p.order(), o), p.gauge().in(p.bands()[o])));
      }
      long below = p.bands()[Meanings.BELOW] & ~p.inside();
      Expr elsewhere =
          new Expr.Choose(
              p.gauge().in(below),
              new Expr.Constant(Meanings.BELOW),
              new Expr.Choose(
                  p.gauge().in(p.inside()),
                  new Expr.Constant(Meanings.EQUAL),
                  new Expr.Constant(Meanings.ABOVE)));
      Expr value = new Expr.Choose(Expr.any(fits), new Expr.Read(p.order()), elsewhere);
      parts.start.add(new Assignment(p.order(), value, p.at()));
    }
  }

  private List<Beside> pairs(Symbol a) {
    return byInstrument.getOrDefault(a.name().text(), List.of());
  }

  /** Every way to land in a band: 3 to the power of the setpoints whose windows it lies in. */
  List<Landing> landings(Symbol a, int band) {
    var landings = new ArrayList<>(List.of(new Landing("", List.of(), List.of())));
    for (Beside p : pairs(a)) {
      boolean open = (p.inside() >>> band & 1) != 0;
      var longer = new ArrayList<Landing>();
      for (Landing l : landings) {
        for (int o = 0; o < WORDS.length; o++) {
          if ((p.bands()[o] >>> band & 1) != 0) {
            String words = open ? ", " + WORDS[o] + " " + p.setpoint().name() : "";
            longer.add(
                new Landing(
                    l.words() + words,
                    with(l.effects(), Parts.set(p.order(), o, p.at())),
                    open ? with(l.choices(), Expr.is(p.order(), o)) : l.choices()));
          }
        }
      }
      landings = longer;
    }
    return landings;
  }

  private static <T> List<T> with(List<T> list, T last) {
    var longer = new ArrayList<>(list);
    longer.add(last);
    return longer;
  }

  /** The operator's changes: a setpoint moves past some of the values that lie in its window. */
  void operator() {
    for (List<Beside> pairs : bySetpoint.values()) {
      passes(pairs, 0, List.of(), List.of());
    }
  }

  private void passes(List<Beside> pairs, int at, List<Beside> passed, List<Integer> orders) {
    if (at < pairs.size()) {
      for (int o = 0; o < WORDS.length; o++) {
        passes(pairs, at + 1, with(passed, pairs.get(at)), with(orders, o));
      }
      passes(pairs, at + 1, passed, orders);
      return;
    }
    if (passed.isEmpty()) {
      return;
    }
    var guards = new ArrayList<Expr>();
    var words = new ArrayList<String>();
    var effects = new ArrayList<Assignment>();
    for (int i = 0; i < passed.size(); i++) {
      Beside p = passed.get(i);
      int o = orders.get(i);
      guards.add(p.gauge().in(p.bands()[o] & p.inside()));
      guards.add(Expr.not(Expr.is(p.order(), o)));
      words.add(set(o) + " " + p.instrument().name());
      effects.add(Parts.set(p.order(), o, p.at()));
    }
    Beside first = passed.getFirst();
    Expr guard = Expr.all(guards);
    if (!guard.equals(Expr.FALSE)) {
      String text =
          first.setpoint().name() + " set " + words.stream().collect(Collectors.joining(", "));
      parts.change(text, Cause.OPERATOR, guard, null, effects, first.at());
    }
  }

  /** Where the setpoint must be for the value to stand so. */
  private static String set(int order) {
    return switch (order) {
      case Meanings.BELOW -> "just above";
      case Meanings.EQUAL -> "equal to";
      default -> "just below";
    };
  }
}
