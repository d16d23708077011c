package stoplog.checker.report;

import static org.junit.jupiter.api.Assertions.assertEquals;

import java.math.BigDecimal;
import java.util.List;
import org.junit.jupiter.api.Test;
import stoplog.model.Bound;
import stoplog.model.Model;
import stoplog.model.Trace;

final class SecondsTest {
  /** Its quantum is 100 ms. */
  private static final Model MODEL = TwoPumps.model();

  private static String at(int ticksPerQuantum, long tick) {
    var trace = new Trace(ticksPerQuantum, List.of(), List.of(new Trace.Step(tick, -1)), tick + 1);
    return Seconds.of(MODEL, trace).at(tick).toPlainString();
  }

  @Test
  void timesHaveOneDigitOrAsManyAsTheyNeed() {
    assertEquals("0.0", at(1, 0));
    assertEquals("31.4", at(1, 314));
    assertEquals("3.0", at(1, 30));
    assertEquals("0.025", at(4, 1));
    assertEquals("0.1", at(4, 4));
  }

  @Test
  void timesThatNoDecimalCanTellAreRounded() {
    assertEquals("0.033", at(3, 1));
  }

  @Test
  void whatLastsIsToldInMinutesFromFiveMinutesOn() {
    assertEquals("12.0 s", Seconds.told(new BigDecimal("12.0")));
    assertEquals("299.5 s", Seconds.told(new BigDecimal("299.5")));
    assertEquals("45 min", Seconds.told(new BigDecimal("2700.0")));
    assertEquals("45 min 0.1 s", Seconds.told(new BigDecimal("2700.1")));
  }

  @Test
  void windowsAreToldInTheUnitOfTheirLength() {
    assertEquals("2..5 s", Seconds.window(MODEL, 20, Bound.at(50)));
    assertEquals("0..0.5 s", Seconds.window(MODEL, 0, Bound.at(5)));
    assertEquals("25 s", Seconds.window(MODEL, 250, Bound.at(250)));
    assertEquals("8..20 min", Seconds.window(MODEL, 4800, Bound.at(12000)));
    assertEquals("90..300 s", Seconds.window(MODEL, 900, Bound.at(3000)));
    assertEquals("2 s or more", Seconds.window(MODEL, 20, null));
    assertEquals("at any time", Seconds.window(MODEL, 0, null));
  }
}
