package stoplog.plants.outside;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertInstanceOf;
import static org.junit.jupiter.api.Assertions.fail;
import static stoplog.plants.outside.ShortestRunsTest.claim;

import java.time.Duration;
import java.util.Arrays;
import java.util.TreeSet;
import org.junit.jupiter.api.Test;
import stoplog.checker.abstraction.Decider;
import stoplog.checker.abstraction.Reads;
import stoplog.checker.explore.Budget;
import stoplog.checker.explore.Progress;
import stoplog.checker.reference.TickJudge;
import stoplog.model.Bound;
import stoplog.model.Model;
import stoplog.model.Verdict;
import stoplog.plants.outside.TimedClassics.Window;

/** Verdicts over dense time that turn on one bound. */
class TimedClassicsTest {
  private static final Budget BUDGET =
      new Budget(5_000_000, 1L << 30, Duration.ofMinutes(2));

  /**
   * Lamport, ACM TOCS 5(1), 1987; Abadi and Lamport 1994: two get inside exactly if b is less than a,
   * or equal to it with both bounds closed.
   */
  @Test
  void delayExcludesExactlyIfItOutlastsTheWrite() {
    for (int n = 2; n <= 4; n++) {
      Bound two = Bound.at(2);
      Bound lessThanTwo = Bound.open(2);
      Bound three = Bound.at(3);
      exclusion(n, "b > a", "Lamport 1987", false, two, three);
      String even = "Abadi and Lamport 1994";
      exclusion(n, "b = a, one open", even, false, two, lessThanTwo, lessThanTwo, two, lessThanTwo, lessThanTwo);
      exclusion(n, "b = a, both closed", even, true, two, two);
      exclusion(n, "b < a", "Lamport 1987", true, three, two, Bound.open(3), lessThanTwo);
    }
  }

  /** One row for several pairs of bounds, a and b, with one verdict. */
  private static void exclusion(int n, String which, String source, boolean reachable, Bound... bounds) {
    var judges = new TreeSet<String>();
    for (int i = 0; i < bounds.length; i += 2) {
      Model model = TimedClassics.exclusionByDelay(n, bounds[i], bounds[i + 1]);
      if (reachable) {
        assertReachable(model, "both");
      } else {
        assertUnreachable(model, "both");
      }
      judges.add(Judged.by(model, claim(model, "both"), certified(model, "both"), n <= 3 ? 50_000 : 0));
    }
    String word = reachable ? "reachable" : "unreachable";
    row("exclusion by delay, " + n + " processes", which, source, word, word, String.join(", ", judges));
  }

  private static Decider.Decision certified(Model model, String claim) {
    return Decider.decideWholeCertified(new Reads(model), claim(model, claim), BUDGET, Progress.NONE);
  }

  /** Numbers of discrete states when safe, and the least number of steps to two inside when not. */
  @Test
  void delayReachesItsPublishedStates() {
    int[] states = {18, 65, 220};
    for (int n = 2; n <= 4; n++) {
      var safe = TimedClassics.exclusionByDelay(n, Bound.at(2), Bound.at(3));
      var proved = assertInstanceOf(Verdict.Proved.class, whole(safe, "both"));
      assertEquals(states[n - 2], proved.effort().states());
      var unsafe = TimedClassics.exclusionByDelay(n, Bound.at(3), Bound.at(2));
      var reached = assertInstanceOf(Verdict.Reached.class, whole(unsafe, "both"));
      assertEquals(6, reached.events());
      String what = "exclusion by delay, " + n + " processes";
      row(what + ", b > a", "discrete states", "Lamport 1987", states[n - 2], proved.effort().states(), "none");
      row(what + ", b < a", "least steps to two inside", "Lamport 1987", 6, reached.events(), "none");
    }
  }

  /** Alur and Dill, TCS 126, 1994; the slower gates are derived: told down at 1, train in after 2. */
  @Test
  void gateIsDownBeforeTheTrainComes() {
    assertUnreachable(TimedClassics.levelCrossing(Bound.open(10)), "open");
    assertUnreachable(TimedClassics.levelCrossing(Bound.at(10)), "open");
    assertReachable(TimedClassics.levelCrossing(Bound.at(11)), "open");
    row("level crossing, gate down in less than 1", "train in, gate not down", "Alur and Dill 1994",
        "unreachable", "unreachable", "ticks");
    row("level crossing, gate down in up to 1.1", "train in, gate not down", "derived",
        "reachable", "reachable", "ticks");
  }

  /** Recomputed by others: the pump outlasts the valve until its closing is delayed. */
  @Test
  void delayedValveWaitsForThePump() {
    var valve = new Window(5, 5);
    var pump = new Window(8, 8);
    assertReachable(TimedClassics.stopRace(valve, pump, 0), "overlap");
    assertUnreachable(TimedClassics.stopRace(valve, pump, 4), "touch");
    assertUnreachable(TimedClassics.stopRace(valve, pump, 4), "overlap");
  }

