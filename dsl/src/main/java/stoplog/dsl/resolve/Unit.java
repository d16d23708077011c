package stoplog.dsl.resolve;

import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import org.jspecify.annotations.Nullable;

/**
 * A unit of measurement: {@code base = value * factor + offset}, exact. Units of one dimension are
 * converted into each other, those of different dimensions are never compared.
 *
 * @param dimension what it measures, as told to a person ({@code a time})
 */
public record Unit(String symbol, String dimension, Ratio factor, Ratio offset) {
  /** What the units of time measure; their base is the microsecond. */
  public static final String TIME = "a time";

  private static final Map<String, Unit> ALL = new LinkedHashMap<>();

  static {
    add(TIME, "us", 1, 1);
    add(TIME, "ms", 1_000, 1);
    add(TIME, "s", 1_000_000, 1);
    add(TIME, "min", 60_000_000, 1);
    add(TIME, "h", 3_600_000_000L, 1);
    add("a share", "%", 1, 1);
    add("a voltage", "mV", 1, 1);
    add("a voltage", "V", 1_000, 1);
    add("a current", "mA", 1, 1);
    add("a current", "A", 1_000, 1);
    add("a pressure", "Pa", 1, 1);
    add("a pressure", "kPa", 1_000, 1);
    add("a pressure", "MPa", 1_000_000, 1);
    add("a pressure", "mbar", 100, 1);
    add("a pressure", "bar", 100_000, 1);
    // 1 psi = 0.45359237 kg * 9.80665 m/s2 / (0.0254 m)^2, exactly.
    add("a pressure", "psi", 44_482_216_152_605L, 6_451_600_000L);
    add("a temperature", "degC", 1, 1);
    ALL.put("K", new Unit("K", "a temperature", Ratio.ONE, Ratio.of(-27_315, 100)));
    ALL.put("degF", new Unit("degF", "a temperature", Ratio.of(5, 9), Ratio.of(-160, 9)));
    add("a conductivity", "uS/cm", 1, 1);
    add("a conductivity", "mS/cm", 1_000, 1);
    add("a concentration", "ug/L", 1, 1);
    add("a concentration", "mg/L", 1_000, 1);
    add("a concentration", "g/L", 1_000_000, 1);
    add("a flow", "L/h", 1, 1);
    add("a flow", "L/min", 60, 1);
    add("a flow", "L/s", 3_600, 1);
    add("a flow", "m3/h", 1_000, 1);
    add("a length", "mm", 1, 1);
    add("a length", "cm", 10, 1);
    add("a length", "m", 1_000, 1);
    add("a volume", "L", 1, 1);
    add("a volume", "m3", 1_000, 1);
    add("acidity", "pH", 1, 1);
    add("turbidity", "NTU", 1, 1);
    add("a frequency", "Hz", 1, 1);
    add("a speed of rotation", "rpm", 1, 1);
  }

  private static void add(String dimension, String symbol, long numerator, long denominator) {
    ALL.put(symbol, new Unit(symbol, dimension, Ratio.of(numerator, denominator), Ratio.ZERO));
  }

  /** The unit written like this, or {@code null}. */
  public static @Nullable Unit named(String symbol) {
    return ALL.get(symbol);
  }

  /** The symbols of all units of a dimension, smallest first as a rule. */
  public static List<String> symbolsOf(String dimension) {
    var symbols = new ArrayList<String>();
    for (Unit u : ALL.values()) {
      if (u.dimension.equals(dimension)) {
        symbols.add(u.symbol);
      }
    }
    return symbols;
  }

  static List<String> symbols() {
    return List.copyOf(ALL.keySet());
  }

  public Ratio toBase(Ratio value) {
    return value.times(factor).plus(offset);
  }

  public Ratio fromBase(Ratio base) {
    return base.minus(offset).dividedBy(factor);
  }

  public boolean measures(String other) {
    return dimension.equals(other);
  }

  @Override
  public String toString() {
    return symbol;
  }
}
