package stoplog.plants.outside;

import static org.junit.jupiter.api.Assertions.assertEquals;

import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import stoplog.model.Model;

/**
 * Counters, memories, duties, votes and bypasses against drawn signals: three inputs are on in the
 * seconds stated and the output, worked out by hand, must be on in exactly those stated. Inputs that
 * turn at the same second are seen by one scan.
 */
class RememberingLogicTest {
  private static final int SECONDS = 14;

  private static final String PLANT =
      """
      plant "Signals"
      controller reacts within 0 s
      pump M-1 "output"
      pump M-2 "other"
      panel { hold-button a, b, c; button reset }
      logic {
        %s
      }
      hazard H-01 "output on" : M-1 is turning for 1 s
      """;

  private static void assertOutput(String logic, String a, String b, String c, String on) {
    assertOutput(PLANT, logic, a, b, c, on);
  }

  private static void assertOutput(
      String plant, String logic, String a, String b, String c, String on) {
    Model model = Texts.model(plant.formatted(logic));
    long second = 1_000_000 / model.quantumMicros();
    var drive = new Drive(model);
    for (int s = 0; s <= SECONDS; s++) {
      drive.mark(s * second);
    }
    drive.input("a", Intervals.times(a, second));
    drive.input("b", Intervals.times(b, second));
    drive.input("c", Intervals.times(c, second));
    Model driven = drive.asking("M-1");
    for (int s = 0; s < SECONDS; s++) {
      int stretch = drive.stretchFrom(s * second);
      boolean isOn = Intervals.within(on, s);
      assertEquals(isOn, Texts.reaches(driven, "on " + stretch), "on at " + s);
      assertEquals(!isOn, Texts.reaches(driven, "off " + stretch), "off at " + s);
    }
  }

  /** The standard function block CTUD of IEC 61131-3, kept within 0 to 3. */
  @ParameterizedTest
  @CsvSource(
      delimiter = '!',
      value = {
        // a counts up, b counts down, c clears.
        "1-2 3-4 5-6 7-8 9-10 ! ''      ! ''   ! is full ! 5-14",
        "1-2 3-4 5-6 7-8 9-10 ! ''      ! ''   ! >= 2    ! 3-14",
        // 1, 2, 3, then 2, 3, 2, 3.
        "1-2 3-4 5-6 7-8 9-10 ! 6-7 8-9 ! ''   ! is full ! 5-6 7-8 9-14",
        // The fourth edge up at the top is not counted, so two edges down leave 1.
        "1-2 3-4 5-6 7-8      ! 9-10 11-12 ! '' ! >= 2   ! 3-11",
        // Both edges in one scan cancel.
        "1-2 3-4              ! 3-5     ! ''   ! >= 2    ! ''",
        "1-2 3-4              ! 3-5     ! ''   ! >= 1    ! 1-14",
        // Clearing wins over an edge in the same scan, and over one while it lasts.
        "1-2 3-4 5-6          ! ''      ! 4-6  ! >= 1    ! 1-4",
        "1-2 3-4              ! ''      ! 3-4  ! >= 1    ! 1-3",
        // Nothing is below 0.
        "3-4                  ! 1-2     ! ''   ! is empty ! 0-3",
      })
  void counterFollowsItsStandard(String a, String b, String c, String asked, String on) {
    assertOutput(
        "counter n to 3: up by a; down by b; cleared by c\n  run M-1 when n "
            + asked
            + "\n  run M-2 when a",
        a,
        b,
        c,
        on);
  }

  @ParameterizedTest
  @CsvSource(
      delimiter = '!',
      value = {
        // tries goes 0, 1, 2, and no further; then down to 0, and no further.
        "1-2 3-4 5-6 ! ''        ! tries >= 2              ! 3-14",
        "1-2 3-4 5-6 ! 8-9       ! tries >= 1              ! 1-14",
        "1-2 3-4 5-6 ! 8-9 10-11 ! tries >= 1              ! 1-10",
        "''          ! 1-2       ! tries < 1               ! 0-14",
        // The later of two assignments in one scan counts.
        "2-4         ! 3-5       ! phase is running        ! 2-3",
        "2-4         ! 3-5       ! phase is resting        ! 3-14",
        "2-4         ! 3-5       ! phase is waiting        ! 0-2",
        // What is assigned above is of the last scan, and one more scan follows a change.
        "2-4         ! 3-5       ! before is running       ! 2-3",
        // left goes from 1 to 0, and no further; tries goes 1, 0.
        "2-5         ! 3-4       ! tries > left            ! 2-3",
      })
  void memoryKeepsWhatItIsGiven(String a, String b, String asked, String on) {
    String logic =
        """
        memory phase: waiting, running, resting
        memory before: waiting, running, resting
        memory tries: 0..2
        memory left: 0..9 starts 1
        before := phase
        phase := running when a
        phase := resting when b
        tries := tries + 1 when a rises
        tries := tries - 1 when b rises
        left := left - 3 when a rises
        run M-1 when %s
        run M-2 when a
        """;
    assertOutput(logic.formatted(asked), a, b, "", on);
  }

