package stoplog.dsl;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.HashSet;
import java.util.List;
import java.util.Set;
import java.util.TreeSet;
import java.util.stream.Stream;
import org.junit.jupiter.api.Test;
import stoplog.diag.Code;

/** The catalogue of diagnostics and the corpus of cases belong together. */
class CatalogueTest {
  private static final Path CORPUS = Path.of("src/test/corpus");

  /** Its case would be a file of megabytes; {@link RobustnessTest} makes one. */
  private static final Set<String> WITHOUT_CASE = Set.of(Code.TOO_LARGE.id());

  @Test
  void everyCodeHasACaseThatGivesIt() throws IOException {
    var missing = new TreeSet<String>();
    for (Code c : Code.values()) {
      missing.add(c.id());
    }
    missing.removeAll(WITHOUT_CASE);
    for (Path c : cases()) {
      String code = c.getFileName().toString().split("-", 2)[0];
      Path expected = c.resolve("diagnostics.txt");
      if (Files.exists(expected) && Files.readString(expected).contains(" " + code + ": ")) {
        missing.remove(code);
      }
    }
    assertEquals(Set.of(), missing, "codes without a case");
  }

  @Test
  void everyRejectedCaseGivesTheCodeOfItsName() throws IOException {
    for (Path c : cases()) {
      if (c.getParent().endsWith("reject")) {
        String code = c.getFileName().toString().split("-", 2)[0];
        String said = Files.readString(c.resolve("diagnostics.txt"));
        assertTrue(said.contains("error " + code + ": "), c.toString());
      }
    }
  }

  @Test
  void codesAreUniqueAndMeanSomething() {
    Set<String> ids = new HashSet<>();
    for (Code c : Code.values()) {
      assertTrue(ids.add(c.id()), c.id());
      assertTrue(c.id().matches("[EWN]\\d{4}"), c.id());
      assertTrue(!c.meaning().isBlank() && !c.meaning().endsWith("."), c.id());
    }
  }

  private static List<Path> cases() throws IOException {
    try (Stream<Path> tree = Files.walk(CORPUS, 2)) {
      return tree.filter(p -> p.getNameCount() == CORPUS.getNameCount() + 2).sorted().toList();
    }
  }
}
