package stoplog.dsl.format;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertNotNull;
import static org.junit.jupiter.api.Assertions.assertNull;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Random;
import java.util.stream.Stream;
import net.jqwik.api.ForAll;
import net.jqwik.api.Property;
import org.junit.jupiter.api.Test;
import stoplog.diag.Diagnostic;
import stoplog.dsl.PlantReader;
import stoplog.dsl.Reading;
import stoplog.model.Model;
import stoplog.model.ModelText;
import stoplog.source.SourceFile;

/** The canonical layout changes how a plant text looks, and nothing else. */
class FormatterTest {
  private static final Path EVERY_CONSTRUCT =
      Path.of("src/test/resources/stoplog/dsl/format/every-construct.plant");

  private static final List<String> TEXTS = new ArrayList<>();

  private static String formatted(String text) {
    var diagnostics = new ArrayList<Diagnostic>();
    String formatted = Formatter.format(new SourceFile("x.plant", text), diagnostics);
    assertNotNull(formatted, diagnostics::toString);
    return formatted;
  }

  private static void becomes(String expected, String text) {
    assertEquals(expected, formatted(text));
    assertEquals(expected, formatted(expected));
  }

  /** All plant texts of the project that the grammar takes. */
  private static List<String> texts() throws IOException {
    if (TEXTS.isEmpty()) {
      TEXTS.addAll(readTexts());
    }
    return TEXTS;
  }

  private static List<String> readTexts() throws IOException {
    var texts = new ArrayList<String>();
    for (Path root :
        List.of(
            Path.of("src/test/corpus/accept"),
            Path.of("src/test/corpus/reject"),
            Path.of("src/main/resources"),
            Path.of("../plants"),
            EVERY_CONSTRUCT)) {
      if (!Files.exists(root)) {
        continue;
      }
      try (Stream<Path> files = Files.walk(root)) {
        for (Path f :
            files
                .filter(f -> f.toString().endsWith(".plant") && Files.isRegularFile(f))
                .filter(f -> !f.toString().contains("/target/"))
                .sorted()
                .toList()) {
          SourceFile file = PlantReader.text(f, new ArrayList<>());
          if (file != null && Formatter.format(file, new ArrayList<>()) != null) {
            texts.add(file.text());
          }
        }
      }
    }
    return texts;
  }

  @Test
  void aSecondTimeChangesNothing() throws IOException {
    List<String> texts = texts();
    assertTrue(texts.size() > 60, "texts " + texts.size());
    for (String text : texts) {
      String once = formatted(text);
      assertEquals(once, formatted(once));
    }
  }

  @Test
  void theModelStaysTheSame() throws IOException {
    int models = 0;
    for (String text : texts()) {
      Model model = PlantReader.read(new SourceFile("x.plant", text)).model();
      if (model != null) {
        Reading again = PlantReader.read(new SourceFile("x.plant", formatted(text)));
        Model same = again.model();
        assertNotNull(same, () -> again.diagnostics().toString());
        assertEquals(ModelText.of(model), ModelText.of(same));
        models++;
      }
    }
    assertTrue(models > 20, "models " + models);
  }

  /** Spaces, tabs, line ends, blank lines and comments wherever they may stand. */
  @Property(tries = 150, seed = "4713")
  void whateverTheSpacesTheLayoutIsStableAndKeepsAllComments(@ForAll long seed)
      throws IOException {
    var random = new Random(seed);
    List<String> texts = texts();
    String text = texts.get(random.nextInt(texts.size()));
    if (text.length() > 8_000) {
      text = Files.readString(EVERY_CONSTRUCT);
    }
    var changed = new StringBuilder();
    boolean quoted = false;
    boolean comment = false;
    for (int i = 0; i < text.length(); i++) {
      char c = text.charAt(i);
      comment = (comment && c != '\n') || (!quoted && text.startsWith("--", i));
      quoted = quoted != (c == '"' && !comment);
      changed.append(c);
      boolean lineEnds = !quoted && c == '\n';
      if (!quoted && !comment && (c == ' ' || lineEnds) && random.nextInt(6) == 0) {
        changed.append(
            lineEnds
                ? new String[] {"\n", "\n\n\n\n", "  -- own\n", "\r\n"}[random.nextInt(4)]
                : new String[] {"  ", "\t", "   "}[random.nextInt(3)]);
      } else if (!comment && !quoted && (c == '{' || c == ';') && random.nextInt(6) == 0) {
        changed.append(" -- trails\n");
      }
    }
    var file = new SourceFile("x.plant", changed.toString());
    String once = Formatter.format(file, new ArrayList<>());
    if (once == null) {
      return;
    }
    assertEquals(once, formatted(once));
    assertEquals(count("-- own", file.text()), count("-- own", once));
    assertEquals(count("-- trails", file.text()), count("-- trails", once));
  }

