package stoplog.plants.bench;

import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import stoplog.checker.abstraction.Reads;
import stoplog.model.Claim;
import stoplog.model.Model;
import stoplog.model.Verdict;
import stoplog.plants.works.Works;

/** Trains side by side, and alarm groups: what the size of the rest of the plant costs a claim. */
final class SideBySide {
  private static final String FIRST = "101";

  private SideBySide() {}

  static void trains(Report report, Extent extent) {
    report.head("N trains side by side: processor time of a claim over that at N = 1 (at N = 2 for H-02)");
    Map<String, Double> single = new HashMap<>();
    for (int n : extent.full() ? new int[] {1, 2, 4, 8, 16} : new int[] {1, 2}) {
      Model model = Plants.read(Works.trains(n));
      var reads = new Reads(model);
      double logs = 0;
      int count = 0;
      double worst = 0;
      String worstClaim = "";
      List<String> undecided = new ArrayList<>();
      List<String> whole = new ArrayList<>();
      double worstWhole = 0;
      for (Claim claim : model.claims()) {
        boolean ofAll = claim.id().matches("[HR]-0\\d");
        if (!ofAll && !claim.id().substring(2).startsWith(FIRST)) {
          continue;
        }
        Verdict[] verdict = new Verdict[1];
        double took =
            Clock.median(5, () -> verdict[0] = Plants.decide(reads, claim, extent.claimSeconds()));
        if (verdict[0] instanceof Verdict.Undecided) {
          undecided.add(claim.id());
        }
        double ratio = took / single.computeIfAbsent(claim.id(), id -> took);
        if (ofAll) {
          whole.add(claim.id() + " " + Report.time(took));
          worstWhole = Math.max(worstWhole, ratio / n);
        } else {
          logs += Math.log(ratio);
          count++;
          if (ratio > worst) {
            worst = ratio;
            worstClaim = claim.id() + ", " + Report.time(took);
          }
        }
      }
      String what = "N = " + n + ", " + model.variables().size() + " variables: ";
      report.must(what + "undecided", undecided.isEmpty() ? "none" : String.join(" ", undecided), undecided.isEmpty());
      report.atMost(what + "claims of one train, geometric mean", "", Math.exp(logs / count), 1.2);
      report.atMost(what + "slowest of them", worstClaim, worst, 1.2);
      report.atMost(what + "claims of all trains, slowest over N", "", worstWhole, 1.2);
      report.note("    " + String.join(", ", whole));
    }
  }

  static void alarms(Report report, Extent extent) {
    report.head("One alarm group of so many latches");
    Map<String, Double> smallest = new HashMap<>();
    int first = 5;
    for (int latches : extent.full() ? new int[] {first, 10, 20, 40} : new int[] {first}) {
      Model model = Plants.read(Works.alarmGroup(latches));
      var reads = new Reads(model);
      for (Claim claim : model.claims()) {
        Verdict[] verdict = new Verdict[1];
        double took =
            Clock.median(5, () -> verdict[0] = Plants.decide(reads, claim, extent.claimSeconds()));
        String what = latches + " latches, " + claim.id() + ": " + word(verdict[0]);
        if (verdict[0] instanceof Verdict.Undecided) {
          report.must(what, Report.time(took), false);
        } else {
          double ratio = took / smallest.computeIfAbsent(claim.id(), id -> took);
          report.atMost(what, Report.time(took), ratio, 1.2 * latches / first);
        }
      }
    }
  }

  private static String word(Verdict verdict) {
    return switch (verdict) {
      case Verdict.Proved p -> "proved, " + p.kept().size() + " kept, " + p.effort().states() + " states";
      case Verdict.Reached r -> "run of " + r.events() + " events";
      case Verdict.Undecided u -> "undecided";
    };
  }
}
