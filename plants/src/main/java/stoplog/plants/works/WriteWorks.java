package stoplog.plants.works;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;

/** Writes one of the large plants to a file. Its command is in {@code DEVELOPERS.md}. */
public final class WriteWorks {
  private WriteWorks() {}

  /** {@code works 10000 FILE}, {@code trains 16 FILE} or {@code alarms 40 FILE}. */
  public static void main(String[] arguments) throws IOException {
    if (arguments.length != 3) {
      System.err.println("write works TAGS FILE, trains NUMBER FILE or alarms NUMBER FILE");
      System.exit(2);
    }
    int size = Integer.parseInt(arguments[1]);
    String text =
        switch (arguments[0]) {
          case "works" -> Works.of(size);
          case "trains" -> Works.trains(size);
          case "alarms" -> Works.alarmGroup(size);
          default -> throw new IllegalArgumentException(arguments[0]);
        };
    Files.writeString(Path.of(arguments[2]), text);
  }
}
