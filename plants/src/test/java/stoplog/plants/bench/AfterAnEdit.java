package stoplog.plants.bench;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import stoplog.plants.works.Works;

/** The whole command on a plant of 500 tags, with a ledger, and again after the edit of one line. */
final class AfterAnEdit {
  private AfterAnEdit() {}

  static void run(Report report, Extent extent) throws IOException, InterruptedException {
    int tags = extent.full() ? 500 : 100;
    report.head("The whole command on a plant of " + tags + " tags: wall time, and processor time");
    Path directory = Files.createTempDirectory("stoplog-bench");
    Path plant = directory.resolve("works.plant");
    Path ledger = directory.resolve("works.ledger");
    String text = Works.of(tags);
    String inOnePlace = edited(text, "\"intake gate\" \\{ travel 8\\.\\.20 s", "\"intake gate\" { travel 8..19 s");
    String inATemplate = edited(text, "coast 2\\.\\.5 s", "coast 2..4 s");
    List<String> asked = extent.full() ? List.of() : List.of("H-10101", "H-10201", "R-10202");
    Files.writeString(plant, text);
    var first = new Checked(plant, ledger, extent, asked);
    first.tell(report, "first check");
    byte[] known = Files.readAllBytes(ledger);
    new Checked(plant, ledger, extent, asked).tell(report, "the same again");
    Files.writeString(plant, text + "\n");
    new Checked(plant, ledger, extent, asked).tell(report, "an edit that means nothing");
    Files.writeString(plant, inOnePlace);
    new Checked(plant, ledger, extent, asked).tell(report, "a line of one valve edited");
    Files.write(ledger, known);
    Files.writeString(plant, inATemplate);
    new Checked(plant, ledger, extent, asked).tell(report, "a line of a template edited");
  }

  private static String edited(String text, String was, String is) {
    String edited = text.replaceFirst(was, is);
    if (edited.equals(text)) {
      throw new IllegalStateException("nothing edited");
    }
    return edited;
  }

  /** One run of the command, about some claims or all. */
  private static final class Checked {
    private static final Pattern LINE = Pattern.compile("(?m)^([HR]-\\d+) +(proved|holds|can happen|broken|undecided) .*$");

    private static final Pattern CARRIED = Pattern.compile(", (as before|as [HR]-\\d+|not tried again)$");

    private final Command.Ran ran;
    private int decided;
    private int undecided;
    private int anew;

    Checked(Path plant, Path ledger, Extent extent, List<String> claims)
        throws IOException, InterruptedException {
      List<String> command =
          Command.check(
              plant.toString(), "--no-remedies", "--ledger", ledger.toString(), "--budget",
              "time=" + extent.claimSeconds() + "s");
      claims.forEach(c -> command.addAll(List.of("--claim", c)));
      this.ran = Command.run(command);
      if (ran.status() == 2) {
        throw new IllegalStateException("the plant is refused: " + ran.out());
      }
      Matcher line = LINE.matcher(ran.out());
      while (line.find()) {
        boolean open = line.group(2).equals("undecided");
        undecided += open ? 1 : 0;
        decided += open ? 0 : 1;
        anew += CARRIED.matcher(line.group()).find() ? 0 : 1;
      }
    }

    void tell(Report report, String what) {
      report.figure(
          what + ": " + anew + " of " + (decided + undecided) + " searched, " + undecided + " open",
          Report.time(ran.nanos()) + ", " + Report.time(ran.processorNanos()));
    }
  }
}
