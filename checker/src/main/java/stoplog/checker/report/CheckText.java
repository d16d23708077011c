package stoplog.checker.report;

import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import org.jspecify.annotations.Nullable;
import stoplog.diag.Visible;
import stoplog.model.Claim;
import stoplog.model.Verdict;

/**
 * The report of {@code stoplog check} as text: one line a claim, then the stories of what is wrong,
 * then the summary and the caution.
 */
public final class CheckText {
  private static final int LONGEST_TITLE = 52;
  private static final int STANDING_WIDTH = "can happen".length();

  private final CheckRun run;
  private final Ink ink;
  private final boolean times;
  private final StringBuilder text = new StringBuilder();

  private CheckText(CheckRun run, Ink ink, boolean times) {
    this.run = run;
    this.ink = ink;
    this.times = times;
  }

  /**
   * @param times whether to tell how long each answer took, which differs from run to run
   */
  public static String render(CheckRun run, Ink ink, boolean times) {
    var report = new CheckText(run, ink, times);
    report.title();
    report.list();
    report.failures();
    report.stories();
    report.unmet();
    report.explained();
    report.concerns();
    report.summary();
    return report.text.toString();
  }

  private void title() {
    text.append(ink.strong(Visible.of(run.model().name()))).append("   ").append(Visible.of(run.file()));
    if (run.whole()) {
      text.append("   (searched whole)");
    }
    text.append("\n\n");
  }

  private void list() {
    int idWidth = 0;
    int titleWidth = 0;
    for (Answer a : run.answers()) {
      idWidth = Math.max(idWidth, Columns.length(a.claim().id()));
      titleWidth = Math.max(titleWidth, Columns.length(a.claim().text()));
    }
    for (Played p : run.played()) {
      idWidth = Math.max(idWidth, Columns.length(p.scenario().id()));
      titleWidth = Math.max(titleWidth, Columns.length(p.scenario().text()));
    }
    titleWidth = Math.min(titleWidth, LONGEST_TITLE);
    for (Played p : run.played()) {
      scenario(p, idWidth, titleWidth);
    }
    for (Answer a : run.answers()) {
      String standing = Columns.left(a.standing().words(), STANDING_WIDTH);
      String line =
          Columns.left(a.claim().id(), idWidth)
              + "  "
              + ink.standing(a.standing(), standing)
              + "  "
              + Columns.left(Visible.of(a.claim().text()), titleWidth)
              + "  "
              + particulars(a);
      text.append(line.stripTrailing()).append('\n');
      if (a.verdict() instanceof Verdict.Undecided u) {
        below(idWidth + 2, reason(u));
        Given given = a.carried() == null ? null : a.carried().given();
        if (given != null) {
          String then = "not tried again: this is what an earlier run came to with " + given.words();
          below(idWidth + 2, then);
        }
      } else if (run.selected()
          && !run.explained().contains(a.claim().id())
          && !a.verdict().kept().isEmpty()) {
        below(idWidth + 2, "leans on " + new LeansOn(run.model(), a).listed());
      }
    }
  }

  private void scenario(Played p, int idWidth, int titleWidth) {
    String outcome = Columns.left(p.outcome().word(), STANDING_WIDTH);
    Standing like =
        switch (p.outcome()) {
          case PASSES -> Standing.HOLDS;
          case FAILS -> Standing.BROKEN;
          case UNDECIDED -> Standing.UNDECIDED;
        };
    String line =
        Columns.left(p.scenario().id(), idWidth)
            + "  "
            + ink.standing(like, outcome)
            + "  "
            + Columns.left(Visible.of(p.scenario().text()), titleWidth)
            + "  "
            + (p.scenario().certain() ? "in every run" : "in some run");
    text.append(line.stripTrailing()).append('\n');
    if (!p.reason().isEmpty()) {
      below(idWidth + 2, Visible.of(p.reason()));
    }
  }

  /** What happened instead, in each scenario that fails. */
  private void failures() {
    for (Played p : run.played()) {
      Story story = p.story();
      if (story != null) {
        text.append('\n').append(StoryText.render(story, ink));
        Answer failed = p.failed();
        if (!p.scenario().certain() && failed != null) {
          String what = "Some run gets this far. None goes on to show: " + failed.claim().text();
          text.append("\n  ").append(Visible.of(what)).append('\n');
        }
      }
    }
  }

  private void below(int margin, String what) {
    for (String line : Columns.wrap(what, Columns.WIDTH - margin)) {
      text.append(" ".repeat(margin)).append(ink.faint(line)).append('\n');
    }
  }

