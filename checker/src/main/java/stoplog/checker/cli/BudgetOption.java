package stoplog.checker.cli;

import java.math.BigDecimal;
import java.time.Duration;
import java.util.HashSet;
import java.util.List;
import java.util.Map;
import picocli.CommandLine;
import stoplog.checker.explore.Budget;

/**
 * Reads {@code states=2000000,memory=4GB,time=10min,total=1h}; parts left out keep their standard value.
 */
final class BudgetOption implements CommandLine.ITypeConverter<Limits> {
  private static final long MOST_STATES = 500_000_000;
  private static final Map<String, Long> MEMORY_UNITS =
      Map.of("kB", 1L << 10, "MB", 1L << 20, "GB", 1L << 30);
  private static final Map<String, Long> TIME_UNITS =
      Map.of("ms", 1L, "s", 1000L, "min", 60_000L, "h", 3_600_000L);
  private static final Map<String, Long> NO_UNIT = Map.of("", 1L);

  /** @throws CommandLine.TypeConversionException with a sentence for the user */
  @Override
  public Limits convert(String text) {
    Budget budget = Budget.standard();
    Duration total = null;
    var seen = new HashSet<String>();
    for (String part : text.split(",", -1)) {
      int equals = part.indexOf('=');
      String name = equals < 0 ? part : part.substring(0, equals);
      String value = equals < 0 ? "" : part.substring(equals + 1);
      if (!seen.add(name)) {
        throw wrong(name + " is given twice");
      }
      switch (name) {
        case "states" ->
            budget =
                new Budget(
                    number(name, value, NO_UNIT, MOST_STATES), budget.bytes(), budget.time());
        case "memory" ->
            budget =
                new Budget(
                    budget.states(),
                    number(name, value, MEMORY_UNITS, Long.MAX_VALUE),
                    budget.time());
        case "time" -> budget = new Budget(budget.states(), budget.bytes(), forAClaim(value));
        case "total" -> total = duration(name, value);
        default ->
            throw wrong(
                "\"" + part
                    + "\" is none of states=NUMBER, memory=SIZE, time=DURATION, total=DURATION");
      }
    }
    return new Limits(budget, total, seen);
  }

  /** Less than a second decides nothing that is worth asking, and would be told as 0 s. */
  private static Duration forAClaim(String value) {
    Duration time = duration("time", value);
    if (time.compareTo(Duration.ofSeconds(1)) < 0) {
      throw wrong("time=" + value + " is less than the least, time=1s");
    }
    return time;
  }

  private static Duration duration(String name, String value) {
    return Duration.ofMillis(number(name, value, TIME_UNITS, Long.MAX_VALUE / 1_000_000));
  }

  private static long number(String name, String value, Map<String, Long> units, long most) {
    int digits = 0;
    while (digits < value.length() && (isDigit(value.charAt(digits)) || value.charAt(digits) == '.')) {
      digits++;
    }
    Long unit = units.get(value.substring(digits).strip());
    try {
      if (unit != null) {
        BigDecimal number = new BigDecimal(value.substring(0, digits));
        BigDecimal amount = number.multiply(BigDecimal.valueOf(unit));
        if (amount.compareTo(BigDecimal.ONE) >= 0 && amount.compareTo(BigDecimal.valueOf(most)) <= 0) {
          return amount.longValue();
        }
        throw wrong(name + "=" + value + " is out of range");
      }
    } catch (NumberFormatException _) {
      // Told below.
    }
    List<String> names = units.keySet().stream().filter(u -> !u.isEmpty()).sorted().toList();
    String needed = names.isEmpty() ? "a number" : "a number with " + String.join(", ", names);
    throw wrong(name + " needs " + needed + ", not \"" + value + "\"");
  }

  private static boolean isDigit(char c) {
    return c >= '0' && c <= '9';
  }

  private static CommandLine.TypeConversionException wrong(String what) {
    return new CommandLine.TypeConversionException(what);
  }
}
