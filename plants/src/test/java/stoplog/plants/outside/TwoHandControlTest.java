package stoplog.plants.outside;

import static org.junit.jupiter.api.Assertions.assertEquals;

import org.junit.jupiter.api.Test;
import stoplog.model.Model;

/**
 * A two-hand control written as a plant, against ISO 13851:2019 type III C (the rule as quoted in an
 * open legal text, Québec S-2.1 r.13 s.185; clause numbers from memory): the output comes on only if
 * both buttons are pressed within half a second of each other, ends when either is let go, and comes
 * on again only after both were let go.
 */
class TwoHandControlTest {
  /** The last claim is there for its 1 ms, which is then the quantum of the plant. */
  private static final String PLANT =
      """
      plant "Two-hand control"
      controller reacts within 0 ms
      pump M-1 "press drive"
      panel { hold-button left, right }
      logic {
        latch stroke: set by left and right and not used; cleared by not left or not right
        -- Both have to be let go before the next stroke.
        latch used: set by stroke or ((left or right) for 500 ms); cleared by not left and not right
        run M-1 when stroke
      }
      hazard H-01 "the drive turns" : M-1 is turning for 1 ms
      """;

  @Test
  void secondHandMayComeHalfASecondLater() {
    var inTime = pressed(new long[] {1_000}, new long[] {1_499});
    inTime.assertOutput(1_499, true, false);
    inTime.assertOutput(1_000, false, true);
  }

  /** In the very instant in which the half second ends, either may come first. */
  @Test
  void secondHandAtHalfASecondIsATie() {
    pressed(new long[] {1_000}, new long[] {1_500}).assertOutput(1_500, true, true);
  }

  @Test
  void secondHandAfterHalfASecondDoesNothing() {
    pressed(new long[] {1_000}, new long[] {1_501}).assertOutput(1_501, false, true);
    pressed(new long[] {1_501}, new long[] {1_000}).assertOutput(1_501, false, true);
  }

  @Test
  void eitherHandEndsTheStroke() {
    var left = pressed(new long[] {1_000, 3_000}, new long[] {1_200});
    left.assertOutput(1_200, true, false);
    left.assertOutput(3_000, false, true);
    var right = pressed(new long[] {1_000}, new long[] {1_200, 1_300});
    right.assertOutput(1_200, true, false);
    right.assertOutput(1_300, false, true);
  }

  @Test
  void oneHandLetGoAndPressedAgainDoesNothing() {
    var soon = pressed(new long[] {1_000}, new long[] {1_100, 1_200, 1_300});
    soon.assertOutput(1_300, false, true);
    var late = pressed(new long[] {1_000}, new long[] {1_100, 3_000, 4_000});
    late.assertOutput(4_000, false, true);
  }

  @Test
  void bothHandsLetGoAndPressedAgainMakeAStroke() {
    var again = pressed(new long[] {1_000, 3_000, 4_000}, new long[] {1_100, 2_000, 4_100});
    again.assertOutput(3_000, false, true);
    again.assertOutput(4_000, false, true);
    again.assertOutput(4_100, true, false);
  }

  private static Pressed pressed(long[] left, long[] right) {
    Model model = Texts.model(PLANT);
    assertEquals(1_000, model.quantumMicros());
    var drive = new Drive(model).input("left", left).input("right", right);
    return new Pressed(drive, drive.asking("M-1"));
  }

  /** The buttons were pressed and let go at given times. */
  private record Pressed(Drive drive, Model model) {

    /** What the output can be from this time, at which a button is moved, to the next. */
    void assertOutput(long from, boolean on, boolean off) {
      int stretch = drive.stretchFrom(from);
      assertEquals(on, Texts.reaches(model, "on " + stretch), "on from " + from + " ms");
      assertEquals(off, Texts.reaches(model, "off " + stretch), "off from " + from + " ms");
    }
  }
}
