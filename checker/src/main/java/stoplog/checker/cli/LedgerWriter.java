package stoplog.checker.cli;

import java.util.List;
import java.util.StringJoiner;
import java.util.TreeMap;
import stoplog.checker.abstraction.Grounds;
import stoplog.checker.abstraction.Precedent;
import stoplog.checker.certificate.Certificate;
import stoplog.checker.certificate.Seal;
import stoplog.checker.evidence.NamedRun;
import stoplog.checker.report.Given;
import stoplog.model.Verdict;

/** Writes what a {@link Ledger} holds, in the form described there. */
final class LedgerWriter {
  /** No name of a plant holds it. */
  static final String BETWEEN = "\t";

  private final StringBuilder text = new StringBuilder();

  LedgerWriter(String maker, String plant) {
    line(Ledger.FIRST_LINE);
    line("made by " + maker);
    line("plant " + plant);
  }

  String sealed() {
    return Seal.on(text.toString());
  }

  void verdict(String claim, Precedent verdict) {
    switch (verdict) {
      case Precedent.Proof p -> {
        line("proof " + claim);
        proof(p);
      }
      case Precedent.Found f -> {
        line("run " + claim);
        grounds(f.grounds());
        line("  leans " + String.join(BETWEEN, f.leans()));
        line(
            "  events " + f.events() + " fewest " + f.fewest() + " states " + f.states() + " zones "
                + f.zones());
        run(f.run());
      }
    }
  }

  void deadline(String what, Precedent.Proof proof) {
    line("deadline " + what);
    proof(proof);
  }

  void remedies(String hazard, Ledger.Remedied remedied) {
    line("remedies " + hazard);
    line("  question sha256 " + remedied.question());
    line("  found " + remedied.found().size());
    remedied.found().forEach(r -> line("  " + r));
  }

  private void proof(Precedent.Proof p) {
    grounds(p.grounds());
    line("  longest " + p.longestQuanta() + " states " + p.states() + " zones " + p.zones());
  }

  void attempt(String claim, Attempt attempt) {
    Given g = attempt.given();
    Verdict.Undecided v = attempt.verdict();
    line("undecided " + claim);
    line("  question sha256 " + attempt.question());
    line(
        "  given states " + g.states() + " bytes " + g.bytes() + " millis " + g.millis() + " threads "
            + g.threads());
    line(
        "  covered " + v.covered() + " states " + v.effort().states() + " zones " + v.effort().zones());
    line("  keeps " + String.join(BETWEEN, v.kept()));
    line("  " + v.reason());
  }

  private void grounds(Grounds grounds) {
    line("  parts " + grounds.parts().size());
    for (Grounds.Part p : grounds.parts()) {
      line("  question sha256 " + p.question());
      line("  keeps " + String.join(BETWEEN, p.keeps()));
      line("  groups " + groups(p.groups()));
      line(p.due() ? "  scans counted" : "  scans at any time");
    }
  }

  private void run(NamedRun run) {
    line("  ticks " + run.ticksPerQuantum() + " end " + run.endTick());
    var start = new StringJoiner(BETWEEN);
    new TreeMap<>(run.start()).forEach((name, value) -> start.add(name).add("" + value));
    line("  start " + start);
    line("  steps " + run.steps().size());
    for (NamedRun.Step s : run.steps()) {
      line("  " + s.tick() + (s.change() == null ? " scan" : " " + s.among() + " " + s.change()));
    }
  }

  private void line(String line) {
    text.append(line.replace('\n', ' ').replace('\r', ' ')).append('\n');
  }

  private static String groups(List<Certificate.Group> groups) {
    var all = new StringJoiner(BETWEEN);
    for (Certificate.Group g : groups) {
      all.add(g.atLeast() + "/" + g.members().size());
      g.members().forEach(m -> all.add(m.variable()).add(Long.toHexString(m.values())));
    }
    return all.toString();
  }
}
