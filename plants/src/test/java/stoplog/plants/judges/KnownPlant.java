package stoplog.plants.judges;

import static org.junit.jupiter.api.Assertions.assertNotNull;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.TreeMap;
import java.util.stream.Stream;
import stoplog.dsl.PlantReader;
import stoplog.model.Claim;
import stoplog.model.Model;
import stoplog.plants.PlantCase;

/**
 * A plant and what the verdicts beside it say of its claims.
 *
 * @param shipped whether it is one that ships, and no variant with a mistake
 * @param reachable for each claim about what can be reached whether its condition can
 */
record KnownPlant(String name, boolean shipped, Model model, Map<String, Boolean> reachable) {
  private static final Path PUBLISHED = Path.of("src/test/corpus/outside");

  /**
   * The plants that ship, their variants and the plants from published rules.
   *
   * @param wanted only those whose path contains one of these, parted by commas
   */
  static List<KnownPlant> all(String wanted) throws IOException {
    List<String> parts = List.of(wanted.split(","));
    var all = new ArrayList<KnownPlant>();
    for (PlantCase c : PlantCase.all()) {
      var verdicts = new HashMap<String, Boolean>();
      for (String line : Files.readAllLines(c.verdicts())) {
        String[] words = line.split(" ");
        verdicts.put(words[0], words[1].matches("proved|holds"));
      }
      add(all, parts, c.toString(), c.isShipped(), c.directory(), verdicts);
    }
    try (Stream<Path> files = Files.list(PUBLISHED)) {
      for (Path file : files.filter(f -> f.toString().endsWith(".plant")).sorted().toList()) {
        String name = file.getFileName().toString().replace(".plant", "");
        add(all, parts, "published/" + name, false, file, Map.of());
      }
    }
    return all;
  }

  /** @param verdicts whether a claim is good; where none stands, the plant's remarks say it */
  private static void add(
      List<KnownPlant> all,
      List<String> parts,
      String name,
      boolean shipped,
      Path file,
      Map<String, Boolean> verdicts) {
    if (parts.stream().noneMatch(name::contains)) {
      return;
    }
    Model model = PlantReader.read(file).model();
    assertNotNull(model, name);
    var reachable = new TreeMap<String, Boolean>();
    for (Claim claim : model.claims()) {
      String remarks = String.join(" ", claim.basis().remarks());
      Boolean good = verdicts.getOrDefault(claim.id(), remarks.matches("published: (proved|holds)"));
      if (claim.kind() != Claim.Kind.ALWAYS_CAN) {
        reachable.put(claim.id(), claim.kind().wanted() == good);
      }
    }
    all.add(new KnownPlant(name, shipped, model, reachable));
  }
}