  /** As above with windows: the quickest valve against the longest coast. */
  @Test
  void windowsAreTakenAtTheirWorst() {
    var valve = new Window(3, 7);
    var pump = new Window(5, 12);
    assertReachable(TimedClassics.stopRace(valve, pump, 8), "overlap");
    assertReachable(TimedClassics.stopRace(valve, pump, 9), "touch");
    assertUnreachable(TimedClassics.stopRace(valve, pump, 10), "touch");
  }

  /** An overlap that is over in the instant in which it begins is seen, but is no hazard. */
  @Test
  void touchingInOneInstantIsNoOverlap() {
    var exact = TimedClassics.stopRace(new Window(5, 5), new Window(8, 8), 3);
    assertReachable(exact, "touch");
    assertUnreachable(exact, "overlap");
    touches("v 0.5 s, p 0.8 s, delay 0.3 s", exact);
    var windows = TimedClassics.stopRace(new Window(3, 7), new Window(5, 12), 9);
    assertUnreachable(windows, "overlap");
    touches("v 0.3..0.7 s, p 0.5..1.2 s, delay 0.9 s", windows);
  }

  /** Counted as the source counts: both in one instant. */
  private static void touches(String race, Model model) {
    assertInstanceOf(TickJudge.Yes.class, TickJudge.reachable(model, claim(model, "touch"), 50_000));
    row("stop race, " + race, "pump turning, valve shut, be it in one instant", "arithmetic",
        "reachable", "reachable", "ticks");
  }

  /** Rote, EATCS Bulletin 2002. */
  @Test
  void bridgeIsCrossedInItsLeastTimes() {
    assertLeast(17, 2, 1, 2, 5, 10);
    assertLeast(15, 2, 1, 2, 5, 8);
    assertLeast(60, 2, 5, 10, 20, 25);
    assertLeast(29, 2, 1, 3, 6, 8, 12);
    assertLeast(65, 2, 1, 20, 21, 22);
    assertLeast(16, 2, 1, 2, 3, 4, 5);
    assertLeast(9, 2, 1, 2, 2, 3);
  }

  /** Recomputed by others from the same rules. */
  @Test
  void bridgeForThreeIsCrossedInItsLeastTimes() {
    assertLeast(13, 3, 1, 2, 5, 10);
    assertLeast(11, 3, 1, 2, 5, 8);
    assertLeast(40, 3, 5, 10, 20, 25);
    assertLeast(19, 3, 1, 3, 6, 8, 12);
    assertLeast(43, 3, 1, 20, 21, 22);
    assertLeast(9, 3, 1, 2, 3, 4, 5);
    assertLeast(6, 3, 1, 2, 2, 3);
  }

  private static void assertLeast(int least, int atOnce, int... minutes) {
    Model enough = TimedClassics.bridge(atOnce, least, minutes);
    Decider.Decision run = certified(enough, "in time");
    assertInstanceOf(Verdict.Reached.class, run.verdict(), enough.name());
    Model tooShort = TimedClassics.bridge(atOnce, least - 1, minutes);
    Decider.Decision proof = certified(tooShort, "in time");
    assertInstanceOf(Verdict.Proved.class, proof.verdict(), tooShort.name());
    String judges =
        Judged.by(enough, claim(enough, "in time"), run, 0)
            + ", "
            + Judged.by(tooShort, claim(tooShort, "in time"), proof, 0);
    row("bridge, " + atOnce + " at a time, " + Arrays.toString(minutes).replaceAll("[\\[\\]]", ""),
        "least time", atOnce == 2 ? "Rote, EATCS Bulletin 2002" : "recomputed by others", least, least, judges);
  }

  private static void row(
      String what, String value, String source, Object published, Object ours, String judge) {
    Results.value(
        TimedClassicsTest.class, "G2 " + what + value, what + ": " + value, source, published, ours, judge);
  }

  private static void assertReachable(Model model, String claim) {
    assertInstanceOf(Verdict.Reached.class, whole(model, claim), model.name());
    assertInstanceOf(Verdict.Reached.class, localised(model, claim), model.name());
    assertTicksAgree(model, claim, true);
  }

  private static void assertUnreachable(Model model, String claim) {
    assertInstanceOf(Verdict.Proved.class, whole(model, claim), model.name());
    assertInstanceOf(Verdict.Proved.class, localised(model, claim), model.name());
    assertTicksAgree(model, claim, false);
  }

  /** The enumeration of every tick has the last word wherever it comes to an end. */
  private static void assertTicksAgree(Model model, String claim, boolean reachable) {
    switch (TickJudge.reachable(model, claim(model, claim), 50_000)) {
      case TickJudge.Yes yes when !reachable -> fail(model.name() + ": ticks reach " + claim);
      case TickJudge.No no when reachable -> fail(model.name() + ": no tick reaches " + claim);
      case TickJudge.Answer agreed -> {}
    }
  }

  private static Verdict whole(Model model, String claim) {
    return Decider.decideWhole(model, claim(model, claim), BUDGET, Progress.NONE);
  }

  private static Verdict localised(Model model, String claim) {
    return Decider.decide(model, claim(model, claim), BUDGET, Progress.NONE);
  }
}
