package stoplog.plants.bench;

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
}