  /** a calls for a pump, b trips the first, c the second. */
  @ParameterizedTest
  @CsvSource(
      delimiter = '!',
      value = {
        "1-2 3-4 5-6 7-8 ! ''  ! ''  ! 1-2 5-6",
        // The first trips and the second takes over; the first has its turn again after the next.
        "1-6 8-9 10-11   ! 3-4 ! ''  ! 1-3 10-11",
        "1-6             ! 3-4 ! 4-5 ! 1-3",
        // The second trips while the first has its turn already.
        "1-6             ! ''  ! 3-4 ! 1-6",
        // The turn never comes to one that is tripped.
        "1-6 8-9         ! 7-9 ! ''  ! 1-6",
      })
  void dutyPassesOnAndAvoidsTheTripped(String a, String b, String c, String on) {
    String logic =
        """
        duty feed: M-1, M-2; alternates when a falls
        run M-1 when a and M-1 is duty { trip "first" : b reset by not a }
        run M-2 when a and M-2 is duty { trip "second" : c reset by not a }
        """;
    assertOutput(logic, a, b, c, on);
  }

  /** The same with the output as the second in turn: what it takes over. */
  @ParameterizedTest
  @CsvSource(
      delimiter = '!',
      value = {
        "1-2 3-4 5-6 ! ''  ! ''  ! 3-4",
        // The first trips at 3; it is tripped still when its turn would come at 6.
        "1-6 8-9     ! 3-4 ! ''  ! 3-6 8-9",
        // Both are tripped from 4 on.
        "1-6         ! 3-4 ! 4-5 ! 3-4",
        "1-6         ! ''  ! 3-4 ! ''",
      })
  void standbyTakesOverFromTheTripped(String a, String b, String c, String on) {
    String logic =
        """
        duty feed: M-2, M-1; alternates when a falls
        run M-2 when a and M-2 is duty { trip "first" : b reset by not a }
        run M-1 when a and M-1 is duty { trip "second" : c reset by not a }
        """;
    assertOutput(logic, a, b, c, on);
  }

  @ParameterizedTest
  @CsvSource(
      delimiter = '!',
      value = {
        "at least 2 of (a, b, c)          ! 2-4 5-6",
        "exactly 1 of (a, b, c)           ! 1-2 4-5 6-8",
        "at most 1 of (a, b, c)           ! 0-2 4-5 6-14",
        "none of (a, b, c)                ! 0-1 8-14",
        "any of (a, b, c)                 ! 1-8",
        "all of (a, b)                    ! 2-4",
        "exactly 2 of (a, b, c, not c)    ! 1-2 4-6",
        "at least 3 of (a, b, c, a, b)    ! 2-4 5-6",
        "exactly 2 of (a, b, c, a, b)     ! 1-2 4-5",
        "at most 2 of (a, b, c, a, b)     ! 0-2 4-5 6-14",
      })
  void votesCountWhatHolds(String vote, String on) {
    String logic = "run M-1 when " + vote + "\n  run M-2 when a";
    // Two of a, b, c hold from 2 to 4 (a, b) and from 5 to 6 (b, c).
    assertOutput(logic, "1-4", "2-6", "5-8", on);
  }

  @ParameterizedTest
  @CsvSource(
      delimiter = '!',
      value = {
        "interlock \"x\" : b bypassable by c         ! 1-10       ! 2-4 ! 3-6 ! 2-6",
        "permissive \"x\" : b bypassable by c        ! 1-10       ! 3-4 ! 2-3 ! 2-10",
        "trip \"x\" : b reset by not a bypassable by c ! 1-10 11-12 ! 2-4 ! 2-3 ! 1-3 11-12",
        "trip \"x\" : b reset by not a bypassable by c ! 1-10       ! 3-5 ! 2-6 ! 1-10",
      })
  void bypassStandsForItsCondition(String guard, String a, String b, String c, String on) {
    assertOutput("run M-1 when a { " + guard + " }\n  run M-2 when a", a, b, c, on);
  }

