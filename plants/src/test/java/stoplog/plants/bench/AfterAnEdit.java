package stoplog.plants.bench;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
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
    report.figure("first check", Report.time(check(plant, ledger, extent)));
    report.figure("the same again", Report.time(check(plant, ledger, extent)));
    Files.writeString(plant, edited);
    report.figure("after the edit of one line", Report.time(check(plant, ledger, extent)));
    Files.writeString(plant, text + "\n");
    report.figure("after an edit that means nothing", Report.time(check(plant, ledger, extent)));
  }

  private static double check(Path plant, Path ledger, Extent extent) throws IOException, InterruptedException {
    List<String> command =
        List.of(
            Path.of(System.getProperty("java.home"), "bin", "java").toString(),
            "-XX:TieredStopAtLevel=4",
            "-cp",
            System.getProperty("java.class.path"),
            "stoplog.checker.cli.Stoplog",
            "check",
            plant.toString(),
            "--no-remedies",
            "--ledger",
            ledger.toString(),
            "--budget",
            "time=" + extent.claimSeconds() + "s");
    long start = System.nanoTime();
    Process process = new ProcessBuilder(command).redirectErrorStream(true).start();
    process.getInputStream().readAllBytes();
    int status = process.waitFor();
    if (status == 2) {
      throw new IllegalStateException("the plant is refused");
    }
    return System.nanoTime() - start;
  }
}