  /** A plant of random parts, each word apart from the next by whatever white space there is. */
  @Property(tries = 150, seed = "4714")
  void layoutDoesNotDependOnTheSpacesOfTheText(@ForAll long seed) throws IOException {
    var random = new Random(seed);
    List<String> texts = texts();
    String once = formatted(texts.get(random.nextInt(texts.size())));
    var changed = new StringBuilder();
    for (String line : once.split("\n", -1)) {
      boolean plain = !line.contains("\"") && !line.contains("--");
      changed.append(" ".repeat(random.nextInt(5))).append(
          plain ? line.replace(" ", " ".repeat(1 + random.nextInt(3))) : line);
      changed.append(" ".repeat(random.nextInt(2))).append("\n");
    }
    assertEquals(once, formatted(changed.toString()));
  }

  private static int count(String what, String text) {
    return text.split(what, -1).length;
  }

  @Test
  void shortEquipmentStandsOnOneLineAndInColumns() {
    becomes(
        """
        plant "x"
        valve FV-1  "inlet"     { travel 1..2 s; fails closed }
        pump  P-201 "feed pump" { coast 1..2 s }
        pump  P-3
        """,
        """
        plant   "x"
        valve FV-1 "inlet" {
          travel 1 .. 2s
          fails closed }
        pump P-201 "feed pump" {coast 1..2 s;}
        pump P-3
        """);
  }

  @Test
  void aWaitStandsWhereConditionsDoIfItHasNone() {
    becomes(
        """
        plant "x"
        logic {
          sequence s {
            initial step idle
            step fill
            from idle to fill when start
            from fill to idle after 5 s
            from idle to idle when stop  after 5 s
            from idle to idle when start after 6 s
          }
        }
        """,
        """
        plant "x"
        logic {
          sequence s {
            initial step idle
            step fill
            from idle to fill when start
            from fill to idle after 5 s
            from idle to idle when stop after 5 s
            from idle to idle when start after 6 s
          }
        }
        """);
  }

  @Test
  void stepsTooWideForOneColumnStandInTwo() {
    String long1 = "open FV-1; open FV-2; open FV-3; run P-1; run P-2; run P-3; run P-4";
    becomes(
        """
        plant "x"
        logic {
          sequence s {
            initial step idle
            step fill      { open FV-1 }
            step circulate { %s }
            step soak "the valves are shut and the dirt comes off" { heat E-1 }
          }
        }
        """.formatted(long1),
        """
        plant "x"
        logic {
          sequence s {
            initial step idle
            step fill { open FV-1 }
            step circulate { %s }
            step soak "the valves are shut and the dirt comes off" { heat E-1 }
          }
        }
        """.formatted(long1));
  }

  @Test
  void aLatchTooLongForALineTellsBothItsSidesOnLinesOfTheirOwn() {
    becomes(
        """
        plant "x"
        logic {
          latch feeding "the skid feeds the membranes and doses what belongs to it":
            set by start when mode is auto;
            cleared by stop or mode is off;
            cleared wins
        }
        """,
        """
        plant "x"
        logic {
          latch feeding "the skid feeds the membranes and doses what belongs to it": set by start
            when mode is auto; cleared by stop or mode is off
            cleared wins
        }
        """);
  }

