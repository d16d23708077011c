package stoplog.checker.report;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.List;
import org.junit.jupiter.api.Test;
import stoplog.model.Model;
import stoplog.model.Verdict;

final class CheckTextTest {
  private static final Model MODEL = TwoPumps.model();

  /** One claim of each standing but "proved". */
  static CheckRun mixed() {
    var effort = new Verdict.Effort(1234, 1300, 2, 1_234_000_000);
    var reached = TwoPumps.reached(TwoPumps.stopAndClean(MODEL, 1, 1));
    var made =
        TwoPumps.reached(TwoPumps.trace(MODEL, 1, 1, "0 start pressed", "0 scan", "0 scan"));
    return new CheckRun(
        "two-pumps.plant",
        MODEL,
        List.of(
            new Answer(MODEL.claim("H-02"), reached, TwoPumps.story(MODEL, "H-02", reached)),
            new Answer(
                MODEL.claim("H-03"),
                new Verdict.Undecided("the budget of states is used up", 7, List.of(), effort),
                null),
            new Answer(MODEL.claim("R-01"), made, TwoPumps.story(MODEL, "R-01", made)),
            new Answer(
                MODEL.claim("R-02"), new Verdict.Proved(-1, TwoPumps.KEPT, effort), null)),
        false,
        false,
        List.of());
  }

  @Test
  void verdictsComeFirstThenStoriesThenSummaryAndCaution() {
    assertEquals(
        """
        Two pumps   two-pumps.plant

        H-02  can happen  cleaning while the high-pressure pump turns       5 of 8 variables, 41 states, 5 events, 31.4 s
        H-03  undecided   cleaning against the high-pressure pump for long  1,234 states
              the budget of states is used up; no run with fewer than 7 events gets there
        R-01  holds       the skid can make water                           5 of 8 variables, 41 states, 5 events, 0.0 s
        R-02  broken      both pumps can run                                5 of 8 variables, 1,234 states

        H-02 can happen: cleaning while the high-pressure pump turns                        5 events, 31.4 s

             0.0 s  start       mode auto, P-201 at rest, P-301 at rest
                    operator    start pressed
                    scan        P-201 commanded on               P-201 running
            31.2 s  operator    stop pressed, mode to clean
            31.4 s  scan        P-201 commanded off,             P-201 coasting (2..5 s)
                                P-301 commanded on               P-301 running
                                                                 interlock "not making water" of P-301
                                                                   reads the command of P-201, but P-201 is
                                                                   coasting
            31.4 s  HAZARD      cleaning while the high-pressure pump turns
                                P-201 running, then coasting: for 31.4 s
                                P-301 running: from this instant on

          Left out: 4 steps that touch nothing this claim depends on.

        R-02 broken: both pumps can run

          No run of the plant gets there, whatever the operator and the process do. The answer leans on
          P-201, P-201.command, P-301, P-301.command, mode.

        Hazards: 1 can happen, 1 undecided. Requirements: 1 holds, 1 broken.
        What may decide more: a larger budget, such as --budget time=30min,memory=8GB; one claim at a time
        (--claim H-03), which then has all the memory and all threads; a claim that takes for granted
        (assuming ...) what the plant makes sure of by other means.
        A proof holds for the model, not the plant: it is worth what the plant file, its times and its
        limits are worth. It replaces neither factory test nor licensed engineers, local codes or the
        applicable standards.
        """,
        CheckText.render(mixed(), Ink.NONE, false));
  }

  @Test
  void wallTimesAreToldOnlyWhereAskedFor() {
    assertFalse(CheckText.render(mixed(), Ink.NONE, false).contains("took"));
    assertTrue(CheckText.render(mixed(), Ink.NONE, true).contains(", took 1.23 s\n"));
  }

  @Test
  void requirementThatHoldsTellsNoStory() {
    assertFalse(CheckText.render(mixed(), Ink.NONE, false).contains("R-01 holds"));
  }

  @Test
  void claimAskedForByNameTellsWhatItsVerdictLeansOn() {
    CheckRun all = mixed();
    var one =
        new CheckRun(all.file(), MODEL, all.answers().subList(3, 4), true, true, List.of());
    assertEquals(
        """
        Two pumps   two-pumps.plant   (searched whole)

        R-02  broken      both pumps can run  5 of 8 variables, 1,234 states
              leans on P-201, P-201.command, P-301, P-301.command, mode

        R-02 broken: both pumps can run

          No run of the plant gets there, whatever the operator and the process do. The answer leans on
          P-201, P-201.command, P-301, P-301.command, mode.

        Requirements: 1 broken. Not asked about: 3 claims.
        A proof holds for the model, not the plant: it is worth what the plant file, its times and its
        limits are worth. It replaces neither factory test nor licensed engineers, local codes or the
        applicable standards.
        """,
        CheckText.render(one, Ink.NONE, false));
  }

  @Test
  void coloursChangeNothingElse() {
    String coloured = CheckText.render(mixed(), Ink.COLOUR, false);
    String plain = CheckText.render(mixed(), Ink.NONE, false);
    assertEquals(
        plain.replaceAll(" +\n", "\n"),
        coloured.replaceAll("\u001b\\[[0-9;]*m", "").replaceAll(" +\n", "\n"));
    assertFalse(coloured.equals(plain));
  }
}
