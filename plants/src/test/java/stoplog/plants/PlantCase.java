package stoplog.plants;

import java.io.IOException;
import java.io.UncheckedIOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Set;
import java.util.TreeSet;
import java.util.stream.Stream;

/**
 * A directory with one plant and what a check of it has to find: a shipped plant, or one of its
 * variants under {@code defects/} with one mistake in it.
 *
 * <pre>
 * marram-point/marram-point.plant
 * marram-point/parts/…               files it includes, if any
 * marram-point/README.md
 * marram-point/verdicts.txt          one line a claim, then one a scenario: H-01 proved, S-01 shown
 * marram-point/sizes.txt             what each verdict took; only of plants that ship
 * marram-point/traces/R-01.txt       the story of each run that has to be found
 * marram-point/defects/&lt;mistake&gt;/…  the same again
 * </pre>
 *
 * @param shipped the plant this one is a variant of; itself if it is none
 */
public record PlantCase(Path directory, Path shipped) {

  /** All plants of this module with their variants; tests run in the module's directory. */
  public static List<PlantCase> all() {
    List<PlantCase> cases = new ArrayList<>();
    for (Path plant : directoriesIn(Path.of("."))) {
      if (!plantsIn(plant).isEmpty()) {
        cases.add(new PlantCase(plant, plant));
        for (Path variant : directoriesIn(plant.resolve("defects"))) {
          cases.add(new PlantCase(variant, plant));
        }
      }
    }
    return cases;
  }

  public boolean isShipped() {
    return directory.equals(shipped);
  }

  /** The one plant file. */
  Path plant() {
    List<Path> plants = plantsIn(directory);
    if (plants.size() != 1) {
      throw new AssertionError(directory + " holds " + plants.size() + " plants");
    }
    return plants.getFirst();
  }

  /** The text of the plant and of the files it includes, which stand under {@code parts/}. */
  String wholeText() {
    return String.join("", texts());
  }

  /** As {@link #wholeText}, file by file. */
  List<String> texts() {
    var texts = new ArrayList<String>(List.of(text(plant())));
    Path parts = directory.resolve("parts");
    if (Files.isDirectory(parts)) {
      plantsIn(parts).forEach(p -> texts.add(text(p)));
    }
    return texts;
  }

  PlantCase shippedCase() {
    return new PlantCase(shipped, shipped);
  }

  public Path verdicts() {
    return directory.resolve("verdicts.txt");
  }

  Path sizes() {
    return directory.resolve("sizes.txt");
  }

  /**
   * The claims and scenarios to ask: all of a plant that ships, and of a variant those that its mistake
   * breaks; with {@code -Dlarge} all of it as well.
   */
  Set<String> asked() {
    boolean all = isShipped() || System.getProperty("large") != null;
    var asked = new TreeSet<String>();
    for (String line : text(verdicts()).lines().toList()) {
      if (all || !line.matches("\\S+ (proved|holds|shown)")) {
        asked.add(line.split(" ")[0]);
      }
    }
    return asked;
  }

  /** What is expected of these claims and scenarios, one line each. */
  String expected(Set<String> asked) {
    var lines = new StringBuilder();
    text(verdicts()).lines().filter(l -> asked.contains(l.split(" ")[0])).forEach(l -> lines.append(l).append('\n'));
    return lines.toString();
  }

  Path readme() {
    return directory.resolve("README.md");
  }

  Path story(String claim) {
    return directory.resolve("traces").resolve(claim + ".txt");
  }

  /** The names of all files and directories directly in it. */
  Set<String> entries() {
    return entriesOf(directory);
  }

  /** The claims whose stories stand there; a file of another kind stands there under its full name. */
  Set<String> stories() {
    Path traces = directory.resolve("traces");
    var claims = new TreeSet<String>();
    if (Files.isDirectory(traces)) {
      entriesOf(traces).forEach(name -> claims.add(name.replaceFirst("\\.txt$", "")));
    }
    return claims;
  }

  /** Its path as a reader types it, which is also the name of its tests. */
  @Override
  public String toString() {
    return directory.normalize().toString();
  }

  static String text(Path file) {
    try {
      return Files.readString(file);
    } catch (IOException e) {
      throw new UncheckedIOException(e);
    }
  }

  private static List<Path> plantsIn(Path directory) {
    return listed(directory).stream().filter(p -> p.toString().endsWith(".plant")).toList();
  }

  private static List<Path> directoriesIn(Path directory) {
    return Files.isDirectory(directory)
        ? listed(directory).stream().filter(Files::isDirectory).toList()
        : List.of();
  }

  private static Set<String> entriesOf(Path directory) {
    var names = new TreeSet<String>();
    listed(directory).forEach(p -> names.add(p.getFileName().toString()));
    return names;
  }

  private static List<Path> listed(Path directory) {
    try (Stream<Path> entries = Files.list(directory)) {
      return entries.sorted().toList();
    } catch (IOException e) {
      throw new UncheckedIOException(e);
    }
  }
}
