package stoplog.plants.bench;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.stream.Stream;
import stoplog.checker.abstraction.Reads;
import stoplog.model.Claim;
import stoplog.model.Model;
import stoplog.model.Verdict;
import stoplog.plants.judges.SolverJudge;

/**
 * The fixed-point engine of an SMT library on the same plants and claims, in process and warm. It gets
 * the whole plant, as anyone can export it.
 */
final class AgainstSolver {
  private AgainstSolver() {}

  static void run(Report report, Extent extent) throws IOException {
    report.head("Against an SMT library's fixed-point engine (its time over ours)");
    double logs = 0;
    int count = 0;
    int timeouts = 0;
    int undecided = 0;
    int disagree = 0;
    double smallest = Double.MAX_VALUE;
    String slowest = "";
    for (Path directory : shipped(extent)) {
      Model model = Plants.read(directory);
      var reads = new Reads(model);
      double plantLogs = 0;
      int plantCount = 0;
      for (Claim claim : model.claims()) {
        if (claim.kind() == Claim.Kind.ALWAYS_CAN || (!extent.full() && plantCount == 2)) {
          continue; // A question of another kind, that Horn clauses do not ask.
        }
        Verdict[] ours = new Verdict[1];
        double mine = Clock.median(5, () -> ours[0] = Plants.decide(reads, claim, extent.claimSeconds()));
        long start = System.nanoTime();
        SolverJudge.Answer answer = SolverJudge.decide(model, claim, extent.solverMillis());
        double theirs = System.nanoTime() - start;
        if (answer == SolverJudge.Answer.UNKNOWN) {
          timeouts++;
          theirs = Math.max(theirs, extent.solverMillis() * 1e6);
        }
        undecided += ours[0] instanceof Verdict.Undecided ? 1 : 0;
        disagree += disagree(answer, ours[0]) ? 1 : 0;
        double ratio = theirs / mine;
        plantLogs += Math.log(ratio);
        plantCount++;
        if (ratio < smallest) {
          smallest = ratio;
          slowest = directory.getFileName() + " " + claim.id() + ", " + Report.time(mine);
        }
      }
      logs += plantLogs;
      count += plantCount;
      report.figure(
          "  " + directory.getFileName() + ", " + plantCount + " claims, geometric mean",
          Report.number(Math.exp(plantLogs / Math.max(1, plantCount))));
    }
    report.atLeast(
        "geometric mean of " + count + " claims",
        timeouts + " at its limit of " + Report.number(extent.solverMillis() / 1e3) + " s",
        Math.exp(logs / Math.max(1, count)),
        500);
    report.atLeast("smallest: " + slowest, "", smallest, 1);
    report.must("claims on which both answer and differ", "" + disagree, disagree == 0);
    report.must("claims we do not decide", "" + undecided, undecided == 0);
    report.note("  A claim on which the solver gives up counts with its limit: the true ratio is larger.");
  }

  private static boolean disagree(SolverJudge.Answer answer, Verdict ours) {
    return answer == SolverJudge.Answer.REACHABLE && ours instanceof Verdict.Proved
        || answer == SolverJudge.Answer.UNREACHABLE && ours instanceof Verdict.Reached;
  }

  /** The plants of this module; benchmarks run in its directory. */
  static List<Path> shipped(Extent extent) throws IOException {
    try (Stream<Path> all = Files.list(Path.of("."))) {
      List<Path> plants =
          all.filter(d -> Files.exists(d.resolve(d.getFileName() + ".plant"))).sorted().toList();
      return extent.full() ? plants : plants.subList(0, 2);
    }
  }
}
