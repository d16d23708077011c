package stoplog.plants.bench;

import java.io.IOException;
import java.nio.charset.StandardCharsets;
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

  /** What a command has printed, how it ended, and the wall time of its process. */
  record Ran(String out, int status, double nanos) {}

  static Ran run(List<String> command) throws IOException, InterruptedException {
    long start = System.nanoTime();
    Process process = new ProcessBuilder(command).redirectErrorStream(true).start();
    String out = new String(process.getInputStream().readAllBytes(), StandardCharsets.UTF_8);
    int status = process.waitFor();
    return new Ran(out, status, System.nanoTime() - start);
  }
}
