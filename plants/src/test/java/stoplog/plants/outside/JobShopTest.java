package stoplog.plants.outside;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertInstanceOf;

import java.time.Duration;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import stoplog.checker.abstraction.Decider;
import stoplog.checker.abstraction.Reads;
import stoplog.checker.explore.Budget;
import stoplog.checker.explore.Progress;
import stoplog.checker.reference.Replay;
import stoplog.checker.reference.Replayed;
import stoplog.checker.testkit.ModelBuilder;
import stoplog.checker.testkit.ModelBuilder.Var;
import stoplog.checker.testkit.ModelBuilder.Watch;
import stoplog.model.Claim;
import stoplog.model.Expr;
import stoplog.model.Model;
import stoplog.model.Role;
import stoplog.model.Verdict;

/**
 * The first jobs of the six-by-six job shop of Fisher and Thompson (1963): each job visits the machines
 * in its order, a machine serves one job at a time, and all are done in a published least time.
 */
class JobShopTest {
  private static final Budget BUDGET =
      new Budget(5_000_000, 1L << 30, Duration.ofMinutes(2));

  /** The proof about five jobs is too long for the certificate checker. */
  private static final long MOST_CHECKED = 10_000;

  private static final int MOST_COUNTED = 100_000;

  /** Machine and time of each operation, as printed. */
  private static final int[][][] JOBS = {
    {{2, 1}, {0, 3}, {1, 6}, {3, 7}, {5, 3}, {4, 6}},
    {{1, 8}, {2, 5}, {4, 10}, {5, 10}, {0, 10}, {3, 4}},
    {{2, 5}, {3, 4}, {5, 8}, {0, 9}, {1, 1}, {4, 7}},
    {{1, 5}, {0, 5}, {2, 5}, {3, 3}, {4, 8}, {5, 9}},
    {{2, 9}, {1, 3}, {4, 5}, {5, 4}, {0, 3}, {3, 1}},
    {{1, 3}, {3, 3}, {5, 9}, {0, 10}, {4, 4}, {2, 1}},
  };

  @ParameterizedTest
  @CsvSource({"2, 47", "3, 47", "4, 47", "5, 51"})
  void firstJobsAreDoneInTheirLeastTime(int jobs, int least) {
    String replay = judged(jobs, least, Verdict.Reached.class);
    String certificate = judged(jobs, least - 1, Verdict.Proved.class);
    // Reached within the least time and not within one less: these asserts are our value.
    Results.value(
        JobShopTest.class,
        "G2 job shop " + jobs,
        "job shop ft06, first " + jobs + " jobs: least time",
        "Fisher and Thompson 1963",
        least,
        least,
        replay + ", " + certificate);
  }

  /**
   * All six, counted in units: 54 is out of reach, which the plain interpreter finds too, and 55 is not. Of the
   * first jobs the units say what the clocks say.
   */
  @ParameterizedTest
  @CsvSource({"2, 47", "3, 47", "4, 47", "5, 51", "6, 55"})
  void jobsCountedInUnitsAreDoneInTheirLeastTime(int jobs, int least) {
    int[][][] first = Arrays.copyOf(JOBS, jobs);
    Model inTime = ShopInUnits.model(first, least);
    Verdict verdict = whole(inTime);
    var reached = assertInstanceOf(Verdict.Reached.class, verdict, inTime.name());
    Claim claim = ShortestRunsTest.claim(inTime, "in time");
    assertInstanceOf(Replayed.Valid.class, Replay.run(inTime, claim, reached.trace()));
    Model sooner = ShopInUnits.model(first, least - 1);
    assertInstanceOf(Verdict.Proved.class, whole(sooner), sooner.name());
    if (jobs == JOBS.length) {
      Claim soonest = ShortestRunsTest.claim(sooner, "in time");
      assertEquals(PlainCount.UNREACHABLE, PlainCount.leastSteps(sooner, soonest, MOST_COUNTED));
      Results.value(
          JobShopTest.class,
          "G2 job shop " + jobs,
          "job shop ft06, all " + jobs + " jobs: least time",
          "Fisher and Thompson 1963",
          least,
          least,
          "replay, interpreter");
    }
  }

  private static Verdict whole(Model model) {
    return Decider.decideWhole(model, ShortestRunsTest.claim(model, "in time"), BUDGET, Progress.NONE);
  }

  /** Who judged the expected verdict. */
  private static String judged(int jobs, int limit, Class<? extends Verdict> expected) {
    Model model = model(jobs, limit);
    Claim claim = ShortestRunsTest.claim(model, "in time");
    Decider.Decision decision =
        Decider.decideWholeCertified(new Reads(model), claim, BUDGET, Progress.NONE);
    assertInstanceOf(expected, decision.verdict(), model.name());
    boolean tooLong = decision.verdict() instanceof Verdict.Proved p && p.effort().states() > MOST_CHECKED;
    return tooLong ? "search" : Judged.by(model, claim, decision, 0);
  }

  /** How long this operation and those behind it take at least. */
  private static int remaining(int[][] job, int from) {
    int time = 0;
    for (int k = from; k < job.length; k++) {
      time += job[k][1];
    }
    return time;
  }

  /** Phase 2k of a job waits for operation k, phase 2k + 1 is in it. */
  private static Model model(int jobs, int limit) {
    var m = new ModelBuilder(jobs + " jobs within " + limit).powered(Expr.FALSE);
    Var done = m.bit("in time", Role.PROCESS);
    List<Var> phases = new ArrayList<>();
    List<Expr> finished = new ArrayList<>();
    for (int j = 0; j < jobs; j++) {
      Var phase = m.number("job " + j, Role.PROCESS, 2 * JOBS[j].length + 1);
      phases.add(phase);
      finished.add(phase.is(2 * JOBS[j].length));
    }
    Watch since = m.clock("since the start", done.off());
    for (int j = 0; j < jobs; j++) {
      for (int k = 0; k < JOBS[j].length; k++) {
        int machine = JOBS[j][k][0];
        int time = JOBS[j][k][1];
        Var phase = phases.get(j);
        List<Expr> guard = new ArrayList<>(List.of(phase.is(2 * k)));
        for (int other = 0; other < jobs; other++) {
          for (int n = 0; n < JOBS[other].length; n++) {
            if (other != j && JOBS[other][n][0] == machine) {
              guard.add(Expr.not(phases.get(other).is(2 * n + 1)));
            }
          }
        }
        // What begins too late for the rest of its job is not in time: it need not begin.
        int latest = limit - remaining(JOBS[j], k);
        if (latest >= 0) {
          m.change("job " + j + " on machine " + machine)
              .when(Expr.all(guard))
              .between(since, 0, latest)
              .does(phase.to(2 * k + 1));
        }
        Watch work = m.clock("job " + j + " step " + k, phase.is(2 * k + 1)).limit(time);
        m.change("job " + j + " leaves machine " + machine)
            .when(phase.is(2 * k + 1))
            .between(work, time, time)
            .does(phase.to(2 * k + 2));
      }
    }
    m.change("all done")
        .when(Expr.all(done.off(), Expr.all(finished)))
        .between(since, 0, limit)
        .does(done.to(1));
    m.can("in time", done.on());
    return m.build();
  }
}