  @ParameterizedTest
  @CsvSource(
      delimiter = '!',
      value = {"1-10 ! 2-4 ! 3-6 ! 0-2 6-14", "'' ! '' ! '' ! 0-14"})
  void blockedIsAnInterlockThatDoesNotHold(String a, String b, String c, String on) {
    String logic =
        """
        run M-1 when blocked M-2
        run M-2 when a {
          permissive "p" : not b
          interlock "x" : b bypassable by c
          interlock "y" : a or not a
        }
        """;
    assertOutput(logic, a, b, c, on);
  }

  /** a wants the drive, at slow speed while b; c stops it. Between speeds no permissive is asked. */
  @ParameterizedTest
  @CsvSource(
      delimiter = '!',
      value = {
        "interlock  ! slow ! 3-5",
        "interlock  ! full ! 1-3 7-10",
        "interlock  ! off  ! 0-1 5-7 10-14",
        "permissive ! slow ! 3-5",
        "permissive ! full ! 1-3 7-10",
      })
  void driveTakesTheFirstSpeedThatHolds(String kind, String speed, String on) {
    String logic =
        """
        run D-1 when a {
          at slow when b
          permissive "p" : %s
          interlock "i" : not c
        }
        run M-1 when D-1 is commanded %s
        run M-2 when a
        """;
    String asked = kind.equals("permissive") ? "not b" : "a";
    String plant = PLANT.replace("panel {", "drive_pump D-1\npanel {");
    assertOutput(plant, logic.formatted(asked, speed), "1-10", "3-6", "5-7", on);
  }

  /** a is the condition, b acknowledges, c resets. */
  @ParameterizedTest
  @CsvSource(
      delimiter = '!',
      value = {
        "''      ! A-1                   ! 1-3 6-7",
        "''      ! A-1 is active         ! 1-3 6-7",
        "''      ! A-1 is unacknowledged ! 1-2 6-9",
        "''      ! A-1 is acknowledged   ! 2-3",
        "''      ! A-1 is returned       ! 7-9",
        "''      ! A-1 is standing       ! 1-3 6-9",
        "''      ! A-1 is normal         ! 0-1 3-6 9-14",
        "latched ! A-1                   ! 1-3 6-7",
        "latched ! A-1 is unacknowledged ! 1-2 6-9",
        "latched ! A-1 is latched        ! 3-6 9-11",
        "latched ! A-1 is standing       ! 1-11",
        "latched ! group_a is standing   ! 1-11",
        "latched ! group_a is normal     ! 0-1 11-14",
      })
  void alarmFollowsItsStates(String latched, String asked, String on) {
    String logic =
        """
        alarm group group_a {
          alarm A-1 "x" : a %s
          acknowledged by b
          reset by c
        }
        run M-1 when %s
        run M-2 when a
        """;
    assertOutput(logic.formatted(latched, asked), "1-3 6-7", "2-3 9-10", "11-12", on);
  }

  /** An acknowledgement that comes with the alarm, first or again, is for what stood before. */
  @ParameterizedTest
  @CsvSource(
      delimiter = '!',
      value = {
        "1-3     ! 2-3 ! 1-2",
        "1-3     ! 1-2 ! 1-14",
        "1-2 4-6 ! 4-5 ! 1-14",
        "1-2     ! 2-3 ! 1-2",
      })
  void onlyWhatStoodIsAcknowledged(String a, String b, String on) {
    String logic =
        """
        alarm group group_a {
          alarm A-1 "x" : a
          acknowledged by b rises
        }
        run M-1 when A-1 is unacknowledged
        run M-2 when a or c
        """;
    assertOutput(logic, a, b, "", on);
  }

  /** a and b are the conditions, c acknowledges. */
  @ParameterizedTest
  @CsvSource(
      delimiter = '!',
      value = {
        "2-4     ! 1-6 ! 7-8 ! A-2 ! 1-7",
        "2-4     ! 1-6 ! 7-8 ! A-1 ! ''",
        // Both in one scan: the one written first.
        "1-2     ! 1-2 ! 5-6 ! A-1 ! 1-5",
        "1-2     ! 1-2 ! 5-6 ! A-2 ! ''",
        // Once all were normal, the next that comes is first.
        "1-2 8-9 ! 7-9 ! 4-5 ! A-1 ! 1-4",
        "1-2 8-9 ! 7-9 ! 4-5 ! A-2 ! 7-14",
        // It came first, and stays first while the others stand.
        "1-2     ! 2-9 ! 3-4 ! A-1 ! 1-9",
      })
  void firstOutIsTheOneThatCameFirst(String a, String b, String c, String first, String on) {
    String logic =
        """
        alarm group group_a first-out {
          alarm A-1 "x" : a
          alarm A-2 "y" : b
          acknowledged by c rises or c and not a and not b
        }
        run M-1 when %s is first
        run M-2 when a
        """;
    assertOutput(logic.formatted(first), a, b, c, on);
  }
}