  private static String reason(Verdict.Undecided undecided) {
    return undecided.covered() > 1
        ? undecided.reason() + "; no run with fewer than " + count(undecided.covered(), "event")
            + " gets there"
        : undecided.reason();
  }

  /** What carried the verdict, and what it took. */
  private String particulars(Answer a) {
    var parts = new ArrayList<String>();
    Verdict.Effort effort = a.verdict().effort();
    if (a.claim().kind() == Claim.Kind.ALWAYS_CAN) {
      if (a.standing() == Standing.HOLDS) {
        parts.add("always possible");
      } else if (a.standing() == Standing.BROKEN) {
        parts.add("can lock out");
      }
    }
    boolean searched = effort.searches() > 0 || a.carried() != null;
    if (searched) {
      if (a.standing() != Standing.UNDECIDED) {
        parts.add(a.verdict().kept().size() + " of " + count(variables(), "variable"));
      }
      parts.add(count(effort.states(), "state"));
    }
    if (a.story() != null) {
      parts.add(a.story().measure());
    }
    if (a.margin() instanceof Margin margin) {
      parts.add(margin.words(run.model()));
    }
    if (a.claim().faultBudget() > 0) {
      parts.add("tolerating " + count(a.claim().faultBudget(), "fault"));
    }
    switch (a.proof()) {
      case NOT_WANTED -> {}
      case STANDS -> parts.add("certificate checked");
      case NO_CERTIFICATE -> parts.add("not checked twice: no certificate of this kind yet");
    }
    if (a.carried() != null) {
      parts.add(a.carried().words());
    }
    if (times && searched) {
      parts.add(String.format(Locale.ROOT, "took %.2f s", effort.nanos() / 1e9));
    }
    return String.join(", ", parts);
  }

  private int variables() {
    return run.model().variables().size();
  }

  private void stories() {
    for (Answer a : run.answers()) {
      if (a.standing().finding() && a.story() != null) {
        text.append('\n').append(StoryText.render(a.story(), ink));
        remedies(a.remedies());
        basis(a);
      }
    }
  }

  private void remedies(@Nullable List<String> remedies) {
    if (remedies == null) {
      return;
    }
    if (remedies.isEmpty()) {
      text.append("\n  No interlock that reads one feedback or switch was found that would stop it.\n");
      return;
    }
    for (int i = 0; i < remedies.size(); i++) {
      text.append(i == 0 ? "\n  Would stop it (proved): " : "                       or: ");
      text.append(remedies.get(i)).append('\n');
    }
  }

  /** Requirements that no run meets have no story to tell. */
  private void unmet() {
    for (Answer a : run.answers()) {
      if (a.standing() == Standing.BROKEN && a.story() == null) {
        String heading = a.claim().id() + " broken: " + Visible.of(a.claim().text());
        text.append('\n').append(ink.strong(heading)).append("\n\n");
        String what =
            "No run of the plant gets there, whatever the operator and the process do. The answer"
                + " leans on "
                + new LeansOn(run.model(), a).listed()
                + ".";
        for (String line : Columns.wrap(what, Columns.WIDTH - 2)) {
          text.append("  ").append(line).append('\n');
        }
        basis(a);
      }
    }
  }

  /** Everything that a verdict leans on, with its place in the plant text. */
  private void explained() {
    for (Answer a : run.answers()) {
      if (run.explained().contains(a.claim().id()) && !a.verdict().kept().isEmpty()) {
        text.append(new LeansOn(run.model(), a).explained(ink));
      }
    }
  }

  /** What makes the proofs say less than they seem to. */
  private void concerns() {
    for (Concern c : run.concerns()) {
      String place = c.at().isKnown() ? c.at().place() + ": " : "";
      String effect = c.voidsProofs() ? "; this voids every proof" : "";
      boolean first = c.equals(run.concerns().getFirst());
      text.append(first ? "\n" + ink.strong("About the plant") + "\n\n" : "");
      String what = place + Visible.of(c.text()) + effect;
      for (String line : Columns.wrap(what, Columns.WIDTH - 2)) {
        text.append("  ").append(line).append('\n');
      }
    }
  }

