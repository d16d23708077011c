package stoplog.plants.bench;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import stoplog.plants.works.Works;

/** The whole command on a plant of 500 tags, with a ledger, and again after the edit of one line. */
final class AfterAnEdit {
  private AfterAnEdit() {}

  static void run(Report report, Extent extent) throws IOException, InterruptedException {
    int tags = extent.full() ? 500 : 100;
    report.head("The whole command on a plant of " + tags + " tags, wall time of the process");
    Path directory = Files.createTempDirectory("stoplog-bench");
    Path plant = directory.resolve("works.plant");
    Path ledger = directory.resolve("works.ledger");
    String text = Works.of(tags);
    String edited = text.replaceFirst("coast 2\\.\\.5 s", "coast 2..4 s");
    if (edited.equals(text)) {
      throw new IllegalStateException("nothing edited");
    }
    Files.writeString(plant, text);
    List<String> asked = extent.full() ? List.of() : List.of("H-10101", "H-10201", "R-10202");
    var first = new Checked(plant, ledger, extent, asked);
    report.figure("first check, " + first.decided.size() + " claims decided, " + first.undecided + " not", Report.time(first.nanos));
    var all = new Checked(plant, ledger, extent, asked);
    report.figure("the same again", Report.time(all.nanos));
    var again = new Checked(plant, ledger, extent, first.decided);
    report.figure("the claims that are decided, again", Report.time(again.nanos));
    Files.writeString(plant, text + "\n");
    var nothing = new Checked(plant, ledger, extent, first.decided);
    report.figure("the same after an edit that means nothing", Report.time(nothing.nanos));
    Files.writeString(plant, edited);
    var after = new Checked(plant, ledger, extent, first.decided);
    report.figure(
        "the same after the edit of one line, " + (first.decided.size() - after.asBefore) + " decided anew",
        Report.time(after.nanos));
  }

  /** One run of the command, about some claims or all. */
  private static final class Checked {
    private static final Pattern LINE = Pattern.compile("(?m)^([HR]-\\d+) +(proved|holds|can happen|broken|undecided) .*$");

    private final double nanos;
    private final List<String> decided = new ArrayList<>();
    private int undecided;
    private int asBefore;

    Checked(Path plant, Path ledger, Extent extent, List<String> claims)
        throws IOException, InterruptedException {
      List<String> command =
          Command.check(
              plant.toString(), "--no-remedies", "--ledger", ledger.toString(), "--budget",
              "time=" + extent.claimSeconds() + "s");
      claims.forEach(c -> command.addAll(List.of("--claim", c)));
      Command.Ran ran = Command.run(command);
      this.nanos = ran.nanos();
      if (ran.status() == 2) {
        throw new IllegalStateException("the plant is refused: " + ran.out());
      }
      Matcher line = LINE.matcher(ran.out());
      while (line.find()) {
        if (line.group(2).equals("undecided")) {
          undecided++;
        } else {
          decided.add(line.group(1));
        }
        asBefore += line.group().contains("as before") ? 1 : 0;
      }
    }
  }
}
