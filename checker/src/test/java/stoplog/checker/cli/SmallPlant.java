package stoplog.checker.cli;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.stream.Collectors;
import java.util.stream.IntStream;

/** A plant of two pumps, one of whose hazards can happen. */
final class SmallPlant {
  static final String TEXT =
      """
      plant "Small skid"
      controller reacts within 200 ms

      pump P-1 "feed pump"     { coast 1..2 s }
      pump P-2 "cleaning pump"

      panel {
        selector mode: off, water, clean
      }

      logic {
        run P-1 when mode is water
        run P-2 when mode is clean {
          interlock "feed pump off" : P-1 is commanded off
        }
      }

      hazard H-1 "cleaning while the feed pump turns" : P-1 is turning and P-2 is turning
      hazard H-2 "both pumps run" : P-1 is running and P-2 is running
      require R-1 "water can be made" : can P-1 is running for 10 s
      require R-2 "the cleaning pump can run" : can P-2 is running
      """;

  private SmallPlant() {}

  /** The plant whose feed pump runs when two of fifty keys are on: a long chain of definitions. */
  static String withALongCount() {
    String keys =
        IntStream.rangeClosed(1, 50).mapToObj(i -> "k" + i).collect(Collectors.joining(", "));
    return TEXT
        .replace("panel {", "panel {\n  key " + keys)
        .replace("run P-1 when mode is water", "run P-1 when at least 2 of (" + keys + ")");
  }

  static String in(Path directory) throws IOException {
    return in(directory, "small.plant", TEXT);
  }

  static String in(Path directory, String name, String text) throws IOException {
    return Files.writeString(directory.resolve(name), text).toString();
  }
}
