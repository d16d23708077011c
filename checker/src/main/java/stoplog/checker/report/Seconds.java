package stoplog.checker.report;

import java.math.BigDecimal;
import java.math.BigInteger;
import java.math.RoundingMode;
import stoplog.model.Bound;
import stoplog.model.Model;
import stoplog.model.Trace;
import org.jspecify.annotations.Nullable;

/**
 * Times of one run as decimal seconds, all with the same number of digits: one, or as many as its
 * times need to be exact. Where no number of digits up to six makes them exact (a third of a quantum)
 * they are rounded to two digits more than the quantum has.
 */
final class Seconds {
  private static final int MOST_DIGITS = 6;
  private static final BigDecimal MINUTE = BigDecimal.valueOf(60);
  private static final BigDecimal FIVE_MINUTES = BigDecimal.valueOf(300);
  private static final BigDecimal MICROS = BigDecimal.valueOf(1_000_000);

  private final BigDecimal quantumSeconds;
  private final BigInteger ticksPerQuantum;
  private final int digits;

  private Seconds(Model model, int ticksPerQuantum, int digits) {
    this.quantumSeconds = quantumSeconds(model);
    this.ticksPerQuantum = BigInteger.valueOf(ticksPerQuantum);
    this.digits = digits;
  }

  static Seconds of(Model model, Trace trace) {
    int digits = 1;
    for (Trace.Step step : trace.steps()) {
      digits = Math.max(digits, digitsOf(model, trace.ticksPerQuantum(), step.tick()));
    }
    return new Seconds(model, trace.ticksPerQuantum(), digits);
  }

  private static BigDecimal quantumSeconds(Model model) {
    return BigDecimal.valueOf(model.quantumMicros()).divide(MICROS).stripTrailingZeros();
  }

  private static int digitsOf(Model model, int ticksPerQuantum, long tick) {
    BigDecimal quantum = quantumSeconds(model);
    BigDecimal exact = quantum.multiply(BigDecimal.valueOf(tick));
    try {
      int needed = exact.divide(BigDecimal.valueOf(ticksPerQuantum)).stripTrailingZeros().scale();
      if (needed <= MOST_DIGITS) {
        return needed;
      }
    } catch (ArithmeticException _) {
      // No finite decimal.
    }
    return Math.max(0, quantum.scale()) + 2;
  }

  BigDecimal at(long tick) {
    BigDecimal ticks = quantumSeconds.multiply(BigDecimal.valueOf(tick));
    return ticks.divide(new BigDecimal(ticksPerQuantum), digits, RoundingMode.HALF_UP);
  }

  /** The time of a tick, exact where a millionth of a second can tell it. */
  static BigDecimal rounded(Model model, Trace trace, long tick) {
    int digits = Math.clamp(digitsOf(model, trace.ticksPerQuantum(), tick), 1, MOST_DIGITS);
    return new Seconds(model, trace.ticksPerQuantum(), digits).at(tick);
  }

  /** A length of time in seconds, exact. */
  static BigDecimal ofQuanta(Model model, long quanta) {
    BigDecimal seconds = quantumSeconds(model).multiply(BigDecimal.valueOf(quanta));
    return seconds.signum() == 0 ? BigDecimal.ZERO : seconds.stripTrailingZeros();
  }

  /** A window of waiting, with its unit: {@code 2..5 s}, {@code 25 s}, {@code 8..20 min}. */
  static String window(Model model, long earliestQuanta, @Nullable Bound latest) {
    BigDecimal low = quantumSeconds(model).multiply(BigDecimal.valueOf(earliestQuanta));
    if (latest == null) {
      return earliestQuanta == 0 ? "at any time" : span(low) + " or more";
    }
    BigDecimal high = quantumSeconds(model).multiply(BigDecimal.valueOf(latest.quanta()));
    if (low.compareTo(high) == 0) {
      return span(low);
    }
    BigDecimal unit = unit(high, low);
    return plain(low.divide(unit)) + ".." + plain(high.divide(unit)) + unitName(unit);
  }

  /** A length of time as it is, from five minutes on in minutes and the seconds over them. */
  static String told(BigDecimal seconds) {
    if (seconds.compareTo(FIVE_MINUTES) < 0) {
      return seconds.toPlainString() + " s";
    }
    BigDecimal[] parts = seconds.divideAndRemainder(MINUTE);
    String minutes = plain(parts[0]) + " min";
    return parts[1].signum() == 0 ? minutes : minutes + " " + plain(parts[1]) + " s";
  }

  /** A length of time with its unit. */
  static String span(Model model, long quanta) {
    return span(quantumSeconds(model).multiply(BigDecimal.valueOf(quanta)));
  }

  private static String span(BigDecimal seconds) {
    BigDecimal unit = unit(seconds, BigDecimal.ZERO);
    return plain(seconds.divide(unit)) + unitName(unit);
  }

  /** Minutes from five minutes on, if both are whole minutes; else seconds. */
  private static BigDecimal unit(BigDecimal longer, BigDecimal other) {
    boolean minutes =
        longer.compareTo(FIVE_MINUTES) >= 0
            && longer.remainder(MINUTE).signum() == 0
            && other.remainder(MINUTE).signum() == 0;
    return minutes ? MINUTE : BigDecimal.ONE;
  }

  private static String unitName(BigDecimal unit) {
    return unit.equals(BigDecimal.ONE) ? " s" : " min";
  }

  private static String plain(BigDecimal number) {
    return number.signum() == 0 ? "0" : number.stripTrailingZeros().toPlainString();
  }
}