  @Test
  void aPanelOfOneEntryAndPipesAreSetCompactly() {
    becomes(
        """
        plant "x"
        panel { button start, stop }
        pipe from T-1               through FV-1, P-1 to main
        pipe from main              to brook
        pipe from brook_by_the_mill through FV-2      to sea
        """,
        """
        plant "x"
        panel {
          button start, stop
        }
        pipe from T-1 through FV-1, P-1 to main
        pipe from main to brook
        pipe from brook_by_the_mill through FV-2 to sea
        """);
  }

  @Test
  void commentsStayWhereTheyAre() {
    becomes(
        """
        -- The first line.
        plant "x"  -- trails

        panel {        -- what there is
          button a, b  -- two
          -- on its own

          key c  -- one
          -- last
        }

        -- the end
        """,
        """


        -- The first line.
        plant "x" -- trails

        panel { -- what there is

        button a,b; -- two
              -- on its own



        key c -- one
        -- last
        }

        -- the end\
        """);
  }

  @Test
  void longConditionsAreBrokenBeforeTheirLoosestWords() {
    String formatted =
        formatted("plant \"x\"\nhazard H-1 : " + "P-1 is turning and ".repeat(20) + "x or y");
    assertTrue(formatted.lines().allMatch(l -> l.length() <= Layout.WIDTH), formatted);
    assertTrue(formatted.lines().skip(3).allMatch(l -> l.matches(" +(and|or) .*")), formatted);
    assertEquals(formatted, formatted(formatted));
  }

  @Test
  void breakBehindTheColonOfAClaimIsTheAuthors() {
    String apart = "plant \"x\"\nhazard H-1 \"a\" :\n  P-1 is turning\n  severity major\n";
    becomes(apart, apart);
    String together = "plant \"x\"\nhazard H-1 \"a\" : P-1 is turning severity major\n";
    becomes(together, together);
  }

  @Test
  void fileWithAnErrorOfGrammarIsRefused() {
    for (String wrong :
        List.of("plant \"x\"\npump", "plant \"x\nx", "plant \"x\"\npanel { button a key b }")) {
      var diagnostics = new ArrayList<Diagnostic>();
      assertNull(Formatter.format(new SourceFile("x.plant", wrong), diagnostics));
      assertFalse(diagnostics.isEmpty());
    }
  }

  @Test
  void whatIsNoTextIsRefusedAndNotEmptied() {
    for (String wrong :
        List.of("? ".repeat(1_000), "plant \"x\"\n" + "(".repeat(10_000), "plant \"x\"\n}}}}")) {
      var diagnostics = new ArrayList<Diagnostic>();
      assertNull(Formatter.format(new SourceFile("x.plant", wrong), diagnostics));
      assertFalse(diagnostics.isEmpty());
    }
  }

  @Property(tries = 200, seed = "4715")
  void aDamagedPlantIsRefusedOrSet(@ForAll long seed) throws IOException {
    var random = new Random(seed);
    var text = new StringBuilder(Files.readString(EVERY_CONSTRUCT));
    for (int damage = 1 + random.nextInt(4); damage > 0; damage--) {
      int from = random.nextInt(text.length());
      int to = Math.min(text.length(), from + random.nextInt(12));
      String[] put = {"", "}", "{", "\"", " ", ";", "(", "for", "x", "P-201", "\n", "--"};
      text.replace(from, to, put[random.nextInt(put.length)]);
    }
    var diagnostics = new ArrayList<Diagnostic>();
    String once = Formatter.format(new SourceFile("x.plant", text.toString()), diagnostics);
    assertEquals(once == null, !diagnostics.isEmpty());
    if (once != null) {
      assertEquals(once, formatted(once));
    }
  }

  @Test
  void everyConstructHasTheLayoutOfTheHouse() throws IOException {
    String expected = Files.readString(EVERY_CONSTRUCT.resolveSibling("every-construct.expected"));
    assertEquals(expected, formatted(Files.readString(EVERY_CONSTRUCT)));
  }

  @Test
  void tenThousandTagsAreSetInTime() {
    var text = new StringBuilder("plant \"x\"\n");
    for (int i = 0; i < 10_000; i++) {
      text.append("pump P-").append(i).append(" { coast 1..2 s }\n");
    }
    assertEquals(10_001, formatted(text.toString()).lines().count());
  }
}
