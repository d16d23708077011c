package stoplog.plants.bench;

import java.io.IOException;
import java.util.ArrayList;
import java.util.Collections;
import java.util.List;

/** The whole command with one thread and with two, in turn. */
final class TwoThreads {
  private TwoThreads() {}

  static void run(Report report, Extent extent) throws IOException, InterruptedException {
    report.head("One thread against two, wall time of the process (ratio: one over two)");
    for (String[] asked : asked(extent)) {
      var one = new ArrayList<Double>();
      var two = new ArrayList<Double>();
      boolean same = true;
      for (int i = 0; i < (extent.full() ? 3 : 1); i++) {
        Command.Ran first = check(asked, 1);
        Command.Ran second = check(asked, 2);
        one.add(first.nanos());
        two.add(second.nanos());
        same &= first.out().equals(second.out());
      }
      Collections.sort(one);
      Collections.sort(two);
      double alone = one.get(one.size() / 2);
      double together = two.get(two.size() / 2);
      report.figure(
          String.join(" ", asked) + ": " + Report.time(alone) + " and " + Report.time(together),
          Report.number(alone / together));
      report.must("  the same output, byte for byte", "", same);
    }
  }

  /** Many claims, which are decided side by side; and one long search, in which threads work ahead. */
  private static List<String[]> asked(Extent extent) {
    return extent.full()
        ? List.of(
            new String[] {"marram-point"},
            new String[] {"kestrel-ford"},
            new String[] {"skerry-sound"},
            new String[] {"marram-point", "--claim", "R-05"})
        : List.<String[]>of(new String[] {"knot-lane"});
  }

  private static Command.Ran check(String[] asked, int threads)
      throws IOException, InterruptedException {
    List<String> command = Command.check("--no-remedies", "--threads", "" + threads);
    command.addAll(List.of(asked));
    return Command.run(command);
  }
}
