package stoplog.plants.outside;

import java.io.IOException;
import java.io.UncheckedIOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Comparator;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.TreeMap;
import java.util.TreeSet;
import java.util.concurrent.ConcurrentSkipListMap;
import java.util.concurrent.ConcurrentSkipListSet;

/**
 * The table "case, source, published value, our value, judge", put together while the checks from
 * outside run, written into {@code target} and quoted in {@code README.md}. A row that is not quoted as
 * it came out fails its own check; {@link ResultsTableTest}, which runs last, looks for rows that no
 * check stands behind any more.
 */
final class Results {
  static final Path TABLE = Path.of("target/outside-checks.md");
  static final Path README = Path.of("README.md");
  static final String HEAD =
      "| case | source | published | ours | judge |\n| --- | --- | --- | --- | --- |\n";
  private static final Map<String, String> ROWS = new ConcurrentSkipListMap<>();
  private static final Set<String> RECORDERS = new ConcurrentSkipListSet<>();

  private Results() {}

  /**
   * One row; must be quoted as it is.
   *
   * @param order rows are sorted by this, groups first: {@code G2 stop-race H-1}
   */
  static void row(
      Class<?> check,
      String order,
      String what,
      String source,
      String published,
      String ours,
      String judge) {
    RECORDERS.add(check.getSimpleName());
    String row = "| " + String.join(" | ", what, source, published, ours, judge) + " |";
    ROWS.put(order, row);
    if (System.getProperty("golden.update") == null && !quoted().contains(row)) {
      throw new AssertionError("not in " + README + ", or no longer so: " + row);
    }
  }

  /** A row whose value is a number or a few words, ours beside the published one. */
  static void value(
      Class<?> check, String order, String what, String source, Object published, Object ours, String judge) {
    row(check, order, order.substring(0, 2) + " " + what, source, "" + published, "" + ours, judge);
  }

  /** The rows of the table as the README quotes it. */
  static List<String> quoted() {
    return text(README).lines().filter(l -> l.startsWith("| G")).toList();
  }

  static Set<String> recorders() {
    return new TreeSet<>(RECORDERS);
  }

  /** All rows so far. */
  static List<String> rows() {
    var sorted = new TreeMap<String, String>(Comparator.comparing(Results::padded));
    sorted.putAll(ROWS);
    return List.copyOf(sorted.values());
  }

  /** Numbers in it compare as numbers. */
  private static String padded(String order) {
    return java.util.regex.Pattern.compile("\\d+")
        .matcher(order)
        .replaceAll(m -> String.format(java.util.Locale.ROOT, "%09d", Long.parseLong(m.group())));
  }

  static String text(Path file) {
    try {
      return Files.readString(file);
    } catch (IOException e) {
      throw new UncheckedIOException(e);
    }
  }
}