  /** What hangs on a finding and who asked. */
  private void basis(Answer a) {
    Claim.Basis basis = a.claim().basis();
    var lines = new ArrayList<String>();
    if (!basis.severity().isEmpty()) {
      lines.add("Severity: " + basis.severity());
    }
    if (!basis.source().isEmpty()) {
      lines.add("Source: " + basis.source());
    }
    basis.remarks().forEach(r -> lines.add("Remark: " + r));
    for (int i = 0; i < lines.size(); i++) {
      text.append(i == 0 ? "\n" : "");
      for (String line : Columns.wrap(Visible.of(lines.get(i)), Columns.WIDTH - 2)) {
        text.append("  ").append(line).append('\n');
      }
    }
  }

  private void summary() {
    var hazards = new ArrayList<String>();
    add(hazards, Standing.PROVED, true);
    add(hazards, Standing.CAN_HAPPEN, true);
    add(hazards, Standing.UNDECIDED, true);
    var requirements = new ArrayList<String>();
    add(requirements, Standing.HOLDS, false);
    add(requirements, Standing.BROKEN, false);
    add(requirements, Standing.UNDECIDED, false);
    var parts = new ArrayList<String>();
    if (!run.played().isEmpty()) {
      parts.add("Scenarios: " + scenarios() + ".");
    }
    if (!hazards.isEmpty()) {
      parts.add("Hazards: " + String.join(", ", hazards) + ".");
    }
    if (!requirements.isEmpty()) {
      parts.add("Requirements: " + String.join(", ", requirements) + ".");
    }
    if (run.answers().size() < run.model().claims().size()) {
      int others = run.model().claims().size() - run.answers().size();
      parts.add("Not asked about: " + count(others, "claim") + ".");
    }
    text.append('\n');
    for (String line : Columns.wrap(String.join(" ", parts), Columns.WIDTH)) {
      text.append(ink.strong(line)).append('\n');
    }
    notTriedAgain();
    whatMayHelp();
    for (String line : Columns.wrap(CheckRun.CAUTION, Columns.WIDTH)) {
      text.append(line).append('\n');
    }
  }

  private void notTriedAgain() {
    int count = 0;
    for (Answer a : run.answers()) {
      count += a.carried() != null && a.carried().given() != null ? 1 : 0;
    }
    if (count > 0) {
      String help =
          "Not tried again: " + count(count, "claim") + ", undecided in an earlier run, since all that the"
              + " answer can depend on is as it was and the budget is no larger. A larger --budget tries"
              + " again; so does a check without --ledger, or with a new one.";
      for (String line : Columns.wrap(help, Columns.WIDTH)) {
        text.append(line).append('\n');
      }
    }
  }

  /** Where a budget was too small. */
  private void whatMayHelp() {
    Answer first = null;
    for (Answer a : run.answers()) {
      if (first == null && a.verdict() instanceof Verdict.Undecided u && wantsMore(u)) {
        first = a;
      }
    }
    if (first != null) {
      String help =
          "What may decide more: a larger budget, such as --budget time=30min,memory=8GB; one claim"
              + " at a time (--claim " + first.claim().id() + "), which then has all the memory and"
              + " all threads; a claim that takes for granted (assuming ...) what the plant makes sure"
              + " of by other means.";
      for (String line : Columns.wrap(help, Columns.WIDTH)) {
        text.append(line).append('\n');
      }
    }
  }

  private static boolean wantsMore(Verdict.Undecided u) {
    return u.reason().contains("used up") || u.reason().contains("memory ran out");
  }

  private String scenarios() {
    var parts = new ArrayList<String>();
    int pass = run.count(Played.Outcome.PASSES);
    int fail = run.count(Played.Outcome.FAILS);
    int open = run.count(Played.Outcome.UNDECIDED);
    if (pass > 0) {
      parts.add(pass + (pass == 1 ? " passes" : " pass"));
    }
    if (fail > 0) {
      parts.add(fail + (fail == 1 ? " fails" : " fail"));
    }
    if (open > 0) {
      parts.add(open + " undecided");
    }
    return String.join(", ", parts);
  }

  private void add(List<String> parts, Standing standing, boolean hazards) {
    int count = 0;
    for (Answer a : run.answers()) {
      boolean hazard = a.claim().kind() == Claim.Kind.HAZARD;
      if (a.standing() == standing && hazard == hazards) {
        count++;
      }
    }
    if (count > 0) {
      String words =
          standing == Standing.HOLDS && count > 1 ? "hold" : standing.words();
      parts.add(count + " " + words);
    }
  }

  private static String count(long count, String noun) {
    return String.format(Locale.ROOT, "%,d", count) + " " + noun + (count == 1 ? "" : "s");
  }
}
