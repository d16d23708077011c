package stoplog.plants.outside;

import static org.junit.jupiter.api.Assertions.assertEquals;

import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/**
 * Alarm states after ANSI/ISA-18.2-2016 and IEC 62682: an alarm that does not latch is, together with
 * its condition, in one of exactly four joint states whenever time passes, and an operator who does
 * what he will cannot bring it anywhere else. Power failures and memories beside it.
 */
class AlarmStatesTest {
  private static final String PLANT =
      """
      plant "One alarm"
      controller reacts within 0 s
      power may fail
      pump M-1 "horn"
      panel { hold-button low; button acknowledge, reset, start }
      logic {
        retained memory kept: no, yes
        memory lost: no, yes starts yes
        kept := yes when start
        lost := no when start
        alarm A-1 "low" : low %s
        run M-1 when A-1 is unacknowledged
      }
      """;

  /** Whether alarm and condition can be so together while power is on. */
  @ParameterizedTest
  @CsvSource(
      delimiter = '!',
      value = {
        "A-1 is normal                                ! not low ! true",
        "A-1 is normal                                ! low     ! false",
        "A-1 is unacknowledged and not A-1 is returned ! not low ! false",
        "A-1 is unacknowledged and not A-1 is returned ! low     ! true",
        "A-1 is acknowledged                          ! not low ! false",
        "A-1 is acknowledged                          ! low     ! true",
        "A-1 is returned                              ! not low ! true",
        "A-1 is returned                              ! low     ! false",
      })
  void alarmAndConditionHaveFourJointStates(String alarm, String condition, boolean reached) {
    String claim = "can " + alarm + " and " + condition;
    assertReached("", claim + " without power failure", reached);
    // A latched alarm has them too, and one more.
    assertReached("latched", claim + " without power failure", reached);
  }

  @ParameterizedTest
  @CsvSource(
      delimiter = '!',
      value = {
        // Once it is acknowledged it stands for as long as its condition.
        "''      ! once A-1 is standing, A-1 is standing stays until acknowledge ! true",
        "latched ! once A-1 is standing, A-1 is standing stays until reset       ! false",
        "''      ! once A-1 is standing, A-1 is standing stays until reset       ! true",
        "''      ! once A-1 is unacknowledged, A-1 is unacknowledged stays until acknowledge ! false",
        "''      ! once A-1 is active, A-1 is active stays until acknowledge     ! true",
        "latched ! can A-1 is latched and not low                                ! true",
        "latched ! can A-1 is latched and low                                    ! false",
        "latched ! can A-1 is latched and M-1 is turning                         ! false",
        "''      ! after A-1 is normal, A-1 is normal within 1 s                 ! false",
      })
  void alarmEndsAsItMay(String latched, String promise, boolean reached) {
    assertReached(latched, promise + " without power failure", reached);
  }

  /** Both memories change in one scan, so only a power failure leaves them at odds. */
  @ParameterizedTest
  @CsvSource(
      delimiter = '!',
      value = {
        "can kept is yes and lost is yes                       ! true",
        "can kept is yes and lost is yes without power failure ! false",
        "can kept is no and lost is no                         ! false",
        "once kept is yes, kept is yes stays until low         ! false",
        "once lost is no, lost is no stays until low           ! true",
      })
  void powerFailureForgetsWhatIsNotRetained(String promise, boolean reached) {
    assertReached("", promise, reached);
  }

  private static void assertReached(String latched, String promise, boolean reached) {
    String plant = PLANT.formatted(latched) + "require R-01 : " + promise + "\n";
    assertEquals(reached, Texts.reaches(Texts.model(plant), "R-01"), promise);
  }
}
