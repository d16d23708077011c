package stoplog.plants.bench;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Map;
import java.util.TreeMap;
import stoplog.checker.abstraction.Family;
import stoplog.checker.abstraction.Reads;
import stoplog.checker.analyse.Health;
import stoplog.checker.analyse.Remembered;
import stoplog.checker.explore.Progress;
import stoplog.model.Model;
import stoplog.model.Claim;
import stoplog.model.Verdict;
import stoplog.plants.works.Works;

/** A works of ten thousand tags, read and decided in a process of its own with little memory. */
final class LargeWorks {
  private static final int READINGS = 5;

  private LargeWorks() {}

  static void run(Report report, Extent extent) throws IOException {
    String text = Works.of(extent.tags());
    Plants.read(text);
    Plants.read(text);
    double reading = Clock.median(READINGS, () -> Plants.read(text));
    Model model = Plants.read(text);
    report.head("A works of %,d tags: %,d variables, %,d claims"
        .formatted(extent.tags(), model.variables().size(), model.claims().size()));
    report.figure("read and lowered, processor time", Report.time(reading));
    var reads = new Reads[1];
    double prepared = Clock.once(() -> reads[0] = new Reads(model));
    report.figure("what the claims share", Report.time(prepared));
    double total = prepared;
    double slowest = 0;
    String slowestClaim = "";
    Map<String, Integer> verdicts = new TreeMap<>();
    double[] nanos = new double[model.claims().size()];
    int at = 0;
    int carried = 0;
    long end = System.nanoTime() + extent.worksMinutes() * 60_000_000_000L;
    var families = new ArrayList<Family>();
    total += Clock.once(() -> families.addAll(Family.of(reads[0], model.claims())));
    for (Family family : families) {
      for (Claim claim : family.claims()) {
        if (System.nanoTime() > end) {
          break;
        }
        Verdict[] verdict = new Verdict[1];
        double took =
            Clock.once(() -> verdict[0] = Plants.decide(reads[0], family, claim, extent.claimSeconds()));
        nanos[at++] = took;
        total += took;
        carried += verdict[0].effort().searches() == 0 ? 1 : 0;
        verdicts.merge(verdict[0].getClass().getSimpleName().toLowerCase(java.util.Locale.ROOT), 1, Integer::sum);
        if (took > slowest) {
          slowest = took;
          slowestClaim = claim.id();
        }
      }
    }
    java.util.Arrays.sort(nanos, 0, at);
    if (at < nanos.length) {
      report.must("claims not come to in " + extent.worksMinutes() + " min", "" + (nanos.length - at), false);
    }
    report.figure("verdicts", verdicts.toString());
    report.figure("carried over from a claim about like things, of " + families.size() + " families", "" + carried);
    report.figure("a claim: median, 90 %, 99 %",
        Report.time(nanos[at / 2]) + ", " + Report.time(nanos[at * 9 / 10]) + ", " + Report.time(nanos[at * 99 / 100]));
    report.must("claims not decided", "" + verdicts.getOrDefault("undecided", 0), !verdicts.containsKey("undecided"));
    // Those not come to are taken to be like those before them.
    double whole = total * nanos.length / Math.max(1, at);
    String all = at < nanos.length ? "all claims, judged by these, over reading" : "all claims, over reading";
    report.atMost(all, Report.time(whole), whole / reading, 20);
    report.atMost("the slowest, " + slowestClaim + ", over reading", Report.time(slowest), slowest / reading, 20);
    double health = Clock.once(() -> Health.voiding(reads[0], Remembered.NOTHING, Progress.NONE));
    report.figure("what voids proofs, over reading", Report.time(health) + ", " + Report.number(health / reading));
    memory(report);
  }

  private static void memory(Report report) throws IOException {
    report.figure("memory for objects", (Runtime.getRuntime().maxMemory() >> 20) + " MiB allowed");
    Path status = Path.of("/proc/self/status");
    if (Files.exists(status)) {
      for (String line : Files.readAllLines(status)) {
        if (line.startsWith("VmHWM:")) {
          long mib = Long.parseLong(line.replaceAll("\\D", "")) >> 10;
          report.atMost("the whole process at its peak, in GiB", mib + " MiB", mib / 1024.0, 2);
        }
      }
    }
  }
}
