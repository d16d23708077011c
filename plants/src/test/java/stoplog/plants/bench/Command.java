package stoplog.plants.bench;

import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;

/** The command as a process of its own. */
final class Command {
  private Command() {}

  /** {@code check} with these arguments, to which more may be added. */
  static List<String> check(String... arguments) {
    var command =
        new ArrayList<>(
            List.of(
                Path.of(System.getProperty("java.home"), "bin", "java").toString(),
                "-cp",
                System.getProperty("java.class.path"),
                "stoplog.checker.cli.Stoplog",
                "check"));
    command.addAll(List.of(arguments));
    return command;
  }

  /**
   * What a command has printed and how it ended.
   *
   * @param nanos wall time of its process
   * @param processorNanos processor time of its process; 0 where the system does not tell
   */
  record Ran(String out, int status, double nanos, double processorNanos) {}

  static Ran run(List<String> command) throws IOException, InterruptedException {
    double before = processorNanosOfChildren();
    long start = System.nanoTime();
    Process process = new ProcessBuilder(command).redirectErrorStream(true).start();
    String out = new String(process.getInputStream().readAllBytes(), StandardCharsets.UTF_8);
    int status = process.waitFor();
    double nanos = System.nanoTime() - start;
    return new Ran(out, status, nanos, processorNanosOfChildren() - before);
  }

  /** Of all that have ended, as Linux tells it: in hundredths of a second. */
  private static double processorNanosOfChildren() throws IOException {
    Path told = Path.of("/proc/self/stat");
    if (!Files.isReadable(told)) {
      return 0;
    }
    String text = Files.readString(told);
    String[] fields = text.substring(text.lastIndexOf(')') + 2).split(" ");
    return (Long.parseLong(fields[13]) + Long.parseLong(fields[14])) * 1e7;
  }
}
