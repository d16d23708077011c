package stoplog.plants.outside;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.TreeSet;
import org.jspecify.annotations.Nullable;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import stoplog.model.Model;

/**
 * On-delay, off-delay and pulse timers with a preset of 5 s against the timing diagrams of IEC
 * 61131-3: an input is drawn, and each second of the output is asked whether it can be on and whether
 * it can be off. Where something is due in the very instant in which the input turns, both orders are
 * runs of the plant; a second in which the output may be either is written as "or".
 *
 * <p>The off-delay and the pulse are also written out with latches and the on-delay: what the language
 * has a word for and what an engineer can spell out with other words must be the same.
 */
class TimerWaveformsTest {
  private static final int PRESET = 5;

  private static final String ON_DELAY =
      """
      plant "On-delay"
      controller reacts within 0 s
      pump M-1 "output"
      panel { hold-button input }
      logic {
        run M-1 when input for 5 s
      }
      hazard H-01 "output on" : M-1 is turning for 1 s
      """;

  private static final String OFF_DELAY =
      """
      plant "Off-delay"
      controller reacts within 0 s
      pump M-1 "output"
      panel { hold-button input }
      logic {
        run M-1 when input held on for 5 s
      }
      hazard H-01 "output on" : M-1 is turning for 1 s
      """;

  private static final String PULSE =
      """
      plant "Pulse"
      controller reacts within 0 s
      pump M-1 "output"
      panel { hold-button input }
      logic {
        run M-1 when pulse of 5 s from input
      }
      hazard H-01 "output on" : M-1 is turning for 1 s
      """;

  private static final String OFF_DELAY_SPELT_OUT =
      """
      plant "Off-delay"
      controller reacts within 0 s
      pump M-1 "output"
      panel { hold-button input }
      logic {
        latch kept: set by input; cleared by not input for 5 s
        run M-1 when kept
      }
      hazard H-01 "output on" : M-1 is turning for 1 s
      """;

  private static final String PULSE_SPELT_OUT =
      """
      plant "Pulse"
      controller reacts within 0 s
      pump M-1 "output"
      panel { hold-button input }
      logic {
        latch pulsing: set by input rises; cleared by pulsing for 5 s
        run M-1 when pulsing
      }
      hazard H-01 "output on" : M-1 is turning for 1 s
      """;

  /** In the last row the time is up just when the input falls: on for an instant, or not at all. */
  @ParameterizedTest
  @CsvSource({
    "0-8 12-15 20-30,                5-8 25-30, ",
    "0-3 10-12 15-18,                '',        ",
    "0-8 10-11 12-13 14-22 23-24,    5-8 19-22, ",
    "0-5,                            '',        5",
  })
  void onDelayFollowsItsDiagram(String input, String output, @Nullable Integer tie) {
    String judge = assertOutput(ON_DELAY, input, output, "");
    assertTie(ON_DELAY, "rises", input, tie);
    row("on-delay", input, output, tie, "", judge);
  }

  /** In the first row the input rises just when the time is up: off for an instant, or not at all. */
  @ParameterizedTest
  @CsvSource({
    "0-8 12-15 20-30,                0-35,      20",
    "0-3 10-12 15-18,                0-8 10-23, ",
    "0-8 10-11 12-13 14-22 23-24,    0-29,      ",
    "0-5,                            0-10,      ",
  })
  void offDelayFollowsItsDiagram(String input, String output, @Nullable Integer tie) {
    String judge = assertOutput(OFF_DELAY, input, output, "");
    assertTie(OFF_DELAY, "falls", input, tie);
    row("off-delay", input, output, tie, "", judge);
    assertOutput(OFF_DELAY_SPELT_OUT, input, output, "");
  }

  /** In the second row the input rises just when a pulse ends: one more pulse, or none. */
  @ParameterizedTest
  @CsvSource({
    "0-8 12-15 20-30,                0-5 12-17 20-25,    ''",
    "0-3 10-12 15-18,                0-5 10-15,          15-20",
    "0-8 10-11 12-13 14-22 23-24,    0-5 10-15 23-28,    ''",
    "0-5,                            0-5,                ''",
  })
  void pulseFollowsItsDiagram(String input, String output, String either) {
    Integer tie = either.isEmpty() ? null : Integer.valueOf(either.replaceFirst("-.*", ""));
    row("pulse", input, output, tie, either, assertOutput(PULSE, input, output, either));
    assertOutput(PULSE_SPELT_OUT, input, output, either);
  }

  /** Each second was asked for, and each tie: this is our value. What a tie leaves open is ours to add. */
  private static void row(
      String timer, String input, String on, @Nullable Integer tie, String either, String judge) {
    String steady = on.isEmpty() ? "never" : on;
    String output = tie == null ? steady : steady + ", tie at " + tie;
    String what = "timer, " + timer + " of 5 s, input " + input;
    Results.value(
        TimerWaveformsTest.class, "G2 " + what, what + ": output", "IEC 61131-3, timing diagrams", output,
        output + (either.isEmpty() ? "" : ": either " + either), judge);
  }

  /** At a tie the output may turn and turn back in one instant, or not; before it does not, nor without one. */
  private static void assertTie(String plant, String turn, String input, @Nullable Integer tie) {
    if (tie == null) {
      return;
    }
    String looking =
        plant.replaceFirst(
            "run M-1 when (.*)",
            "signal out = $1\n    memory turned: no, yes\n    turned := yes when out " + turn
                + "\n    run M-1 when out");
    Model model = Texts.model(looking);
    long second = 1_000_000 / model.quantumMicros();
    var drive = new Drive(model).input("input", Intervals.times(input, second)).mark((tie - 1) * second);
    Model driven = drive.mark(tie * second).asking("turned");
    assertFalse(Texts.reaches(driven, "on " + drive.stretchFrom((tie - 1) * second)), "turned before " + tie);
    assertTrue(Texts.reaches(driven, "on " + drive.stretchFrom(tie * second)), "turned at " + tie);
    assertTrue(Texts.reaches(driven, "off " + drive.stretchFrom(tie * second)), "not turned at " + tie);
  }

  /** Who judged it. */
  private static String assertOutput(String plant, String input, String on, String either) {
    int end = Intervals.lastEnd(input) + PRESET + 2;
    Model model = Texts.model(plant);
    long second = 1_000_000 / model.quantumMicros();
    var drive = new Drive(model);
    for (int s = 0; s <= end; s++) {
      drive.mark(s * second);
    }
    drive.input("input", Intervals.times(input, second));
    Model driven = drive.asking("M-1");
    var judges = new TreeSet<String>();
    for (int s = 0; s < end; s++) {
      int stretch = drive.stretchFrom(s * second);
      boolean mayBeEither = Intervals.within(either, s);
      boolean isOn = Intervals.within(on, s);
      assertEquals(isOn || mayBeEither, Texts.reaches(driven, "on " + stretch, judges), "on at " + s);
      assertEquals(!isOn || mayBeEither, Texts.reaches(driven, "off " + stretch, judges), "off at " + s);
    }
    return String.join(", ", judges);
  }
}
