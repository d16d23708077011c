package stoplog.checker.report;

import java.math.BigDecimal;
import java.math.RoundingMode;
import java.util.Locale;

/**
 * What a claim was given when it was tried.
 *
 * @param states as many as one search might store
 * @param bytes of memory
 * @param millis of time
 * @param threads on which it could count, where that might have mattered; 0 where not
 */
public record Given(long states, long bytes, long millis, int threads) {
  private static final long MEGABYTE = 1 << 20;

  /** For people, without the threads: their number is no part of the budget. */
  String words() {
    String memory =
        bytes >= MEGABYTE
            ? String.format(Locale.ROOT, "%,d MB", bytes / MEGABYTE)
            : String.format(Locale.ROOT, "%,d bytes", bytes);
    return String.format(Locale.ROOT, "%,d states, ", states) + memory + " and "
        + seconds().toPlainString() + " s";
  }

  BigDecimal seconds() {
    BigDecimal exact = BigDecimal.valueOf(millis, 3);
    return millis % 1000 == 0 ? exact.setScale(0, RoundingMode.UNNECESSARY) : exact.stripTrailingZeros();
  }
}
