package stoplog.plants.bench;

import java.io.IOException;
import java.io.InputStream;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Duration;
import java.util.ArrayList;
import java.util.List;
import org.jspecify.annotations.Nullable;
import stoplog.checker.abstraction.WholeModel;
import stoplog.checker.abstraction.WholeSearch;
import stoplog.checker.explore.Budget;
import stoplog.model.Claim;
import stoplog.model.Expr;
import stoplog.model.Model;
import stoplog.plants.outside.Nets;
import stoplog.plants.outside.Puzzles;
import stoplog.source.Span;

/**
 * Untimed models of millions of states: against a search in C that was written by hand for the one
 * model, compiled against interpreted steps, and the memory of a stored state.
 */
final class AgainstC {
  private static final Budget BUDGET = new Budget(100_000_000, 1L << 40, Duration.ofHours(1));

  /** Processor time. */
  private static final double WARM_UP_NANOS = 3e9;

  private AgainstC() {}

  private record Case(String name, Model model, String source, List<String> sizes) {}

  private static List<Case> cases(Extent extent) {
    List<Case> cases = new ArrayList<>();
    cases.add(new Case("sliding puzzle 3x3", Puzzles.sliding(3, 3), "sliding", List.of("-DROWS=3", "-DCOLUMNS=3")));
    if (extent.full()) {
      cases.add(new Case("sliding puzzle 2x5", Puzzles.sliding(2, 5), "sliding", List.of("-DROWS=2", "-DCOLUMNS=5")));
      cases.add(new Case("Kanban net, 4 cards", Nets.kanban(4), "kanban", List.of("-DCARDS=4")));
      cases.add(new Case("Kanban net, 5 cards", Nets.kanban(5), "kanban", List.of("-DCARDS=5")));
    }
    return cases;
  }

  static void run(Report report, Extent extent) throws IOException, InterruptedException {
    report.head("Untimed models on one thread, states a second");
    int runs = extent.full() ? 3 : 1;
    for (Case c : cases(extent)) {
      WholeSearch[] found = new WholeSearch[1];
      System.clearProperty("stoplog.compileAfter");
      double first = Clock.once(() -> search(c, found));
      warmUp(extent, c, found);
      double took = Clock.median(runs, () -> search(c, found));
      double counted = Clock.median(runs, () -> WholeModel.count(c.model(), 100_000_000));
      long states = found[0].states();
      double ours = states / took * 1e9;
      report.figure(c.name() + ": searched", rate(ours) + " of " + "%,d".formatted(states));
      report.figure("  the first search, over the later ones", Report.number(first / took));
      report.figure("  states and edges counted", rate(states / counted * 1e9));
      Double inC = c(c, states, report);
      if (inC != null) {
        report.atLeast("  over a search in C", rate(inC) + " in C", ours / inC, 0.5);
      }
      System.setProperty("stoplog.compileAfter", Integer.toString(Integer.MAX_VALUE));
      double interpreted = Clock.median(runs, () -> search(c, found));
      System.clearProperty("stoplog.compileAfter");
      report.figure("  compiled over interpreted steps", Report.number(interpreted / took));
      double bytes = (double) found[0].bytes() / states;
      double goal = 1.5 * found[0].bits() / 8 + 12;
      report.atMost(
          "  bytes a state over 1.5 times its bits and 12 bytes",
          Report.number(bytes) + " for " + found[0].bits() + " bits",
          bytes / goal,
          1);
    }
  }

  /**
   * Searches until the Java machine has compiled what it compiles: C has nothing of the kind to do.
   */
  private static void warmUp(Extent extent, Case c, WholeSearch[] found) {
    double left = extent.full() ? WARM_UP_NANOS : 0;
    while (left > 0) {
      left -= Clock.once(() -> search(c, found));
    }
  }

  private static void search(Case c, WholeSearch[] found) {
    var nowhere =
        new Claim("nowhere", "", Claim.Kind.HAZARD, Expr.FALSE, 0, List.of(), 0, Span.NONE);
    found[0] = WholeSearch.of(c.model(), nowhere, BUDGET);
  }

  private static String rate(double perSecond) {
    return Report.number(perSecond / 1e6) + " million/s";
  }

  /** States a second of the program in C; nothing where there is no compiler. */
  private static @Nullable Double c(Case c, long states, Report report) throws IOException, InterruptedException {
    String compiler = compiler();
    if (compiler == null) {
      report.note("  no C compiler (cc or gcc) on this machine: not compared with C");
      return null;
    }
    Path directory = Files.createTempDirectory("stoplog-bench");
    Path source = directory.resolve(c.source() + ".c");
    Path program = directory.resolve(c.source());
    for (String name : List.of(c.source() + ".c", "search.h")) {
      try (InputStream in = AgainstC.class.getResourceAsStream(name)) {
        Files.write(directory.resolve(name), java.util.Objects.requireNonNull(in).readAllBytes());
      }
    }
    List<String> compile =
        new ArrayList<>(List.of(compiler, "-O3", "-march=native", "-o", program.toString(), source.toString()));
    compile.addAll(c.sizes());
    said(compile);
    String[] told = said(List.of(program.toString())).trim().split(" ");
    if (Long.parseLong(told[0]) != states) {
      throw new IllegalStateException(c.name() + ": " + told[0] + " states in C, " + states + " here");
    }
    return states / Double.parseDouble(told[2]);
  }

  private static @Nullable String compiler() throws InterruptedException {
    for (String name : List.of("cc", "gcc")) {
      try {
        said(List.of(name, "--version"));
        return name;
      } catch (IOException _) {
        // Not there; the next may be.
      }
    }
    return null;
  }

  private static String said(List<String> command) throws IOException, InterruptedException {
    Process process = new ProcessBuilder(command).redirectErrorStream(true).start();
    String output = new String(process.getInputStream().readAllBytes(), StandardCharsets.UTF_8);
    if (process.waitFor() != 0) {
      throw new IOException(String.join(" ", command) + ": " + output);
    }
    return output;
  }
}
